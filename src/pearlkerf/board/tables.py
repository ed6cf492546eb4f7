"""The tables of a board file: every key, what it may hold, what it means, and its default."""

from fractions import Fraction
from typing import Annotated, Final, Literal

from pearlkerf.board.inlay_tables import InlayBlankTable, InlayTable
from pearlkerf.board.kinds import (
    FLAT,
    MOST_FRETS,
    AcrossKind,
    EndKind,
    RadiusKind,
    ScaleLength,
    StationKind,
    StringsKind,
    WidthAtKind,
)
from pearlkerf.board.usual import KEYS
from pearlkerf.files.toml_keys import Table, key
from pearlkerf.files.toml_values import (
    Choice,
    Flag,
    Length,
    LengthOr,
    LengthOrPair,
    Number,
    Ratio,
    Text,
    Whole,
    WholeOrName,
)
from pearlkerf.machine.holding import HoldingTable

OCTAVE: Final = 12  # parts of an octave, where nobody divides it otherwise
Fret = Annotated[int, Whole(1, MOST_FRETS)]
Called = Annotated[int | str, WholeOrName(Whole(1, MOST_FRETS))]
Place = Annotated[float, Length(0, 2000)]
Diameter = Annotated[float, Length(0.5, 50)]
Fit = Annotated[float, Length(-1, 1)]
Spacing = Annotated[float | None, Length(0.5, 200)]


class ScaleTable(Table):
    """[scale]."""

    length: Annotated[tuple[float, float | None], ScaleLength()] = key(
        'nut to saddle, without compensation: a length, or { bass = "27 in", treble = "25 1/2 in" } for slanted frets, '
        "both along the centre line's direction"
    )
    square_at: Annotated[float, Number(0, 120, "frets")] = key(
        "where frets slant, the place that stands square to the centre line: a fret, 0 for the nut, or between frets, "
        "such as 7.5",
        default=7.0,
    )
    frets: Annotated[int, Whole(1, MOST_FRETS)] = key("how many; with places that are left out the number of the last")
    division: Annotated[int | None, Whole(2, 72)] = key(
        "equal parts of the octave, which frets are numbered by", default=None, usual="12"
    )
    steps: list[Annotated[Fraction, Ratio()]] = key(
        'in place of it, ratios to the open string, such as ["9/8", "5/4", "2/1"]; the last is where they begin again',
        default_factory=list,
    )
    cents: list[Annotated[float, Number(0, 12000, "cents")]] = key(
        "in place of both, from the open string; the last is where they begin again", default_factory=list
    )
    left_out: list[Fret] = key("of these frets, those that are not there", default_factory=list)
    names: list[Annotated[str, Text(12, 1)]] = key(
        'what the frets that are there are called, such as ["1", "6+"], one each; dots may name them so',
        default_factory=list,
    )
    zero_fret: Annotated[bool, Flag()] = key("a fret at X0 too, over which the strings run", default=False)
    behind_zero: Annotated[float, Length(0.5, 100)] = key("wood left of a zero fret", default=5.0)
    nut_forward: Annotated[float, Length(0, 5)] = key(
        "how much nearer to the first fret the nut's edge stands than the scale says: it stays at X0, the frets move",
        default=0.0,
    )


class StringsTable(Table):
    """[strings]."""

    count: Annotated[int, Whole(1, 24)] = key("how many; string 1 is on the treble side", default=6)
    spread_at_nut: Annotated[float | None, Length(1, 290)] = key(
        "between the outer strings' centres at the nut", default=None, usual="the width there less 3 mm a side"
    )
    spread_at_bridge: Annotated[float | None, Length(1, 290)] = key(
        "the same at the bridge; must be given where frets slant",
        default=None,
        usual="the edges carried on, less 3 mm a side",
    )


class PartialTable(Table):
    """[[partial]]."""

    fret: Annotated[int | str, WholeOrName(Whole(1, MOST_FRETS))] = key("which fret is under some strings only")
    strings: Annotated[tuple[int, int], StringsKind()] = key("from which string to which, such as [4, 6]")


