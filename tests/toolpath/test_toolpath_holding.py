"""Clamps, fences and collet nuts in the way are refused before anything is written, by how much; what proves is let."""

from dataclasses import replace

import pytest

from makers import a_board, a_machine
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.holding import Holding
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.set_up import set_up

MILLS = (
    Cutter(1, "end mill", 0.58, 2, 4.5, shank_mm=3.0, stick_out_mm=12.0),
    Cutter(2, "end mill", 3.0, 2, 12.0, shank_mm=3.0, stick_out_mm=20.0),
    Cutter(3, "end mill", 1.5, 2, 6.0, shank_mm=3.0, stick_out_mm=15.0),
)


def problems(*holding: Holding, cutters: tuple[Cutter, ...] = MILLS, **changes: object) -> list[str]:
    """What keeps a board with these boxes from being cut; where nothing does, its programs are proved."""
    layout = lay_out(replace(a_board(**changes), holding=holding))
    try:
        job = plan_job(set_up(layout), a_machine(*cutters))
    except Refusal as refusal:
        return [f"{problem.key}: {problem.found}" for problem in refusal.problems]
    for each in (job, with_pointing(job)):
        assert prove_programs(each, {p.file: p.text for p in make_programs(each, "test")}).proved
    return []


def clamp(x: tuple[float, float], y: tuple[float, float], height: float, **more: object) -> Holding:
    return Holding("clamp", **{"setup": "face", "x_mm": x, "y_mm": y, "height_mm": height, "above": "wood", **more})  # type: ignore[arg-type]


# the first fret is at 35.47, its slot runs out to |y| = 23.49; the nut is 50 mm wide, 12 mm above the tip
@pytest.mark.parametrize(
    ("held", "told"),
    [
        (clamp((-30, -2), (-10, 10), 6.0), []),
        (clamp((-30, 34.4), (-10, 10), 6.0), ["its shank of cutter 1 would come 1.4 mm too near to clamp in fret 1"]),
        (clamp((-30, 33.0), (-10, 10), 6.0), ["its shank of cutter 1 would come 0.0 mm too near"]),
        (clamp((-30, 20.0), (-10, 10), 9.6), ["clamp stands 9.6 mm above the wood, traverses run 8.0 mm"]),
        (clamp((-30, 7.0), (-10, 10), 6.9), []),
        (clamp((30, 40), (-60, -24.6), -1.0), ["the cutter of cutter 1 would come 0.2 mm too near to clamp"]),
        (clamp((30, 40), (-60, -24.8), -1.0), []),
        (clamp((30, 40), (-60, -20.0), -4.6), []),
        (clamp((30, 40), (-60, -20.0), 4.0, above="bed"), ["would come"]),
        (clamp((30, 40), (-60, -24.6), -1.0, setup="edge"), []),
        (clamp((30, 40), (-60, -24.6), -1.0, position=2), []),
    ],
)
def test_what_is_in_the_way_is_refused_by_how_much(held: Holding, told: list[str]) -> None:
    found = problems(held)
    assert bool(found) == bool(told), found
    assert all(words in found[0] for words in told), found
    assert all(each.startswith("holding.0: ") for each in found)


def test_the_amount_is_what_mends_it() -> None:
    (found,) = problems(clamp((-30, 34.4), (-10, 10), 6.0))
    by = float(found.partition("would come ")[2].partition(" mm")[0])
    assert by > 0.1
    assert problems(clamp((-30, 34.4 - by - 0.06), (-10, 10), 6.0)) == []


def test_a_nut_that_would_come_down_on_the_wood_is_refused() -> None:
    for reach, told in (
        (3.4, []),
        (2.9, ["is not said to stick out more than 2.90 mm", "0.41 mm below the highest wood"]),
    ):
        short = replace(MILLS[0], stick_out_mm=None, reach_mm=reach)
        found = problems(cutters=(short, *MILLS[1:]), state="radiused")
        assert bool(found) == bool(told)
        assert all(words in found[0] for words in ("cutter.stick_out: cutter 1", *told) if found)
    long = replace(MILLS[0], stick_out_mm=8.0, reach_mm=2.9)
    assert problems(cutters=(long, *MILLS[1:]), state="radiused") == []


def test_a_profile_holds_wood_too() -> None:
    layout = lay_out(a_board())
    machine = replace(a_machine(*MILLS), holding=(clamp((30, 40), (-60, -24.6), -1.0),))
    with pytest.raises(Refusal, match="clamp") as refused:
        plan_job(set_up(layout), machine)
    assert [problem.key for problem in refused.value.problems] == ["holding"]
