"""What a fit coupon tries: the board's own cutters, strategies and depths, in the sizes that they can make."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS, TRIED, trying
from pearlkerf.layout.sizes import size_asked_mm
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.choose import choose
from pearlkerf.operations.model import Strategy
from pearlkerf.operations.tolerances import LEAST_ORBIT_MM
from pearlkerf.setups.coupons import Steps
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.samples import Trial

# strategies in which a cutter makes its own width and no other
OWN_WIDTH: Final[tuple[Strategy, ...]] = ("plunge", "spotted plunge", "full width", "sawn")


def trials(clampings: Clampings, machine: Machine, steps: Steps) -> tuple[tuple[Trial, ...], tuple[Problem, ...]]:
    """Give what is tried, group by group, and what is left out, as remarks.

    Each group has the cutter and the strategy that its first feature has on the board.  Raises
    Refusal where the board's own features have no cutter, or where no size of any group can be cut.
    """
    found: list[Trial] = []
    left_out: list[Problem] = []
    problems: list[Problem] = []
    for group in TRIED:
        for setup in clampings.setups:
            features = [feature for feature in setup.features if feature.group == group]
            if not features:
                continue
            chosen = choose(features[0], setup, machine.cutters)
            if isinstance(chosen, Problem):
                problems.append(chosen)
                continue
            trial, remarks = _trial(clampings.layout.board, (setup, features), chosen, steps)
            left_out += remarks
            found += [trial] if trial.sizes_mm else []
    if problems:
        raise Refusal(problems)
    return tuple(found), tuple(left_out)


def _trial(
    board: Board, of: tuple[Setup, Sequence[Feature]], how: tuple[Cutter, Strategy], steps: Steps
) -> tuple[Trial, list[Problem]]:
    (setup, features), (cutter, strategy) = of, how
    group, nominal = features[0].group, size_asked_mm(board, features[0].group)
    wanted = [nominal + step for step in steps.values_mm()]
    if strategy in OWN_WIDTH:
        own = cutter.diameter_mm if cutter.kerf_mm is None else cutter.kerf_mm
        sizes = [own]
        missing = [size for size in wanted if abs(size - own) > LEAST_ORBIT_MM / 10]
        why = f"cutter {cutter.number}, {cutter.kind} {own:.3f} mm, cuts nothing but its own width ({strategy})"
    else:
        tried = replace(features[0], cutter=cutter.number)
        sizes = [size for size in wanted if choose(tried.resized(size), setup, [cutter]) == how]
        missing = [size for size in wanted if size not in sizes]
        why = (
            f"cutter {cutter.number}, {cutter.kind} {cutter.diameter_mm:.3f} mm, leaves no room for {strategy} in them"
        )
    trial = Trial(
        kind=type(features[0]),
        group=group,
        nominal_mm=nominal,
        depth_mm=max(feature.depth_in_flat_mm(setup.stock) for feature in features),
        through=features[0].through,
        cutter=cutter,
        sizes_mm=tuple(sizes),
    )
    return trial, [_left_out(group, missing, sizes, why)] if missing else []


def _left_out(group: str, missing: Sequence[float], sizes: Sequence[float], why: str) -> Problem:
    many = f"{trying(group).noun}s of {', '.join(f'{size:.3f}' for size in missing)} mm are left out"
    kept = f"; cut: {', '.join(f'{size:.3f}' for size in sizes)} mm" if sizes else "; none is cut"
    return Problem(
        key=GROUPS[group].size_key,
        found=f"{many}: {why}{kept}",
        hint="a smaller end mill in the profile cuts every size in steps, on the coupon and on the board",
    )


def calibration_cutter(clampings: Clampings, machine: Machine, number: int | None) -> Cutter:
    """Give the cutter of a calibration piece: the one asked for, else the widest mill of the board's that plunges.

    Where the board has none such, the profile's.  Raises Refusal where the number names none, or one
    that cuts neither a groove nor a hole.
    """
    able = [cutter for cutter in machine.cutters if cutter.kind in ("end mill", "brad point", "twist drill")
            and (cutter.kind == "end mill" or cutter.plunges)]  # fmt: skip
    if number is not None:
        asked = [cutter for cutter in able if cutter.number == number]
        if asked:
            return asked[0]
    if number is not None or not able:
        listed = ", ".join(f"{cutter.number}: {cutter.kind} {cutter.diameter_mm:g} mm" for cutter in able) or "none"
        raise Refusal([Problem(key="--cutter", found=f"cutter {number} of {machine.name} cuts no calibration piece"
                               if number is not None else f"no cutter of {machine.name} cuts a calibration piece",
                               allowed=f"an end mill, or a drill; it has {listed}",
                               hint="choose one of them, or add one to the profile")])  # fmt: skip
    features = [(feature, setup) for setup in clampings.setups for feature in setup.features]
    chosen = [choose(feature, setup, machine.cutters) for feature, setup in features]
    used = {each[0].number for each in chosen if not isinstance(each, Problem)}
    return max(able, key=lambda c: (c.kind == "end mill", c.plunges, c.number in used, c.diameter_mm, -c.number))