class BoardTable(Table):
    """[board]."""

    wood: Annotated[str, Text(100)] = key(
        "any text; known woods have their own speeds and feeds, others are cut cautiously", default=""
    )
    hand: Annotated[Literal["right", "left"], Choice(("right", "left"))] = key(
        'for whom the board is; "left" mirrors everything', default="right"
    )
    length: Annotated[float | None, Length(20, 2000)] = key(
        "nut end to bridge end, along the centre line", default=None, usual="required, or widths say it"
    )
    nut_width: Annotated[float | None, Length(5, 300)] = key(
        "width at the nut end", default=None, usual="required, or widths say it"
    )
    end_width: Annotated[float | None, Length(5, 300)] = key(
        "width at the bridge end", default=None, usual="required, or width_at or widths say it"
    )
    width_at: Annotated[tuple[int, float] | None, WidthAtKind()] = key(
        "in place of end_width the width at a fret, which makers measure: { fret = 12, width = 62 }", default=None
    )
    widths: list[Annotated[tuple[float, float, float], StationKind()]] = key(
        "in place of all of these where edges bend: [[0, -17, 17], [150, -17, 17], …], each the distance from the nut "
        "end, then where the bass edge and the treble edge lie; straight in between",
        default_factory=list,
    )
    end: Annotated[str | float, EndKind()] = key(
        'of the bridge end: "square", "slanted" with the last fret, or { arc = 60 }, hollowed for a soundhole; length '
        "is then that of its corners",
        default="square",
    )
    thickness: Annotated[float, Length(1, 50)] = key("of the blank as it goes on the machine, at the crown")
    radius: Annotated[tuple[float, float], RadiusKind()] = key(
        'of the finished face: a length, "flat", or { nut = "10 in", end = "16 in" }',
        default=(FLAT, FLAT),
        usual='"flat"',
    )
    state: Annotated[Literal["flat", "radiused"], Choice(("flat", "radiused"))] = key(
        'on the machine: "flat", or already "radiused"', default="flat"
    )
    crown_allowance: Annotated[float, Length(0, 5)] = key(
        "what radiusing and levelling (on a radiused blank levelling alone) will take off along the middle",
        default=0.2,
    )
    nut: Annotated[Literal["slanted", "square"], Choice(("slanted", "square"))] = key(
        'where frets slant: "slanted", the nut end runs with fret 0; or "square", beyond its line', default="slanted"
    )
    before_nut: Annotated[float, Length(0, 200)] = key(
        "where such an end is square: wood beyond the farthest point of the nut's line", default=10.0
    )


class BlankTable(Table):
    """[blank]."""

    width: Annotated[float, Length(5, 400)] = key("of the rectangle")
    beyond_nut: Annotated[float, Length(0, 300)] = key("wood left of the nut end", default=0.0)
    beyond_end: Annotated[float, Length(0, 300)] = key("wood right of the bridge end", default=0.0)
    trim: Annotated[Literal["none", "nut", "end", "both"], Choice(("none", "nut", "end", "both"))] = key(
        '"nut", "end" or "both": a cut whose wall is the board\'s end, to saw it square along there', default="none"
    )
    trim_depth: Annotated[float, Length(0.1, 49)] = key("of that cut", default=1.0)
    trim_width: Annotated[float | None, Length(0.1, 20)] = key("of that cut", default=None, usual="a fret slot's width")


class BindingTable(Table):
    """[binding]."""

    thickness: Annotated[float, Length(0.2, 20)] = key("of each strip")
    put_on: Annotated[Literal["before", "after"], Choice(("before", "after"))] = key(
        '"before": it is on, slots stop inside it; or "after": slots run through the core, then it is glued on'
    )


class FretSlotsTable(Table):
    """[fret_slots]."""

    width: Annotated[float, Length(0.1, 5)] = key("a hair more than the bare tang")
    depth: Annotated[float, Length(0.1, 20)] = key("below the finished face")
    floor: Annotated[Literal["follow", "level"], Choice(("follow", "level"))] = key(
        '"follow": it follows the radius; or "level": as deep everywhere as the edges need', default="follow"
    )
    ends: Annotated[Literal["through", "stopped"] | None, Choice(("through", "stopped"))] = key(
        '"through" both edges; or "stopped" inside them',
        default=None,
        usual="through, or stopped inside a binding that is on",
    )
    margin: Annotated[float, Length(0.2, 50)] = key(
        "wood left by stopped slots at each edge, or at the binding", default=1.5
    )
    state: Annotated[Literal["to cut", "already cut"], Choice(("to cut", "already cut"))] = key(
        '"to cut"; or "already cut": only kept clear of', default="to cut"
    )
    fit: Fit = key("added to the width", default=0.0)
    tang: Annotated[float | None, Length(0.2, 2)] = key(
        "the fretwire's tang without its barbs, as measured", default=None, usual="not measured"
    )
    barbs: Annotated[float | None, Length(0.2, 3)] = key("the same over its barbs", default=None, usual="not measured")
    tang_depth: Annotated[float | None, Length(0.2, 10)] = key(
        "from the crown's seat to the tang's lower edge", default=None, usual="not measured"
    )
    measured: list[Place] = key(
        "where slots that are already cut truly lie, from the nut end, one for each fret; dots are centred between "
        "them",
        default_factory=list,
    )


