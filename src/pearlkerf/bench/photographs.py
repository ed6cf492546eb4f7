"""Photographs of a board's blanks, each kept beside the board with the corners of the blank in it.

    wren.toml  wren-shell/  1-2.jpg    the second blank of the first [[inlay_blank]]
                            1-2.json   its corners, and the hash of the photograph that they are of

The browser reads whatever formats it knows, and sends a JPEG of a size that serves.  What is kept, and what is given
to a page, is looked at first: a file of another kind is no photograph, whatever it is called.
"""

import base64
import binascii
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pearlkerf.bench.asked import Asked, name_of
from pearlkerf.bench.perspective import CORNERS, Point, css_matrix, perspective
from pearlkerf.bench.shelf import SHELL, Shelf
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.blank_kinds import ALONG
from pearlkerf.files.moves import digest
from pearlkerf.files.whole import read_file, replace_file

Blank = tuple[int, int]  # the entry of the file that it is of, from 0, and its number there, from 1
MOST_BYTES: Final = 2_900_000  # as text of a request it is a third longer, and has to come in at the door
LEAST_SIDE_PX, MOST_SIDE_PX = 64, 4096
MOST_CORNERS_BYTES: Final = 4096
MOST_MM: Final = ALONG.highest_mm  # a side of a blank, or a place on it, that a file takes
NO_PHOTOGRAPH: Final = (
    f"is no photograph that the bench has made: a JPEG of {LEAST_SIDE_PX} to {MOST_SIDE_PX} pixels a side"
)


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph of a blank: its size in pixels, its hash, and the blank's corners in it; none where unknown."""

    size_px: tuple[int, int]
    sha256: str
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Photographs:
    """The photographs of the blanks of a folder's boards."""

    shelf: Shelf

    def keep(self, asked: Asked) -> dict[str, Any]:
        """Keep a photograph of a blank, sent as base64, in the place of an older one; raises CannotBe, OSError."""
        picture = asked.get("picture")
        try:
            data = base64.b64decode(picture if isinstance(picture, str) else "", validate=True)
        except (ValueError, binascii.Error):
            data = b""
        if len(data) > MOST_BYTES:
            raise CannotBe(f"A photograph has at most {MOST_BYTES} bytes here.", 413)
        _size_of(data, "That")
        folder, blank = self._folder(self._board(asked)), blank_of(asked)
        folder.mkdir(exist_ok=True)
        replace_file(_plain(folder / _file(blank, "jpg")), data)
        return {"kept": True}

    def mark(self, asked: Asked) -> dict[str, Any]:
        """Keep the corners of a blank in its photograph, in pixels from its high left corner; raises CannotBe."""
        name, blank = self._board(asked), blank_of(asked)
        data, size = self._read(name, blank)
        corners = _marked(asked.get("corners"), size)
        kept = json.dumps({"photograph": digest(data), "corners": corners}, indent=1) + "\n"
        replace_file(_plain(self._folder(name) / _file(blank, "json")), kept.encode("utf-8"))
        return {"kept": True}

    def lay(self, asked: Asked) -> dict[str, Any]:
        """Give the matrix3d of a photograph with corners that are about to be marked; raises CannotBe."""
        size, blank = pair_of(asked.get("size_px"), MOST_SIDE_PX), pair_of(asked.get("blank_mm"), MOST_MM)
        corners = corners_of(asked.get("corners"), size)
        return {"matrix": laid(corners, size, blank)}

    def remove(self, asked: Asked) -> dict[str, Any]:
        """Remove a photograph, and its corners; raises OSError."""
        name, blank = self._board(asked), blank_of(asked)
        for ending in ("json", "jpg"):
            (self._folder(name) / _file(blank, ending)).unlink(missing_ok=True)
        return {"kept": False}

    def _board(self, asked: Asked) -> str:
        """Give the board whose photographs are asked about; raises CannotBe where there is none."""
        name = name_of(asked)
        if not self.shelf.path(name).is_file():
            raise CannotBe("There is no such board.", 404)
        return name

    def of(self, name: str) -> list[Blank]:
        """Give the blanks of which there are files that may be photographs."""
        folder = self._folder(name)
        found = [path.stem.partition("-")[::2] for path in sorted(folder.glob("*-*.jpg"))]
        plain = [pair for pair in found if all(word.isascii() and word.isdecimal() for word in pair)]
        return [(int(entry) - 1, int(number)) for entry, number in plain]

    def look(self, name: str, blank: Blank) -> Photograph:
        """Look at a photograph; raises CannotBe where it is none, OSError."""
        data, size = self._read(name, blank)
        sha256 = digest(data)
        return Photograph(size, sha256, self._corners(name, blank, size, sha256))

    def data(self, name: str, blank: Blank) -> bytes:
        """Give the bytes of a photograph, which is one; raises CannotBe where it is none, OSError."""
        data, _ = self._read(name, blank)
        return data

    def _read(self, name: str, blank: Blank) -> tuple[bytes, tuple[int, int]]:
        """Read a photograph, with its size in pixels; raises CannotBe where it is none, OSError."""
        path = _plain(self._folder(name) / _file(blank, "jpg"))
        data = read_file(path, MOST_BYTES)
        return data, _size_of(data, path.name)

    def _corners(self, name: str, blank: Blank, size: tuple[int, int], sha256: str) -> tuple[Point, ...]:
        """Give the corners that are kept; none where there are none, or they are of another photograph."""
        try:
            path = _plain(self._folder(name) / _file(blank, "json"))
            kept = json.loads(read_file(path, MOST_CORNERS_BYTES))
            if kept["photograph"] != sha256:
                return ()
            return _marked(kept["corners"], size)
        except (OSError, ValueError, KeyError, TypeError, RecursionError, CannotBe):
            return ()

    def _folder(self, name: str) -> Path:
        return self.shelf.folder_of(name, SHELL)


