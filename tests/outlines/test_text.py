"""Text as outlines, held against the metrics of a font that is built here."""

import io

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen

from outlines.drawn import region, told
from pearlkerf.errors import Refusal
from pearlkerf.outlines.region import box_of
from pearlkerf.outlines.text import open_face, read_text

# a square stem 500 high, "o" a ring, "i" a stem with a dot in its place, advance widths in 1000ths of an em
WIDTHS = {".notdef": 500, "space": 250, "I": 300, "o": 700, "dot": 200, "i": 320, "loop": 100}
SIGNS = {" ": "space", "I": "I", "o": "o", "i": "i", "@": "loop"}
WHOLE = {"i": [("I", 0, 0), ("dot", 50, 600)]}


def box(pen, x0: int, y0: int, x1: int, y1: int) -> None:
    pen.moveTo((x0, y0))
    for point in [(x0, y1), (x1, y1), (x1, y0)]:
        pen.lineTo(point)
    pen.closePath()


def draw(name: str, pen) -> None:
    if name == "I":
        box(pen, 50, 0, 150, 500)
    if name == "o":
        pen.moveTo((100, 250))
        pen.qCurveTo((100, 500), (600, 500), (600, 250))
        pen.qCurveTo((600, 0), (100, 0), (100, 250))
        pen.closePath()
        pen.moveTo((500, 200))
        pen.lineTo((500, 300))
        pen.lineTo((200, 300))
        pen.lineTo((200, 200))
        pen.closePath()
    if name == "dot":
        box(pen, 0, 0, 100, 100)
        box(pen, 20, 20, 60, 60)


def a_font(parts: dict[str, list[tuple[str, int, int]]] = WHOLE) -> bytes:
    """Give a TrueType font; ``parts`` says of what glyphs are put together, and where."""
    names = list(WIDTHS)
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(sign): name for sign, name in SIGNS.items()})
    glyphs = {}
    for name in names:
        pen = TTGlyphPen(dict.fromkeys(names))
        made_of = parts.get(name, [])
        for part, x, y in made_of:
            pen.addComponent(part, (1, 0, 0, 1, x, y))
        if not made_of:
            draw(name, pen)
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs, calcGlyphBounds=parts == WHOLE)
    for each in glyphs.values() if parts != WHOLE else ():  # a glyph without end has no bounds
        each.xMin = each.yMin = each.xMax = each.yMax = 0
    builder.setupHorizontalMetrics({name: (WIDTHS[name], getattr(glyphs[name], "xMin", 0)) for name in names})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Small"})
    builder.setupOS2()
    builder.setupPost()
    data = io.BytesIO()
    builder.font.recalcBBoxes = False
    builder.save(data)
    return data.getvalue()


def a_cff_font(program: list) -> bytes:
    """Give a font with CFF outlines, whose "I" is a program and whose first subroutine calls itself."""
    from fontTools.cffLib import GlobalSubrsIndex
    from fontTools.misc.psCharStrings import T2CharString

    builder = FontBuilder(1000, isTTF=False)
    builder.setupGlyphOrder([".notdef", "I"])
    builder.setupCharacterMap({ord("I"): "I"})
    pen = T2CharStringPen(500, None)
    box(pen, 50, 0, 150, 500)
    square = pen.getCharString()
    strings = {".notdef": square, "I": T2CharString(program=program) if program else square}
    builder.setupCFF("Small", {}, strings, {})
    if program:
        index = GlobalSubrsIndex()
        index.append(T2CharString(program=[-107, "callgsubr", -107, "callgsubr", "return"]))
        builder.font["CFF "].cff.GlobalSubrs = index
        builder.font.recalcBBoxes = False
    builder.setupHorizontalMetrics({".notdef": (500, 0), "I": (300, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Small"})
    builder.setupOS2()
    builder.setupPost()
    data = io.BytesIO()
    builder.save(data)
    return data.getvalue()


def refusal(text: str, data: bytes | None = None) -> str:
    with pytest.raises(Refusal) as refused:
        read_text(text, open_face(a_font() if data is None else data, "small.ttf"))
    return told(refused.value)


@pytest.mark.parametrize(
    ("text", "right"),
    [("I", 150), ("II", 300 + 150), ("I I", 300 + 250 + 150), ("oI", 700 + 150), ("IIIIo", 4 * 300 + 600)],
)
def test_glyphs_stand_side_by_side_by_their_advance_widths(text: str, right: int) -> None:
    drawing = read_text(text, open_face(a_font(), "small.ttf"))
    assert box_of(drawing.figures)[2] == pytest.approx(right) and not drawing.has_size


def test_a_ring_has_its_hole_and_a_put_together_sign_its_parts() -> None:
    drawing = read_text("oi", open_face(a_font(), "small.ttf"))
    ring, *stem = region(drawing).parts
    assert len(ring.interiors) == 1 and ring.bounds == pytest.approx((100, 0, 600, 500))
    assert not any(part.interiors for part in stem)  # lines that run one way fill all within
    assert [part.bounds for part in stem] == [(750, 0, 850, 500), (750, 600, 850, 700)]


def test_signs_are_parts_by_their_number_and_by_themselves() -> None:
    drawing = read_text("IoI", open_face(a_font(), "small.ttf"))
    assert drawing.parts == ("1", "I", "2", "o", "3")
    assert len(region(drawing, "I").parts) == 2 and len(region(drawing, "3").parts) == 1


def test_cff_outlines_are_read() -> None:
    drawing = read_text("II", open_face(a_cff_font([]), "small.otf"))
    assert box_of(drawing.figures) == (50, 0, 450, 500)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Wren", 'small.ttf: text "Wren": the font has no "W" (U+0057)'),
        ("  ", 'small.ttf: text "  ": it has nothing to draw, or is too long, or has signs that show nothing'),
        ("I\nI", 'small.ttf: text "I\nI": it has nothing to draw'),
        ("I" * 201, f'small.ttf: text "{"I" * 40}": it has nothing to draw'),
        ("I\u0301", "U+0301 is not set beside its neighbours from left to right"),
        ("\u05d0", "U+05D0 is not set beside its neighbours from left to right"),
    ],
)
def test_what_cannot_be_set_is_refused(text: str, found: str) -> None:
    assert found in refusal(text)


@pytest.mark.parametrize(
    "parts",
    [
        {"loop": [("loop", 0, 0)]},
        {"loop": [("I", 10 * n, 0) for n in range(40)], "I": [("o", 10 * n, 0) for n in range(40)]},
    ],
    ids=["of itself", "of too many"],
)
def test_a_glyph_without_end_is_refused(parts: dict) -> None:
    assert refusal("@", a_font(parts)).endswith('"@" is drawn of too many pieces, or of itself')


def test_a_subroutine_without_end_is_refused() -> None:
    found = refusal("I", a_cff_font([-107, "callgsubr", "endchar"]))
    assert found.endswith('"I" is drawn of too many pieces, or of itself')


def test_files_that_are_no_font_are_refused() -> None:
    assert refusal("I", b"wOFF" + bytes(99)) == "small.ttf: it is no font of one face"
    assert refusal("I", a_font()[:200]).startswith("small.ttf: it is no font that can be read")


@pytest.mark.parametrize("at", range(0, 1400, 35))
def test_a_damaged_font_is_read_or_refused(at: int) -> None:
    data = bytearray(a_font())
    data[at : at + 4] = b"\xff\x7f\x00\xff"
    try:
        region(read_text("oIi", open_face(bytes(data), "small.ttf")))
    except Refusal:
        return
