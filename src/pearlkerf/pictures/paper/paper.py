"""The paper template at full size, tiled over sheets, and the same layout as SVG, DXF and CSV."""

import io
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from pearlkerf.layout.model import Layout
from pearlkerf.machine.woods import find_wood
from pearlkerf.pictures.drawing import MM_PER_INCH, Circle, Drawing, Line, cross
from pearlkerf.pictures.fonts import BOLD, REGULAR, fitted, register_typeface, set_in_type, text_width_mm
from pearlkerf.pictures.paper.dxf import write_dxf
from pearlkerf.pictures.paper.svg import write_svg
from pearlkerf.pictures.paper.table import write_csv
from pearlkerf.pictures.paper.template import draw_layout
from pearlkerf.pictures.pdf import POINTS_PER_MM, extent_of, set_down
from pearlkerf.pictures.rows import corners_of, draw_rows
from pearlkerf.pictures.sheets import MARGIN_MM, Box, Page, Sheet, Tile, Tiling, spread
from pearlkerf.setups.model import Setup

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

AIR_MM: Final = 12.0  # round the drawing, room for the joining marks
TYPE_MM: Final = 3.4  # size of the small type
TITLE_MM: Final = 5.0
BAR_MM: Final = 200.0
BAR_INCHES: Final = (8, 7)  # the longest that fits is drawn
MARK_MM: Final = 2.5  # radius of a joining mark
CAUTION_MM: Final = 3.2  # 9 points: read at arm's length
CAUTION: Final = (
    "Wood and shell dust harm the lungs: extract it, wear a mask made for it. Eyes protected, hands behind every edge "
    "and punch. Local rules and licensed practice come first."
)
PRINT_LINE: Final = "Print at 100 % (actual size, no fitting to the page). Measure both bars before you punch."


def layout_svg(layout: Layout) -> bytes:
    """Give the layout at full size as SVG, one group for each layer."""
    return write_svg(draw_layout(layout))


def layout_dxf(layout: Layout) -> bytes:
    """Give the layout at full size as DXF (R2010, mm), one layer for each of the drawing's."""
    return write_dxf(draw_layout(layout))


def layout_csv(layout: Layout) -> bytes:
    """Give the positions of frets and dots as CSV, mm to 0.001."""
    return write_csv(layout)


def draw_template(layout: Layout, sheet: Sheet = "A4") -> bytes:
    """Draw the paper template as PDF in true size, on as many sheets as it needs.

    Vector lines only; page scaling is switched off in the file (ISO 32000-1, table 150, PrintScaling),
    which a printer's dialogue may still override: hence a measuring bar on every sheet.
    The same layout always gives the same bytes.
    """
    drawing = draw_layout(layout)
    tiling = tile_drawing(layout, drawing, sheet)
    return _drawn_true(drawing, tiling, "paper template", _cautions(layout.board.wood))


def draw_row_sheets(title: str, setups: Sequence[Setup], sheet: Sheet = "A4") -> bytes:
    """Draw rows of blanks with their pieces as PDF in true size, to lay the blanks on, as the template is drawn."""
    drawing = draw_rows(title, setups)
    edges = [x for setup in setups if setup.row for blank in setup.row.blanks for x, _ in corners_of(blank)]
    points = extent_of(drawing.things)
    (left, low), (right, high) = (tuple(map(of, zip(*points, strict=True))) for of in (min, max))
    box = Box(left - AIR_MM, low - AIR_MM, right + AIR_MM, high + AIR_MM)
    return _drawn_true(drawing, spread(box, edges, [], sheet), "pieces", [CAUTION])


