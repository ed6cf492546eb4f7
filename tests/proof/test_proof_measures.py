"""Measures of what programs open: within a thousandth of what is cut, and off where something else is demanded."""

from dataclasses import replace

import pytest

from makers import a_layout, a_machine
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.features import Hole
from pearlkerf.operations.trials import trials
from pearlkerf.proof.measures import measure
from pearlkerf.proof.tolerances import SIZE_MM
from pearlkerf.proof.verdict import Verdict
from pearlkerf.setups.coupons import lay_out_coupon, on_scrap
from pearlkerf.setups.model import Setup
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.steps import Steps

MACHINE = a_machine()


@pytest.fixture(scope="module")
def proved() -> tuple[Job, Verdict]:
    layout = a_layout()
    tried, _ = trials(set_up(layout), MACHINE, Steps())
    coupon = lay_out_coupon(layout, tried, Steps(), None)
    job = plan_job(on_scrap(layout, (coupon.setup,), "fit coupon"), MACHINE)
    return job, prove_programs(job, {program.file: program.text for program in make_programs(job, "test")})


def wider(setup: Setup, by_mm: float) -> Setup:
    """Demand more than was cut, of every feature."""
    return replace(setup, features=tuple(
        replace(each, diameter_mm=each.diameter_mm + by_mm) if isinstance(each, Hole)
        else replace(each, width_mm=each.width_mm + by_mm) for each in setup.features
    ))  # fmt: skip


def test_every_feature_is_measured_once_and_as_stated(proved: tuple[Job, Verdict]) -> None:
    job, verdict = proved
    assert verdict.proved
    setup = job.clampings.setups[0]
    measures = measure(verdict.programs, setup, MACHINE)
    assert [each.name for each in measures] == [feature.name for feature in setup.features]
    for each in measures:
        assert each.least_mm <= each.greatest_mm + 0.001
        assert each.off_mm <= 0.003  # three decimals of X, Y, I and J


@pytest.mark.parametrize("by_mm", [-0.012, 0.012])
def test_a_size_that_is_not_what_is_stated_does_not_hold(proved: tuple[Job, Verdict], by_mm: float) -> None:
    job, verdict = proved
    other = wider(job.clampings.setups[0], by_mm)
    for each in measure(verdict.programs, other, MACHINE):
        assert not each.holds
        assert each.off_mm == pytest.approx(0.012, abs=0.003)


def test_what_is_not_cut_is_not_measured(proved: tuple[Job, Verdict]) -> None:
    job, verdict = proved
    setup = job.clampings.setups[0]
    deeper = replace(setup, features=tuple(
        replace(each, floor_mm=each.floor_mm - 1.0) if isinstance(each, Hole) else each for each in setup.features
    ))  # fmt: skip
    holes = [each for each, feature in zip(measure(verdict.programs, deeper, MACHINE), deeper.features, strict=True)
             if isinstance(feature, Hole)]  # fmt: skip
    assert holes and not any(each.holds for each in holes)  # nan is within nothing
    assert SIZE_MM == 0.005
