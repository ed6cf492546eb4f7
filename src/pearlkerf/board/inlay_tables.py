"""The tables of inlays in a board file: every key, what it may hold, what it means, and its default."""

from typing import Annotated, Final, Literal

from pearlkerf.board.blank_kinds import MOST_BLANKS, PlaceKind, UsedKind
from pearlkerf.board.inlays import PiecePlace, UsedPlace
from pearlkerf.board.kinds import MOST_FRETS
from pearlkerf.files.toml_keys import Table, key
from pearlkerf.files.toml_values import Choice, Flag, Length, LengthOrPair, Number, Text, Whole, WholeOrName

Called = Annotated[int | str, WholeOrName(Whole(1, MOST_FRETS))]
Thickness = LengthOrPair(Length(0.1, 20))
Cutter = Annotated[int | None, Whole(1, 999)]
MOST_STRIPS: Final = 4
# what outlines/shapes.py draws; whoever reads a board waits for no outlines
SHAPES: Final = (
    "block", "parallelogram", "diamond", "oval", "cat's eye", "half moon", "snowflake", "star", "ring", "line",
)  # fmt: skip


class InlayTable(Table):
    """[[inlay]]."""

    name: Annotated[str, Text(40)] = key(
        "what it is called; pockets add their place", default="", usual="the drawing's or shape's name"
    )
    outline: Annotated[str, Text(200)] = key(
        "a drawing beside or below the board file, .svg or .dxf; y is up, as seen with the face toward you and the nut "
        "at the left; or",
        default="",
    )
    shape: Annotated[str, Choice(SHAPES)] = key(
        f"one of {', '.join(SHAPES)}; a block without length and width fills its fret space; or", default=""
    )
    text: Annotated[str, Text(200)] = key("letters of a typeface, on one line", default="")
    font: Annotated[str, Text(200)] = key(
        "the typeface of a text, a .ttf or .otf file beside or below the board file",
        default="",
        usual="the shipped one",
    )
    parts: list[Annotated[str, Text(100, 1)]] = key(
        "of a drawing only these: ids of an SVG, layers of a DXF", default_factory=list, usual="all that is closed"
    )
    frets: list[Called] = key(
        "in the middle of which fret spaces, as for dots: 7 is the space between frets 6 and 7; or",
        default_factory=list,
    )
    on_frets: list[Called] = key("on which frets' lines; or", default_factory=list)
    along: Annotated[float | None, Length(-500, 2500)] = key("how far from X0 along the centre line", default=None)
    across: Annotated[float, Length(-150, 150)] = key(
        "its middle off the centre line, toward the treble side", default=0.0
    )
    length: Annotated[float | None, Length(0.5, 2000)] = key(
        "of its box along the board, before it is turned; alone it scales the drawing, with width it stretches it",
        default=None,
        usual="the drawing's own size",
    )
    width: Annotated[float | None, Length(0.5, 400)] = key(
        "of its box across the board", default=None, usual="the drawing's own size"
    )
    mirror: Annotated[bool, Flag()] = key("about the drawing's upright axis", default=False)
    turn: Annotated[float, Number(-360, 360, "degrees")] = key(
        "counter-clockwise about the middle of its box, once it is sized and mirrored", default=0.0
    )
    material: Annotated[str, Text(100)] = key("an [[inlay_blank]]'s, whose thickness it takes; or", default="")
    thickness: Annotated[tuple[float, float] | None, Thickness] = key(
        "of the pieces, as measured, or [thinnest, thickest]", default=None, usual="the material's"
    )
    proud: Annotated[float, Length(0, 5)] = key(
        "how far a piece stands above the finished face before it is levelled", default=0.2
    )
    shell_left: Annotated[float, Length(0, 10)] = key("least that is left everywhere after levelling", default=0.5)
    floor: Annotated[Literal["level", "follow"], Choice(("level", "follow"))] = key(
        'of its pockets: "level", or "follow" the finished face, for a board that is radiused already and for pieces '
        "that bend",
        default="level",
    )
    strips: Annotated[int, Whole(1, MOST_STRIPS)] = key(
        "along the board into which it is divided, each with a depth of its own", default=1
    )
    gap: Annotated[float, Length(0.005, 1)] = key("between piece and pocket, on each side", default=0.05)
    pieces: Annotated[Literal["cut", "by hand"], Choice(("cut", "by hand"))] = key(
        '"cut" by this machine, or "by hand": then only the pocket\'s cutter limits the drawing', default="cut"
    )
    detail: Annotated[float, Length(0.01, 10)] = key(
        "the most that the drawing may give; of cutters that serve the largest is taken", default=0.3
    )
    pocket_cutter: Cutter = key(
        "the number of the pockets' finishing cutter", default=None, usual="the largest that serves"
    )
    piece_cutter: Cutter = key(
        "the number of the cutter round the pieces", default=None, usual="the largest that serves"
    )
    corners: Annotated[Literal["rounded", "by hand"], Choice(("rounded", "by hand"))] = key(
        '"rounded" as the cutters leave them, or "by hand": pieces keep theirs, the pockets\' are chiselled',
        default="rounded",
    )
    corner_limit: Annotated[float, Length(0.1, 5)] = key(
        "what a chisel takes of one corner at most, from its tip on", default=1.5
    )
    slots: Annotated[Literal["refuse", "after", "by hand"], Choice(("refuse", "after", "by hand"))] = key(
        'where it meets a fret slot: "refuse" it; "after": that slot is left, and cut once the pieces are glued in; '
        '"by hand": it is cut with the others and sawn again through the piece',
        default="refuse",
    )
    set_in: Annotated[str, Text(40)] = key("the name of another inlay with which it shares one pocket", default="")
    beside_frets: Annotated[float, Length(0.5, 50)] = key(
        "of a block that fills its space: wood to the slots", default=2.0
    )
    beside_edges: Annotated[float, Length(0.5, 100)] = key("and to the edges, or the binding", default=3.5)


