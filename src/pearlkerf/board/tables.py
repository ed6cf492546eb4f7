"""The tables of a board file: every key, what it may hold, and its default."""

from dataclasses import dataclass, field
from typing import Annotated, Any, Final, Literal

from pearlkerf.files.lengths import Unit
from pearlkerf.files.toml_models import Table
from pearlkerf.files.toml_values import (
    Checked,
    Choice,
    Length,
    LengthOr,
    LengthOrPair,
    Text,
    Whole,
    WrongValue,
    nearest,
)
from pearlkerf.machine.holding import HoldingTable

FLAT: Final = float("inf")
RADIUS: Final = Length(50, 10000)

Fret = Annotated[int, Whole(1, 60)]
Place = Annotated[float, Length(0, 2000)]
Diameter = Annotated[float, Length(0.5, 50)]
Fit = Annotated[float, Length(-1, 1)]
Spacing = Annotated[float | None, Length(0.5, 200)]


@dataclass(frozen=True, slots=True)
class RadiusKind(Checked):
    """A radius, "flat", or { nut = …, end = … }; taken as a pair of float mm."""

    allowed: str = 'a length, "flat", or { nut = "10 in", end = "16 in" }'

    def take(self, value: object, unit: Unit | None) -> tuple[float, float]:
        """Give the radius at the nut end and at the far end, mm."""
        if isinstance(value, dict):
            return self._pair(value, unit)
        return self._one(value, unit), self._one(value, unit)

    def _one(self, value: object, unit: Unit | None) -> float:
        length = LengthOr("flat", RADIUS).take(value, unit)
        return FLAT if length is None else length

    def _pair(self, value: dict[str, Any], unit: Unit | None) -> tuple[float, float]:
        for key in value:
            if key not in ("nut", "end"):
                near = nearest(key, ["nut", "end"])
                hint = f'did you mean "{near}"?' if near else ""
                raise WrongValue(f'unknown key "{key[:80]}" in the radius', self.allowed, hint)
        missing = [key for key in ("nut", "end") if key not in value]
        if missing:
            raise WrongValue(f'the radius has no "{missing[0]}"', self.allowed, f"write {missing[0]} = … too")
        return self._one(value["nut"], unit), self._one(value["end"], unit)


class ScaleTable(Table):
    """[scale]."""

    length: Annotated[float, Length(100, 2000)]
    frets: Annotated[int, Whole(1, 60)]


class BoardTable(Table):
    """[board]."""

    wood: Annotated[str, Text(100)] = ""
    hand: Annotated[Literal["right", "left"], Choice(("right", "left"))] = "right"
    length: Annotated[float, Length(20, 2000)]
    nut_width: Annotated[float, Length(5, 300)]
    end_width: Annotated[float, Length(5, 300)]
    thickness: Annotated[float, Length(1, 50)]
    radius: Annotated[tuple[float, float], RadiusKind()] = (FLAT, FLAT)
    state: Annotated[Literal["flat", "radiused"], Choice(("flat", "radiused"))] = "flat"
    crown_allowance: Annotated[float, Length(0, 5)] = 0.2


class BlankTable(Table):
    """[blank]."""

    width: Annotated[float, Length(5, 400)]
    beyond_nut: Annotated[float, Length(0, 300)] = 0.0
    beyond_end: Annotated[float, Length(0, 300)] = 0.0
    trim: Annotated[Literal["none", "nut", "end", "both"], Choice(("none", "nut", "end", "both"))] = "none"
    trim_depth: Annotated[float, Length(0.1, 49)] = 1.0
    trim_width: Annotated[float | None, Length(0.1, 20)] = None


class BindingTable(Table):
    """[binding]."""

    thickness: Annotated[float, Length(0.2, 20)]
    put_on: Annotated[Literal["before", "after"], Choice(("before", "after"))]


class FretSlotsTable(Table):
    """[fret_slots]."""

    width: Annotated[float, Length(0.1, 5)]
    depth: Annotated[float, Length(0.1, 20)]
    floor: Annotated[Literal["follow", "level"], Choice(("follow", "level"))] = "follow"
    ends: Annotated[Literal["through", "stopped"] | None, Choice(("through", "stopped"))] = None
    margin: Annotated[float, Length(0.2, 50)] = 1.5
    state: Annotated[Literal["to cut", "already cut"], Choice(("to cut", "already cut"))] = "to cut"
    measured: list[Place] = field(default_factory=list)
    fit: Fit = 0.0


class FaceDotsTable(Table):
    """[face_dots]."""

    frets: list[Fret]
    double: list[Fret] = field(default_factory=list)
    diameter: Diameter
    thickness: Annotated[tuple[float, float], LengthOrPair(Length(0.1, 20))]
    proud: Annotated[float, Length(0, 5)] = 0.2
    fit: Fit = 0.0
    shell_left: Annotated[float, Length(0, 10)] = 0.5
    spacing: Spacing = None


class SideDotsTable(Table):
    """[side_dots]."""

    frets: list[Fret]
    double: list[Fret] = field(default_factory=list)
    diameter: Diameter
    depth: Annotated[float, Length(0.2, 50)]
    height: Annotated[float | None, LengthOr("auto", Length(0.2, 50))] = None
    spacing: Spacing = None
    margin: Annotated[float, Length(0.1, 20)] = 0.8
    fit: Fit = 0.0


class BoardFileTable(Table):
    """A board file."""

    format: Annotated[int, Whole(1, 1)] = 1
    title: Annotated[str | None, Text(200)] = None
    unit: Annotated[Literal["mm", "in"], Choice(("mm", "in"))]
    scale: ScaleTable
    board: BoardTable
    blank: BlankTable | None = None
    binding: BindingTable | None = None
    fret_slots: FretSlotsTable | None = None
    face_dots: FaceDotsTable | None = None
    side_dots: SideDotsTable | None = None
    holding: list[HoldingTable] = field(default_factory=list)
