"""What is tried on a fit coupon: of each group some samples in steps of size, each with the notches that number it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from pearlkerf.layout.features import Feature, Hole, Pocket, Slot
from pearlkerf.layout.groups import trying
from pearlkerf.layout.lines import Point
from pearlkerf.layout.surfaces import Floor
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.notches import NOTCH_APART_MM, Notches
from pearlkerf.setups.scrap import Part, Scrap

if TYPE_CHECKING:
    import shapely

# a slot of this length takes a piece of fretwire that fingers can hold (common practice, no source)
STOPPED_SLOT_MM: Final = 12.0


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried of one group of features, as the board's own are cut: depth, cutter, sizes ascending, mm.

    ``fit_mm`` is the fit that the board has now, of inlays the gap of the one that is tried; ``at`` is where it stands
    in the board file.
    """

    kind: type[Feature]
    group: str
    nominal_mm: float  # the dot's diameter or the tang's width, to which the board's fit is added
    depth_mm: float
    through: bool
    cutter: Cutter
    sizes_mm: tuple[float, ...]
    fit_mm: float
    at: tuple[str | int, ...]
    patterns: "tuple[shapely.Polygon, ...]" = ()  # of pockets, one for each size, from the low left corner of its box

    @property
    def noun(self) -> str:
        """What one of them is called on a coupon."""
        return trying(self.group).noun

    @property
    def widest_mm(self) -> float:
        """The largest size."""
        return max(self.sizes_mm)

    @property
    def largest(self) -> Point:
        """Along X and Y the sides of the box that holds any hole or pocket of it, mm."""
        if not self.patterns:
            return self.widest_mm, self.widest_mm
        return max(each.bounds[2] for each in self.patterns), max(each.bounds[3] for each in self.patterns)

    @property
    def notches(self) -> tuple[Notches, ...]:
        """The notches of each sample."""
        return tuple(Notches(self.cutter, number) for number in range(1, len(self.sizes_mm) + 1))


@dataclass(frozen=True, slots=True)
class Sample:
    """One pocket, slot or hole of a coupon: its number, its size, and the fit that this size would be."""

    feature: Feature
    size_mm: float
    fit_mm: float
    notches: tuple[Feature, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a sample is set out: the low left corner of its room, and its number among those of its trial."""

    number: int
    corner: Point
    scrap: Scrap


@dataclass(frozen=True, slots=True)
class Sampling:
    """How one kind of feature is tried: the room that a sample takes, itself, and where its notches begin."""

    room: Callable[[Trial], Part]
    cut: Callable[[Trial, Place], Feature]
    notches: Callable[[Trial, Place], Sequence[Point]]


def room(trial: Trial) -> Part:
    """Give the room of one sample and its notches."""
    return SAMPLING[trial.kind].room(trial)


def sample(trial: Trial, place: Place, mark: int) -> Sample:
    """Give a sample at its place; its notches all have the number ``mark``."""
    of_kind, number = SAMPLING[trial.kind], place.number
    size, places = trial.sizes_mm[number - 1], of_kind.notches(trial, place)
    cut = tuple(trial.notches[number - 1].cut_at(places, f"notch of {trial.noun} {number}", mark))
    return Sample(of_kind.cut(trial, place), size, size - trial.nominal_mm, cut)


def as_size_mm(sample: Sample, measured_mm: float) -> float:
    """Give what was measured as the size that a coupon tells: of a pocket the gap on each side, else as it is."""
    if not isinstance(sample.feature, Pocket):
        return measured_mm
    return sample.size_mm + (measured_mm - sample.feature.width_mm) / 2


def _name(trial: Trial, number: int) -> str:
    return f"{trial.noun} {number}, {trial.sizes_mm[number - 1]:.3f} mm"


def _slot_room(trial: Trial) -> Part:
    """A slot beside a column of notches."""
    column = max(each.column_mm for each in trial.notches)
    beside = NOTCH_APART_MM + trial.cutter.diameter_mm if column else 0.0
    tall = column if trial.through else max(STOPPED_SLOT_MM, column)
    return Part(trial.widest_mm + beside, tall, across=trial.through)


def _slot(trial: Trial, place: Place) -> Feature:
    (x, y), tall = place.corner, _slot_room(trial).height_mm
    low, high = (0.0, place.scrap.width_mm) if trial.through else (y + tall - STOPPED_SLOT_MM, y + tall)
    middle = x + trial.widest_mm / 2
    return Slot(
        group=trial.group, number=place.number, name=_name(trial, place.number), start=(middle, low),
        end=(middle, high), width_mm=trial.sizes_mm[place.number - 1], floor=Floor(-trial.depth_mm),
        through=trial.through, cutter=trial.cutter.number,
    )  # fmt: skip


def _slot_notches(trial: Trial, place: Place) -> Sequence[Point]:
    x, y = place.corner
    return trial.notches[place.number - 1].in_column((x + trial.widest_mm + NOTCH_APART_MM, y))


def _room_above_notches(trial: Trial) -> Part:
    """A hole or a pocket above a row of notches."""
    row = max(each.row_mm for each in trial.notches)
    longest = max(max(each.lengths_mm, default=0.0) for each in trial.notches)
    width, height = trial.largest
    return Part(max(width, row), height + (NOTCH_APART_MM + longest if row else 0.0))


def _notches_below(trial: Trial, place: Place) -> Sequence[Point]:
    (x, y), part, notches = place.corner, _room_above_notches(trial), trial.notches[place.number - 1]
    top = y + part.height_mm - trial.largest[1] - NOTCH_APART_MM
    return notches.in_row((x + (part.width_mm - notches.row_mm) / 2, top))


def _hole(trial: Trial, place: Place) -> Feature:
    (x, y), part = place.corner, _room_above_notches(trial)
    return Hole(
        group=trial.group, number=place.number, name=_name(trial, place.number),
        centre=(x + part.width_mm / 2, y + part.height_mm - trial.widest_mm / 2),
        diameter_mm=trial.sizes_mm[place.number - 1], floor_mm=-trial.depth_mm, shallowest_mm=-trial.depth_mm,
        deepest_mm=-trial.depth_mm, cutter=trial.cutter.number,
    )  # fmt: skip


def _pocket(trial: Trial, place: Place) -> Feature:
    from shapely import affinity

    (x, y), part, area = place.corner, _room_above_notches(trial), trial.patterns[place.number - 1]
    (width, _), top = area.bounds[2:], y + part.height_mm
    return Pocket(
        group=trial.group, number=place.number, name=_name(trial, place.number),
        region=affinity.translate(area, x + (part.width_mm - width) / 2, top - area.bounds[3]),
        floor=Floor(-trial.depth_mm), shallowest_mm=-trial.depth_mm, deepest_mm=-trial.depth_mm,
        cutter=trial.cutter.number,
    )  # fmt: skip


# one row for each kind that a coupon can try
SAMPLING: Final[Mapping[type[Feature], Sampling]] = {
    Slot: Sampling(_slot_room, _slot, _slot_notches),
    Hole: Sampling(_room_above_notches, _hole, _notches_below),
    Pocket: Sampling(_room_above_notches, _pocket, _notches_below),
}
