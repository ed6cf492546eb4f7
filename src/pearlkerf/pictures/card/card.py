"""The job card as PDF: what hangs over the bench while a board is cut."""

import io
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from pearlkerf.pictures.card.model import Card
from pearlkerf.pictures.card.parts import at_hand, inlays, last_page, setup_pages
from pearlkerf.pictures.card.style import Flow, Paper
from pearlkerf.pictures.fonts import REGULAR, SERIF, fitted, register_typeface, set_in_type
from pearlkerf.pictures.pdf import POINTS_PER_MM
from pearlkerf.pictures.sheets import SHEET_MM, Sheet

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

MARGIN_MM: Final = 12.0
HEAD_MM: Final = 9.0
TYPE_MM: Final = 3.5
TITLE_MM: Final = 5.2


def draw_card(card: Card, sheet: Sheet = "A4") -> bytes:
    """Draw a job card as PDF."""
    unit = card.layout.board.unit
    return draw_pages(card.title, "job card", lambda width: _story(card, Paper(width, unit)), sheet)


def draw_pages(title: str, what: str, story: Callable[[float], list[Flow]], sheet: Sheet = "A4") -> bytes:
    """Draw a card as PDF, upright, every page with its number, the card's title and ``what`` it is.

    ``story`` gives its blocks for a width in mm.  The same story always gives the same bytes.
    """
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    register_typeface()
    stream = io.BytesIO()
    width, height = (side * POINTS_PER_MM for side in SHEET_MM[sheet])
    margin, head = MARGIN_MM * POINTS_PER_MM, HEAD_MM * POINTS_PER_MM
    size = (width - 2 * margin, height - 2 * margin - head)
    frame = Frame(margin, margin, *size, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    document = BaseDocTemplate(
        stream,
        pagesize=(width, height),
        pageTemplates=[PageTemplate(frames=[frame])],
        title=f"{set_in_type(title)}: {what}",
        author="Pearlkerf",
        invariant=1,
        pageCompression=1,
    )
    document.build(story(size[0] / POINTS_PER_MM), canvasmaker=_numbered(title, what))
    return stream.getvalue()


def _story(card: Card, paper: Paper) -> list[Flow]:
    return [*setup_pages(card, paper), *at_hand(card, paper), *inlays(card, paper), *last_page(card, paper)]


def _numbered(title: str, what: str) -> Any:
    """Give a canvas that knows the number of pages before it sets the head of the first."""
    from reportlab.pdfgen.canvas import Canvas

    class Numbered(Canvas):
        def __init__(self, *args: Any, **kwargs: Any) -> None:
            super().__init__(*args, **kwargs)
            self._kept: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802
            self._kept.append(dict(self.__dict__))
            self._startPage()  # type: ignore[attr-defined]

        def save(self) -> None:
            for number, page in enumerate(self._kept, 1):
                self.__dict__.update(page)
                _head(self, title, f"{what}, page {number} of {len(self._kept)}")
                super().showPage()
            super().save()

    return Numbered


def _head(canvas: "Canvas", title: str, place: str) -> None:
    width, height = (side / POINTS_PER_MM for side in canvas._pagesize)  # type: ignore[attr-defined]
    canvas.saveState()
    canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
    y = height - MARGIN_MM - TYPE_MM
    canvas.setFont(SERIF, TITLE_MM)
    canvas.drawString(MARGIN_MM, y, fitted(set_in_type(title, SERIF), TITLE_MM, width - 2 * MARGIN_MM - 50.0, SERIF))
    canvas.setFont(REGULAR, TYPE_MM)
    canvas.drawRightString(width - MARGIN_MM, y, place)
    canvas.setLineWidth(0.2)
    canvas.line(MARGIN_MM, y - 1.6, width - MARGIN_MM, y - 1.6)
    canvas.restoreState()