class InlayBlankTable(Table):
    """[[inlay_blank]]."""

    material: Annotated[str, Text(100, 1)] = key("what it is; inlays name it")
    thickness: Annotated[tuple[float, float], Thickness] = key("as measured, or [thinnest, thickest]")
    hold: Annotated[Literal["tape", "skin", "tabs"], Choice(("tape", "skin", "tabs"))] = key(
        'while pieces are cut: "tape", "tabs", or a "skin" of 0.15 mm that is sanded off them, and makes pockets so '
        "much shallower",
        default="tape",
    )
    length: Annotated[float | None, Length(1, 1000)] = key(
        "of each of its blanks, along X on the machine", default=None, usual="nothing is cut from it"
    )
    width: Annotated[float | None, Length(1, 1000)] = key(
        "of each of its blanks", default=None, usual="nothing is cut from it"
    )
    count: Annotated[int, Whole(1, MOST_BLANKS)] = key("how many of this size", default=1)
    tape: Annotated[float, Length(0, 2)] = key("of tape or glue between it and the backing board", default=0.2)
    figure: Annotated[Literal["any", "lengthwise", "one way"], Choice(("any", "lengthwise", "one way"))] = key(
        'how pieces may be turned on it: "any" way, "lengthwise" only end for end, "one way" not at all, so that its '
        "figure runs along the board",
        default="any",
    )
    used: list[Annotated[UsedPlace, UsedKind()]] = key(
        "places of it that are gone: { blank = 1, box = [0, 0, 12, 25] }, from the blank's lower left corner",
        default_factory=list,
    )
    place: list[Annotated[PiecePlace, PlaceKind()]] = key(
        'where pieces are to be cut, { piece = "wave 5/3", blank = 1, at = [12.5, 8], turn = 90 }: the middle of their '
        "box, and how far they are turned about it; the rest is packed",
        default_factory=list,
    )
