"""The typeface that the PDFs carry, so that any printer sets any title: its registration and its gaps."""

from bisect import bisect_right
from importlib.resources import as_file, files
from typing import Final

from pearlkerf.pictures.drawing import REPLACEMENT, plain

REGULAR: Final = "PearlkerfText"
BOLD: Final = "PearlkerfText-Bold"
SERIF: Final = "PearlkerfHead-Bold"  # what things are called, as on the pages
CAPITAL: Final = 1493 / 2048  # height of H over the type size, measured in the typeface
_FILES: Final = {
    REGULAR: "DejaVuSansCondensed.ttf",
    BOLD: "DejaVuSansCondensed-Bold.ttf",
    SERIF: "DejaVuSerifCondensed-Bold.ttf",
}


def register_typeface() -> None:
    """Make the regular and the bold face known to reportlab (once; a second call changes nothing)."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    known = pdfmetrics.getRegisteredFontNames()
    for name, file in _FILES.items():
        if name not in known:
            with as_file(files("pearlkerf.pictures") / "typefaces" / file) as path:
                pdfmetrics.registerFont(TTFont(name, str(path)))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


def set_in_type(text: str, face: str = REGULAR) -> str:
    """Give text that the face can set: whatever it has no glyph for is shown as U+FFFD, a marked lozenge.

    >>> set_in_type("Łódź, 5°") == "Łódź, 5°"
    True
    >>> set_in_type("\N{CJK UNIFIED IDEOGRAPH-6F22}") == "\N{REPLACEMENT CHARACTER}"
    True
    """
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    register_typeface()
    font = pdfmetrics.getFont(face)
    assert isinstance(font, TTFont)
    glyphs = font.face.charToGlyph
    return "".join(sign if ord(sign) in glyphs else REPLACEMENT for sign in plain(text))


def text_width_mm(text: str, size_mm: float, face: str = REGULAR) -> float:
    """Width of a line of text at a type size, in mm."""
    from reportlab.pdfbase import pdfmetrics

    register_typeface()
    return float(pdfmetrics.stringWidth(text, face, size_mm))


def fitted(title: str, size_mm: float, room_mm: float, face: str = BOLD) -> str:
    """Give a title, cut short with an ellipsis where it is longer than the room for it."""
    if text_width_mm(title, size_mm, face) <= room_mm:
        return title
    fits = bisect_right(range(len(title)), room_mm, key=lambda n: text_width_mm(title[:n] + "…", size_mm, face))
    return title[: max(0, fits - 1)].rstrip() + "…"