class FaceDotsTable(Table):
    """[face_dots]."""

    frets: list[Called] = key("a list, such as [3, 5, 7, 9, 12]; dot 3 lies between frets 2 and 3")
    double: list[Called] = key("those of them that have two", default_factory=list)
    diameter: Diameter = key("of the dot")
    thickness: Annotated[tuple[float, float], LengthOrPair(Length(0.1, 20))] = key(
        "a length: of the shell, as measured; or [thinnest, thickest]"
    )
    proud: Annotated[float, Length(0, 5)] = key(
        "how far a dot stands above the finished face before it is levelled", default=0.2
    )
    fit: Fit = key("added to the pocket's diameter", default=0.0)
    shell_left: Annotated[float, Length(0, 10)] = key(
        "least shell that is left everywhere after levelling", default=0.5
    )
    spacing: Spacing = key(
        "between the two of a double, or neighbours of a triple, centre to centre",
        default=None,
        usual="half the local width",
    )
    across: Annotated[str | float, AcrossKind()] = key(
        'off the centre line toward the treble side; or "bass" or "treble": between the outer two strings there; '
        "a double without spacing then has its second mirrored",
        default=0.0,
        usual="0 mm",
    )
    triple: list[Called] = key("those of them that have three", default_factory=list)
    material: Annotated[str, Text(100)] = key(
        "an [[inlay_blank]]'s, of which dots are cut where they are asked for", default="", usual="they are bought"
    )


class SideDotsTable(Table):
    """[side_dots]."""

    frets: list[Called] = key("a list, as for face dots")
    double: list[Called] = key("those of them that have two", default_factory=list)
    diameter: Diameter = key("of the dot")
    depth: Annotated[float, Length(0.2, 50)] = key("below the edge")
    height: Annotated[float | None, LengthOr("auto", Length(0.2, 50))] = key(
        'a length above the glue face, one for all; "auto" solves it for the radiused edge', default=None
    )
    spacing: Spacing = key("between the two of a double, centre to centre", default=None, usual="2.5 diameters")
    margin: Annotated[float, Length(0.1, 20)] = key(
        "wood left above and below the dots in the finished edge", default=0.8
    )
    fit: Fit = key("added to the hole's diameter", default=0.0)
    edges: Annotated[Literal["bass", "treble", "both"], Choice(("bass", "treble", "both"))] = key(
        'in the "bass" edge, the "treble" edge, or "both"; each is a setup', default="bass"
    )


class BoardFileTable(Table):
    """A board file."""

    format: Annotated[int, Whole(1, 1)] = key("the version of this file's form", default=1)
    title: Annotated[str | None, Text(200)] = key(
        "shown in programs and on pages; only ever text", default=None, usual="the file's name"
    )
    unit: Annotated[Literal["mm", "in"], Choice(("mm", "in"))] = key('"mm" or "in": what a bare number means')
    unusual: list[Annotated[str, Choice(KEYS)]] = key(
        'keys whose figures are meant as they stand, however far from what is usual, such as ["board.thickness"]',
        default_factory=list,
    )
    scale: ScaleTable = key("the scale")
    strings: StringsTable | None = key(
        "only where frets slant, or where strings say where something lies", default=None
    )
    board: BoardTable = key("the board")
    blank: BlankTable | None = key(
        "only where the blank is not yet cut to the outline, a rectangle with the board in its middle", default=None
    )
    binding: BindingTable | None = key(
        "only where the edges are bound; its thickness lies within the board's widths", default=None
    )
    fret_slots: FretSlotsTable | None = key("may be left out", default=None)
    partial: list[PartialTable] = key(
        "one for each fret under some strings only, may be left out; its slot ends half a string's distance beyond "
        "them, or short of the edge by fret_slots.margin",
        default_factory=list,
    )
    face_dots: FaceDotsTable | None = key("may be left out", default=None)
    side_dots: SideDotsTable | None = key("may be left out", default=None)
    inlay: list[InlayTable] = key(
        'one for each drawing, shape or text that is let into the face, may be left out; see "Inlays"',
        default_factory=list,
    )
    inlay_blank: list[InlayBlankTable] = key(
        "one for each material that inlays name, and each size of its blanks; it decides how deep their pockets are, "
        "and pieces are cut from it",
        default_factory=list,
    )
    holding: list[HoldingTable] = key(
        'one for each clamp, jaw or fence, may be left out; see "What holds the wood"', default_factory=list
    )
