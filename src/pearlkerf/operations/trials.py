"""What a fit coupon tries: the board's own cutters, strategies and depths, in the sizes that they can make."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS, INLAYS, TRIED, trying
from pearlkerf.layout.sizes import fit_asked_mm, size_asked_mm
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.choose import Chosen, choose
from pearlkerf.operations.strategies import STRATEGIES
from pearlkerf.operations.tolerances import LEAST_ORBIT_MM
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.samples import Trial
from pearlkerf.setups.steps import Steps


@dataclass(frozen=True, slots=True)
class _Tried:
    """A group's features in a setup, and what cuts the first of them on the board."""

    features: tuple[Feature, ...]
    setup: Setup
    chosen: Chosen

    @property
    def like(self) -> Feature:
        """The feature that stands for all, to be cut by the same cutter."""
        return replace(self.features[0], cutter=self.chosen.cutter.number)

    @property
    def makes_one_width(self) -> bool:
        """Whether the cutter makes its own width and no other."""
        return STRATEGIES[self.chosen.strategy].own_width

    def sizes_mm(self, wanted_mm: Sequence[float]) -> tuple[float, ...]:
        """Give the sizes, of those wanted, that are cut in this way; the cutter's own where that is all it makes."""
        cutter = self.chosen.cutter
        if self.makes_one_width:
            return (cutter.width_mm,)
        return tuple(size for size in wanted_mm if choose(self.like.resized(size), self.setup, [cutter]) == self.chosen)

    def missing_mm(self, wanted_mm: Sequence[float]) -> tuple[float, ...]:
        """Give the sizes, of those wanted, that are not cut."""
        sizes, near = self.sizes_mm(wanted_mm), LEAST_ORBIT_MM / 10 if self.makes_one_width else 0.0
        return tuple(size for size in wanted_mm if all(abs(size - cut) > near for cut in sizes))


def trials(
    clampings: Clampings, machine: Machine, steps: Steps, only: Sequence[str] = TRIED
) -> tuple[tuple[Trial, ...], tuple[Problem, ...]]:
    """Give what is tried, of ``only`` some groups, group by group, and what is left out, as remarks.

    Each group has the cutter and the strategy that its first feature has on the board.  Raises
    Refusal where the board's own features have no cutter, or where no size of any group can be cut.
    """
    asked = [(features, setup, choose(features[0], setup, machine.cutters))
             for features, setup in _groups(clampings.setups, only)]  # fmt: skip
    problems = [chosen for _, _, chosen in asked if isinstance(chosen, Problem)]
    if problems:
        raise Refusal(problems)
    tried = [_Tried(features, setup, chosen) for features, setup, chosen in asked if not isinstance(chosen, Problem)]
    found = [_trial(each, clampings.layout.board, steps) for each in tried]
    left_out = [problem for each in tried for problem in _left_out(each, clampings.layout.board, steps)]
    if clampings.fits and INLAYS in only:
        from pearlkerf.setups.inlay_trials import inlay_trial  # only inlays wait for the geometry of outlines

        of_inlays, left = inlay_trial(clampings, steps)
        found, left_out = sorted([*found, of_inlays], key=lambda trial: TRIED.index(trial.group)), [*left_out, *left]
    return tuple(trial for trial in found if trial.sizes_mm), tuple(left_out)


def _groups(setups: Sequence[Setup], only: Sequence[str]) -> Iterator[tuple[tuple[Feature, ...], Setup]]:
    """Give the features of each group, and their setup; of groups whose size is one key of the file, the first."""
    tried: set[str] = set()
    for group in (each for each in TRIED if each in only and each != INLAYS):
        for setup in setups:
            features = tuple(feature for feature in setup.features if feature.group == group)
            if features and GROUPS[group].size_key not in tried:
                tried.add(GROUPS[group].size_key)
                yield features, setup


def _wanted_mm(tried: _Tried, board: Board, steps: Steps) -> tuple[float, ...]:
    return tuple(size_asked_mm(board, tried.like.group) + step for step in steps.values_mm())


def _trial(tried: _Tried, board: Board, steps: Steps) -> Trial:
    like = tried.like
    return Trial(
        kind=type(like),
        group=like.group,
        nominal_mm=size_asked_mm(board, like.group),
        depth_mm=max(feature.depth_in_flat_mm(tried.setup.stock) for feature in tried.features),
        through=like.through and tried.chosen.cutter.kind == "saw",  # a mill tries a short one: it fits as tightly
        cutter=tried.chosen.cutter,
        sizes_mm=tried.sizes_mm(_wanted_mm(tried, board, steps)),
        fit_mm=fit_asked_mm(board, like.group),
        at=(GROUPS[like.group].table, trying(like.group).key),
    )


def _left_out(tried: _Tried, board: Board, steps: Steps) -> Iterator[Problem]:
    wanted = _wanted_mm(tried, board, steps)
    sizes, missing = tried.sizes_mm(wanted), tried.missing_mm(wanted)
    if not missing:
        return
    cutter, strategy = tried.chosen
    if tried.makes_one_width:
        why = f"cuts nothing but its own width ({strategy})"
    else:
        why = f"leaves no room for {strategy} in them"
    many = f"{trying(tried.like.group).noun}s of {', '.join(f'{size:.3f}' for size in missing)} mm are left out"
    kept = f"; cut: {', '.join(f'{size:.3f}' for size in sizes)} mm" if sizes else "; none is cut"
    yield Problem(
        key=GROUPS[tried.like.group].size_key,
        found=f"{many}: cutter {cutter.number}, {cutter.kind} {cutter.width_mm:.3f} mm, {why}{kept}",
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
