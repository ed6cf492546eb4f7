"""How a job card is set: type sizes for reading at arm's length, tables, boxes to tick, pictures in true shape."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias
from xml.sax.saxutils import escape

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit
from pearlkerf.pictures.drawing import Drawing
from pearlkerf.pictures.fonts import BOLD, REGULAR, SERIF, set_in_type
from pearlkerf.pictures.pdf import POINTS_PER_MM, extent_of, set_down

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    Flow: TypeAlias = Flowable
else:
    Flow = Any
# what stands in a place of a table: one block, or several
Cell = Flow | Sequence[Flow]

Manner = Literal[
    "body",
    "strong",
    "small",
    "small strong",
    "label",
    "bullet",
    "heading",
    "small heading",
    "box",
    "number",
    "time",
]

# face, size, leading, space before, space after; points.  Nothing is smaller than 9: read at arm's length
MANNERS: Final[dict[Manner, tuple[str, float, float, float, float]]] = {
    "body": (REGULAR, 10, 12.2, 0, 1),
    "strong": (BOLD, 10, 12.2, 0, 1),
    "small": (REGULAR, 9, 10.8, 0, 0.5),
    "small strong": (BOLD, 9, 11, 0, 1),
    "label": (REGULAR, 9, 10.5, 0, 0),
    "bullet": (REGULAR, 10, 12.2, 0, 1.5),
    "heading": (SERIF, 18, 21, 1, 2),
    "small heading": (SERIF, 12, 15, 5, 2),
    "box": (REGULAR, 14, 13, 0, 0),
    "number": (SERIF, 24, 24, 0, 0),
    "time": (BOLD, 12, 14, 0, 0),
}
AT_RIGHT: Final = ("number", "time")
RULE_POINTS: Final = 0.5
RULE: Final = "#808080"
CELL_POINTS: Final = 3.0
# a taller picture leaves no room for what belongs to it on the page
TALLEST_MM: Final = 150.0


@dataclass(frozen=True, slots=True)
class Paper:
    """What a card is set on: how wide its pages are, mm, and the unit in which it tells lengths."""

    width_mm: float
    unit: Unit = "mm"

    def words(self, text: str, manner: Manner = "body") -> Flow:
        """Give a paragraph of our own words, their lengths in the card's unit."""
        return prose(in_unit(text, self.unit), manner)

    def points(self, sentences: Iterable[str]) -> list[Flow]:
        """Give sentences as a list."""
        return [self.words(each, "bullet") for each in sentences]


def prose(text: str, manner: Manner = "body") -> Flow:
    """Give a paragraph; the text is set as it is, never taken for markup."""
    from reportlab.lib.enums import TA_RIGHT
    from reportlab.platypus import Paragraph

    words = escape(set_in_type(text, MANNERS[manner][0]))
    style = _style(manner, {"alignment": TA_RIGHT} if manner in AT_RIGHT else {})
    return Paragraph(words, style, bulletText="–" if manner == "bullet" else None)


def led(lead: str, text: str) -> Flow:
    """Give a paragraph that begins with a word in bold."""
    from reportlab.platypus import Paragraph

    return Paragraph(f"{_in_bold(lead)}  {escape(set_in_type(text))}", _style("body", {}))


def figured(lead: str, figures: Sequence[tuple[str, str]], manner: Manner) -> Flow:
    """Give a paragraph of words, each with its figure in bold, after a word in bold."""
    from reportlab.platypus import Paragraph

    parts = [f"{escape(set_in_type(text))} {_in_bold(figure)}" for text, figure in figures]
    return Paragraph(f"{_in_bold(lead)} {'; '.join(parts)}", _style(manner, {}))


def _in_bold(text: str) -> str:
    return f'<font name="{BOLD}">{escape(set_in_type(text, BOLD))}</font>'


def _style(manner: Manner, more: dict[str, Any]) -> Any:
    from reportlab.lib.styles import ParagraphStyle

    face, size, leading, before, after = MANNERS[manner]
    return ParagraphStyle(
        manner,
        fontName=face,
        fontSize=size,
        leading=leading,
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=12 if manner == "bullet" else 0,
        bulletFontName=face,
        keepWithNext="heading" in manner,
        **more,
    )


def heading(text: str) -> Flow:
    """Give the heading of a part."""
    return prose(text, "heading")


def small_heading(text: str) -> Flow:
    """Give the heading of a block."""
    return prose(text, "small heading")


def gap(height_mm: float) -> Flow:
    """Give empty space."""
    from reportlab.platypus import Spacer

    return Spacer(1, height_mm * POINTS_PER_MM)


def new_page() -> Flow:
    """Begin a page; nothing where one has just begun."""
    from reportlab.platypus.doctemplate import NotAtTopPageBreak

    return NotAtTopPageBreak()


def together(flow: Sequence[Flow]) -> Flow:
    """Give blocks that stay on one page where a page can hold them."""
    from reportlab.platypus import KeepTogether

    return KeepTogether(list(flow))


def table(rows: Sequence[Sequence[Cell | None]], shares: Sequence[float], width_mm: float) -> Flow:
    """Give a table across the page, a rule under every row; where the last cell is None, the one before it runs on."""
    from reportlab.platypus import Table, TableStyle

    widths = [width_mm * POINTS_PER_MM * share / sum(shares) for share in shares]
    style: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), CELL_POINTS),
        ("RIGHTPADDING", (0, 0), (-1, -1), CELL_POINTS),
        ("TOPPADDING", (0, 0), (-1, -1), 1.2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.6),
        ("LINEBELOW", (0, 0), (-1, -1), RULE_POINTS, RULE),
    ]
    style += [("SPAN", (-2, number), (-1, number)) for number, row in enumerate(rows) if row[-1] is None]
    return Table([list(row) for row in rows], colWidths=widths, style=TableStyle(style))


def picture(drawing: Drawing, width_mm: float) -> Flow:
    """Give a drawing in the middle of the page, at its size in mm, or smaller where that does not fit."""
    from reportlab.platypus import Flowable

    points = extent_of(drawing.things)
    left, low = min(x for x, _ in points), min(y for _, y in points)
    wide, tall = max(x for x, _ in points) - left, max(y for _, y in points) - low
    scale = min(1.0, width_mm / wide, TALLEST_MM / tall)

    class Picture(Flowable):
        def wrap(self, aW: float, aH: float) -> tuple[float, float]:  # noqa: N803
            del aW, aH
            return width_mm * POINTS_PER_MM, (tall * scale + 4.0) * POINTS_PER_MM

        def draw(self) -> None:
            canvas = self.canv
            canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
            canvas.translate((width_mm - wide * scale) / 2, 2.0)
            canvas.scale(scale, scale)
            canvas.translate(-left, -low)
            for thing in drawing.things:
                set_down(canvas, thing)

    return Picture()