def laid(corners: Sequence[Point], size_px: Point, blank_mm: Point) -> list[float]:
    """Give the matrix3d by which a page lays a photograph on its blank, a pixel of the page for a millimetre."""
    return css_matrix(perspective(corners, size_px, blank_mm))


def corners_of(asked: object, size_px: Point) -> tuple[Point, ...]:
    """Take four corners within a photograph; raises CannotBe."""
    if not isinstance(asked, list) or len(asked) != CORNERS:
        raise CannotBe("A blank has four corners.", 422)
    found = []
    for each in asked:
        pair = each if isinstance(each, list) and len(each) == len(size_px) else []
        if not pair or not all(_within(value, side) for value, side in zip(pair, size_px, strict=True)):
            raise CannotBe("A corner lies outside the photograph.", 422)
        found.append((float(pair[0]), float(pair[1])))
    return tuple(found)


def _marked(asked: object, size_px: Point) -> tuple[Point, ...]:
    """Take four corners of a blank as a camera can see it; raises CannotBe."""
    corners = corners_of(asked, size_px)
    perspective(corners, size_px, (1.0, 1.0))
    return corners


def _within(value: Any, side: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= side


def pair_of(asked: object, most: float) -> Point:
    """Take two sides of something; raises CannotBe."""
    if not isinstance(asked, list) or len(asked) != len(("x", "y")):
        raise CannotBe("A size is said by two sides.")
    if not all(_within(each, most) and each > 0 for each in asked):
        raise CannotBe(f"A side lies between 0 and {most:g}.", 422)
    return float(asked[0]), float(asked[1])


def blank_of(asked: Asked) -> Blank:
    """Take which blank a page asks about; raises CannotBe."""
    blank = asked.get("blank")
    if not isinstance(blank, list) or [type(each) for each in blank] != [int, int] or min(blank) < 0:
        raise CannotBe("No blank was named.")
    return blank[0], blank[1]


def _file(blank: Blank, ending: str) -> str:
    entry, number = blank
    return f"{entry + 1}-{number}.{ending}"


def _plain(path: Path) -> Path:
    """Give a path that is no link; raises CannotBe for one, which may lead anywhere."""
    if path.is_symlink():
        raise CannotBe("That leads out of the folder.", 403)
    return path


def _size_of(data: bytes, called: str) -> tuple[int, int]:
    """Give the size of a photograph in pixels; raises CannotBe for what is none, too large or broken off."""
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as image:
            if min(image.size) < LEAST_SIDE_PX or max(image.size) > MOST_SIDE_PX or len(data) > MOST_BYTES:
                raise CannotBe(f"{called} {NO_PHOTOGRAPH}.", 422)
            return image.size
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise CannotBe(f"{called} {NO_PHOTOGRAPH}.", 422) from None