def _drawn_true(drawing: Drawing, tiling: Tiling, what: str, cautions: list[str]) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    register_typeface()
    page, stream = tiling.page, io.BytesIO()
    size = (page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM)
    canvas = Canvas(stream, pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(f"{drawing.title}: {what}")
    canvas.setAuthor("Pearlkerf")
    canvas.setViewerPreference("PrintScaling", "None")
    for tile in tiling.tiles:
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        _draw_tile(canvas, drawing, tiling, tile)
        _draw_joins(canvas, tiling, tile)
        _draw_header(canvas, drawing.title, tiling, tile)
        _draw_bars(canvas, page, cautions)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def tile_drawing(layout: Layout, drawing: Drawing, sheet: Sheet) -> Tiling:
    """Spread a layout's drawing over sheets, the joining lines clear of frets and dots where possible."""
    things = tuple(thing for thing in drawing.things if thing.layer != "title")
    points = extent_of(things)
    box = Box(
        min(x for x, _ in points) - AIR_MM,
        min(y for _, y in points) - AIR_MM,
        max(x for x, _ in points) + AIR_MM,
        max(y for _, y in points) + AIR_MM,
    )
    circles = [thing.centre for thing in things if isinstance(thing, Circle)]
    keep_x = [*layout.frets_mm.tolist(), *(x for x, _ in circles)]
    return spread(box, keep_x, [y for _, y in circles], sheet)


def origin_mm(page: Page, tile: Tile) -> tuple[float, float]:
    """Where the drawing's zero lies on a tile's page, from the lower left corner: the window sits in mid area."""
    area, window = page.area, tile.window
    x = (area.left + area.right - window.left - window.right) / 2
    y = (area.low + area.high - window.low - window.high) / 2
    return x, y


def _draw_tile(canvas: "Canvas", drawing: Drawing, tiling: Tiling, tile: Tile) -> None:
    canvas.saveState()
    canvas.translate(*origin_mm(tiling.page, tile))
    window, clip = tile.window, canvas.beginPath()
    clip.rect(window.left, window.low, window.width_mm, window.height_mm)
    canvas.clipPath(clip, stroke=0, fill=0)
    for thing in drawing.things:
        if thing.layer != "title":
            set_down(canvas, thing)
    canvas.restoreState()


def _draw_joins(canvas: "Canvas", tiling: Tiling, tile: Tile) -> None:
    """The joining lines of a tile, each with its letter and two marks that must fall on their like."""
    canvas.saveState()
    canvas.translate(*origin_mm(tiling.page, tile))
    window = tile.window
    for line, letter in zip(tiling.joins_x, "ABCDEFGH", strict=False):
        if window.left < line < window.right:
            ends = ((line, window.low), (line, window.high))
            _draw_join(canvas, ends, letter)
    for line, letter in zip(tiling.joins_y, "STUVWXYZ", strict=False):
        if window.low < line < window.high:
            ends = ((window.left, line), (window.right, line))
            _draw_join(canvas, ends, letter)
    canvas.restoreState()


def _draw_join(canvas: "Canvas", ends: tuple[tuple[float, float], tuple[float, float]], letter: str) -> None:
    (x1, y1), (x2, y2) = ends
    set_down(canvas, Line("blank", *ends))
    canvas.setFont(BOLD, TYPE_MM * 1.2)
    share = 2 * MARK_MM / math.dist(*ends)
    for part in (share, 1 - share):
        x, y = x1 + part * (x2 - x1), y1 + part * (y2 - y1)
        for thing in (Circle("notes", (x, y), MARK_MM), *cross("notes", (x, y), 1.6 * MARK_MM)):
            set_down(canvas, thing)
        canvas.drawRightString(x - 1.0, y + MARK_MM + 0.5, letter)
        canvas.drawString(x + 1.0, y + MARK_MM + 0.5, letter)


def _draw_header(canvas: "Canvas", title: str, tiling: Tiling, tile: Tile) -> None:
    page, last = tiling.page, len(tiling.tiles)
    top, right = page.height_mm - MARGIN_MM, page.width_mm - MARGIN_MM
    place = f"sheet {tile.number} of {last}"
    canvas.setFont(BOLD, TITLE_MM)
    canvas.drawRightString(right, top - TITLE_MM, place)
    room = right - MARGIN_MM - text_width_mm(place, TITLE_MM, BOLD) - 4.0
    canvas.drawString(MARGIN_MM, top - TITLE_MM, fitted(set_in_type(title, BOLD), TITLE_MM, room))
    canvas.setFont(REGULAR, TYPE_MM)
    canvas.drawString(MARGIN_MM, top - TITLE_MM - 1.5 * TYPE_MM, PRINT_LINE)
    if last > 1:
        how = "Cut one sheet on the dashed line, lay it over the other: the marks must meet."
        canvas.drawRightString(right, top - TITLE_MM - 1.5 * TYPE_MM, how)


def _cautions(wood: str) -> list[str]:
    """The usual cautions in a line, and one on the wood's own dust where it is known."""
    known = find_wood(wood)
    return [CAUTION] + ([f"{known.name.capitalize()} dust: {known.dust}."] if known is not None and known.dust else [])


def _draw_bars(canvas: "Canvas", page: Page, cautions: list[str]) -> None:
    """The measuring bars, along the page's long side, and the cautions above them."""
    canvas.saveState()
    room = page.width_mm if page.turn == "across" else page.height_mm
    if page.turn == "upright":
        canvas.translate(MARGIN_MM + 16.0, 0.0)
        canvas.rotate(90)
    else:
        canvas.translate(0.0, MARGIN_MM)
    inches = next(n for n in BAR_INCHES if n * MM_PER_INCH <= room - 2 * MARGIN_MM)
    _draw_bar(canvas, ((room - BAR_MM) / 2, 12.0), [10.0] * 20, [f"{k * 50} mm" for k in range(5)])
    left = (room - BAR_MM) / 2
    if left + inches * MM_PER_INCH > room - MARGIN_MM:
        left = (room - inches * MM_PER_INCH) / 2
    _draw_bar(canvas, (left, 2.5), [MM_PER_INCH / 4] * (4 * inches), [f"{k} in" for k in range(inches + 1)])
    canvas.setFont(REGULAR, CAUTION_MM)
    for line, caution in enumerate(reversed(cautions)):
        words = fitted(set_in_type(caution), CAUTION_MM, room - 2 * MARGIN_MM, REGULAR)
        canvas.drawString(MARGIN_MM, 17.6 + 3.5 * line, words)
    canvas.restoreState()


def _draw_bar(canvas: "Canvas", at: tuple[float, float], steps: list[float], labels: list[str]) -> None:
    """One bar with its ticks: a long tick and a label at equal parts, the length from first to last tick."""
    x, y = at
    every = len(steps) // (len(labels) - 1)
    canvas.setLineWidth(0.15)
    canvas.setDash([])
    canvas.line(x, y, x + sum(steps), y)
    canvas.setFont(REGULAR, TYPE_MM * 0.85)
    for k in range(len(steps) + 1):
        tick = x + k * steps[0]
        canvas.line(tick, y, tick, y + (4.0 if k % every == 0 else 2.0))
        if k % every == 0:
            canvas.drawString(tick + 0.8, y + 2.3, labels[k // every])
