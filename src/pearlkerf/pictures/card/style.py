"""How a job card is set: type sizes for reading at arm's length, tables, boxes to tick, pictures in true shape."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias
from xml.sax.saxutils import escape

from pearlkerf.pictures.drawing import Drawing
from pearlkerf.pictures.fonts import BOLD, REGULAR, set_in_type
from pearlkerf.pictures.pdf import POINTS_PER_MM, extent_of, set_down

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    Flow: TypeAlias = Flowable
else:
    Flow = Any

Manner = Literal["body", "strong", "label", "figure", "bullet", "heading", "small heading", "large"]

# face, size, leading, space before, space after; points
MANNERS: Final[dict[Manner, tuple[str, float, float, float, float]]] = {
    "body": (REGULAR, 11, 14, 0, 2),
    "strong": (BOLD, 11, 14, 0, 2),
    "label": (REGULAR, 8.5, 10, 0, 0),
    "figure": (BOLD, 13, 16, 0, 2),
    "bullet": (REGULAR, 11, 14, 0, 2),
    "heading": (BOLD, 18, 22, 10, 4),
    "small heading": (BOLD, 12.5, 16, 6, 3),
    "large": (BOLD, 26, 31, 0, 4),
}
RULE_POINTS: Final = 0.5
CELL_POINTS: Final = 3.0
# a taller picture leaves no room for what belongs to it on the page
TALLEST_MM: Final = 150.0


def prose(text: str, manner: Manner = "body") -> Flow:
    """Give a paragraph; the text is set as it is, never taken for markup."""
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    face, size, leading, before, after = MANNERS[manner]
    bullet = manner == "bullet"
    style = ParagraphStyle(
        manner,
        fontName=face,
        fontSize=size,
        leading=leading,
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=12 if bullet else 0,
        bulletFontName=face,
        keepWithNext="heading" in manner,
    )
    return Paragraph(escape(set_in_type(text, face)), style, bulletText="–" if bullet else None)


def large(text: str) -> Flow:
    """Give the card's title."""
    return prose(text, "large")


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


def together(flow: Sequence[Flow]) -> Flow:
    """Give blocks that stay on one page where a page can hold them."""
    from reportlab.platypus import KeepTogether

    return KeepTogether(list(flow))


def table(
    rows: Sequence[Sequence[Flow]],
    shares: Sequence[float],
    width_mm: float,
    look: Literal["rows", "figures"] = "rows",
) -> Flow:
    """Give a table across the page, a rule under every row, or one frame round a block of figures."""
    from reportlab.platypus import Table, TableStyle

    widths = [width_mm * POINTS_PER_MM * share / sum(shares) for share in shares]
    style: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), CELL_POINTS),
        ("RIGHTPADDING", (0, 0), (-1, -1), CELL_POINTS),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    if look == "figures":
        style += [("BOX", (0, 0), (-1, -1), 2 * RULE_POINTS, "black")]
    else:
        style += [("LINEBELOW", (0, 0), (-1, -1), RULE_POINTS, "#999999")]
    return Table([list(row) for row in rows], colWidths=widths, style=TableStyle(style))


def boxes(sentences: Sequence[str], width_mm: float) -> Flow:
    """Give sentences, each with a box to tick."""
    rows = [[prose("☐", "figure"), prose(sentence)] for sentence in sentences]
    return table(rows, [0.35, 6.0], width_mm)


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
