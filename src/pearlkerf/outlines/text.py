"""Text as outlines: the glyphs of a font file side by side, as its own metrics space them."""

import io
import math
import struct
import unicodedata
import zlib
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.errors import Refusal
from pearlkerf.outlines.drawing import Drawing, Figure, Loop, check_finite, closed_loop, mapped, refused
from pearlkerf.outlines.limits import MOST_DEPTH, MOST_SEGMENTS
from pearlkerf.outlines.pens import PathPen
from pearlkerf.outlines.segments import Affine

LONGEST_TEXT: Final = 200
# parts that a glyph is put together from, and subroutines that it calls
MOST_PARTS: Final = 1_000
LEFTWARD: Final = ("R", "AL")  # how Unicode calls scripts that run from right to left (UAX 9)
# how a font file begins (OpenType 1.9, "Organization of an OpenType font"): TrueType or CFF outlines.  What is
# packed (WOFF) may unpack to anything
BEGINS: Final = (b"\x00\x01\x00\x00", b"OTTO", b"true")
# what a font's tables raise where they are broken: they are unpacked by many hands
BROKEN: Final = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    EOFError,
    LookupError,
    NotImplementedError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)


@dataclass(frozen=True, slots=True)
class Face:
    """A font file that was opened."""

    file: str
    font: Any

    def refused(self, place: str, found: str, hint: str, allowed: str = "") -> Refusal:
        """Give a refusal of it, to be raised."""
        return refused(self.file, place, found, hint, allowed)


def open_face(data: bytes, file: str) -> Face:
    """Open a font file; raises Refusal where it is none."""
    from fontTools.ttLib import TTFont, TTLibError

    if not data.startswith(BEGINS):
        raise refused(file, "", "it is no font of one face", "take a .ttf or .otf file")
    try:
        font = TTFont(io.BytesIO(data), lazy=True)
        font.getGlyphSet(), font.getBestCmap()
    except (TTLibError, *BROKEN) as fault:
        found = f"it is no font that can be read ({str(fault)[:80] or type(fault).__name__})"
        raise refused(file, "", found, "take another .ttf or .otf file") from None
    return Face(file, font)


def read_text(text: str, face: Face) -> Drawing:
    """Give a text as a drawing in font units, y up; every glyph a figure, named by its place and sign.

    A line of text, its glyphs by their advance widths, without kerning; blanks draw nothing.  Raises
    Refusal for signs that the font has not, and for those that are not set side by side.
    """
    place = f'text "{text[:40]}"'
    names, glyphs = _checked(text, place, face), face.font.getGlyphSet()
    figures, along, count = [], 0.0, 0
    for number, sign in enumerate(text, 1):
        try:
            loops, width = _glyph(names[ord(sign)], glyphs)
        except _Endless:
            found = f'"{sign}" is drawn of too many pieces, or of itself'
            raise face.refused(place, found, "take a plainer font") from None
        except BROKEN as fault:
            found = f'"{sign}" cannot be drawn ({str(fault)[:80] or type(fault).__name__})'
            raise face.refused(place, found, "take another font") from None
        count += sum(map(len, loops))
        if count > MOST_SEGMENTS:
            raise face.refused(place, f"it has more than {MOST_SEGMENTS} pieces", "take a plainer font")
        check_finite(loops, face.file, place)
        if loops:
            figures.append(
                Figure(mapped(loops, Affine(e=along)), "nonzero", (f"{number}", sign), f'sign {number}, "{sign}"')
            )
        along += width
    return Drawing(face.file, tuple(figures), has_size=False)


def _checked(text: str, place: str, face: Face) -> dict[int, str]:
    """Give the font's glyph names by sign, once every sign of a text is there and stands for itself."""
    if not text.strip() or len(text) > LONGEST_TEXT or not text.isprintable():
        found = "it has nothing to draw, or is too long, or has signs that show nothing"
        raise face.refused(place, found, "write a line of text", f"1 to {LONGEST_TEXT} printable signs")
    joins = [
        sign for sign in text if unicodedata.category(sign)[0] == "M" or unicodedata.bidirectional(sign) in LEFTWARD
    ]
    if joins:
        found = f"U+{ord(joins[0]):04X} is not set beside its neighbours from left to right"
        raise face.refused(place, found, "draw it in a drawing program, and take that drawing as outline")
    names: dict[int, str] = face.font.getBestCmap() or {}
    missing = [sign for sign in text if ord(sign) not in names]
    if missing:
        found = f'the font has no "{missing[0]}" (U+{ord(missing[0]):04X})'
        raise face.refused(place, found, "take another font, or other signs")
    return names


class _Endless(Exception):
    """A glyph that is drawn of too many pieces, or of itself."""


def _glyph(name: str, glyphs: Any) -> tuple[list[Loop], float]:
    """Give the loops of a glyph, its parts in their places, and its advance width."""
    from fontTools.misc.psCharStrings import T2OutlineExtractor
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    class Bounded(DecomposingRecordingPen):  # type: ignore[misc]
        """Counts the parts that a glyph is put together from, and how deep they lie."""

        count = depth = 0

        def addComponent(self, glyphName: str, transformation: Any) -> None:  # noqa: N802, N803
            self.count, self.depth = self.count + 1, self.depth + 1
            if self.count > MOST_PARTS or self.depth > MOST_DEPTH:
                raise _Endless
            super().addComponent(glyphName, transformation)
            self.depth -= 1

    class BoundedCalls(T2OutlineExtractor):  # type: ignore[misc]
        """Counts the subroutines that a glyph calls (CFF)."""

        count = 0

        def execute(self, charString: Any, **rest: Any) -> None:  # noqa: N803
            self.count += 1
            if self.count > MOST_PARTS or len(self.callingStack) > MOST_DEPTH:
                raise _Endless
            super().execute(charString, **rest)

    strings = getattr(glyphs, "charStrings", None)
    if strings is not None:
        strings[name].outlineExtractor = BoundedCalls
    pen, recorded = PathPen(), Bounded(glyphs, skipMissingComponents=False)
    glyphs[name].draw(recorded)
    recorded.replay(pen)
    lines = [closed_loop(line, math.inf, closes=True) for line, _ in pen.subpaths()]
    return [line for line in lines if line], float(glyphs[name].width)
