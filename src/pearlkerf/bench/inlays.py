"""An inlay let in without a file being typed: what can be chosen, where there is room for it, and drawings kept.

text of a board ─> kinds: shapes, letters, drawings of the folder; of what; spaces with the size that fits
a file dropped on the page ─> read as a drawing or a typeface ─> kept beside the board, over nothing else
"""

import base64
import binascii
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import shapely

from pearlkerf import way
from pearlkerf.bench.asked import name_of, text_of
from pearlkerf.bench.shelf import Shelf, is_name
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.inlay_tables import SHAPES
from pearlkerf.board.inlays import Inlay
from pearlkerf.errors import Refusal
from pearlkerf.files.beside import MOST_BYTES, BesideIn
from pearlkerf.files.lengths import MM_PER_UNIT, Unit
from pearlkerf.files.saving import JOB_FILE
from pearlkerf.files.toml_values import WrongValue
from pearlkerf.files.whole import NotAsItWas, replace_file
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.inlay_drawings import region
from pearlkerf.pictures.svg import PAGE, number, ways

DRAWINGS: Final = (".svg", ".dxf")
TYPEFACES: Final = (".ttf", ".otf")
MOST_LISTED: Final = 60  # files of each kind
PICTURE_MM: Final = 30.0  # what a drawing counts as in its small picture
ROOM: Final = 1.05  # round it
FINE: Final = 0.01  # of half its size, that a small picture gives of its drawing
TRIED_LETTERS: Final = "a"  # of a typeface, to see that it is one
# of a fret space, and of the board's width there, that an inlay takes at first: wood stays on every side
SHARE_ALONG, SHARE_ACROSS = 0.55, 0.4
# as places of inlays are taken, the first that is free (common practice, no source)
USUAL_PLACES: Final = (12, 7, 5, 9, 3, 15)
# how shapes lie at first, along the board by across it (our own, to be changed in the fields)
USUAL_PROPORTIONS: Final = (5.0, 3.0)
PROPORTIONS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {"snowflake": (1.0, 1.0), "star": (1.0, 1.0), "ring": (1.0, 1.0), "diamond": (3.0, 4.0), "line": (8.0, 1.0)}
)
# what pieces are cut from most, offered where the file has no blank of it (common practice, no source)
USUAL_MATERIALS: Final = ("mother-of-pearl", "abalone", "bone")


@dataclass(frozen=True, slots=True)
class Inlays:
    """What is let into the boards of a folder."""

    shelf: Shelf

    def kinds(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Give what an inlay of a board's text can be drawn by and cut from, and where there is room for it."""
        name, text = name_of(asked), text_of(asked)
        self.shelf.path(name)
        look = self.shelf.look(text, name)
        laid = way.to_look_at(look)
        blanks = () if look.board is None else look.board.inlay_blanks
        here = tuple(dict.fromkeys(blank.material for blank in blanks))
        spaces = [] if laid is None else list(_spaces(laid, look.unit))
        return {
            "shapes": [_shape(each) for each in SHAPES],
            "drawings": [self._drawn(file) for file in self._files(DRAWINGS)],
            "typefaces": self._files(TYPEFACES),
            "materials": list(here),
            "usual": [each for each in USUAL_MATERIALS if each not in here],
            "spaces": spaces,
            "first": _first(spaces),
        }

    def keep(self, asked: Mapping[str, Any]) -> dict[str, Any]:
        """Keep a drawing or a typeface beside the boards; raises CannotBe for what is none, or would go over another.

        A file of this name that is the same to the byte is as good.
        """
        file, data = str(asked.get("file", "")), _data(asked.get("data"))
        path, ending = self.shelf.folder / file, Path(file).suffix.lower()
        if not is_name(file) or ending not in (*DRAWINGS, *TYPEFACES):
            raise CannotBe("An inlay takes a drawing, .svg or .dxf, or a typeface, .ttf or .otf.", 422)
        if path.resolve().parent != self.shelf.folder.resolve():
            raise CannotBe("That leads out of the folder.", 403)
        try:
            told = _told(data, file)
        except Refusal as refusal:
            wrong = refusal.problems[0]
            raise CannotBe(f"{wrong.found}: {wrong.hint}" if wrong.hint else wrong.found, 422) from None
        try:
            replace_file(path, data, lambda now: now in (None, data))
        except NotAsItWas:
            raise CannotBe(f"There is another {file} already: keep yours under another name.", 409) from None
        return told

    def _files(self, endings: tuple[str, ...]) -> list[str]:
        """Give the files of these kinds in the folder and the folders in it, as a board file names them; of no job."""
        folders = [each for each in sorted(self.shelf.folder.iterdir())
                   if each.is_dir() and not each.name.startswith(".") and not (each / JOB_FILE).exists()]  # fmt: skip
        found = [each for folder in (self.shelf.folder, *folders) for each in sorted(folder.iterdir())
                 if each.suffix.lower() in endings and each.is_file() and not each.name.startswith(".")]  # fmt: skip
        return [each.relative_to(self.shelf.folder).as_posix() for each in found[:MOST_LISTED]]

    def _drawn(self, file: str) -> dict[str, Any]:
        """Give a drawing of the folder with its picture, or with what is wrong with it."""
        try:
            return _told(BesideIn(self.shelf.folder)(file), file)
        except WrongValue as wrong:
            return {"file": file, "wrong": wrong.found}
        except Refusal as refusal:
            return {"file": file, "wrong": refusal.problems[0].found}


def _data(sent: Any) -> bytes:
    """Give the bytes of a file as a page sends them."""
    if not isinstance(sent, str):
        raise CannotBe("No file was sent.")
    try:
        data = base64.b64decode(sent, validate=True)
    except (binascii.Error, ValueError):
        raise CannotBe("That is no file.") from None
    if len(data) > MOST_BYTES:
        raise CannotBe(f"A drawing has at most {MOST_BYTES} bytes.", 413)
    return data


def _told(data: bytes, file: str) -> dict[str, Any]:
    """Read a drawing or a typeface, and give what is shown of it; raises Refusal."""
    if Path(file).suffix.lower() in TYPEFACES:
        region(Inlay(index=0, text=TRIED_LETTERS, font=file, width_mm=PICTURE_MM), {file: data})
        return {"file": file, "typeface": True}
    area = region(Inlay(index=0, outline=file, length_mm=PICTURE_MM), {file: data}).area
    return {"file": file, **_proportions(area), "drawing": _picture_of(area)}


def _shape(name: str) -> dict[str, Any]:
    """Give a shape with its picture and its proportions; a block fills its space, and has none."""
    along, across = PROPORTIONS.get(name, USUAL_PROPORTIONS)
    by = PICTURE_MM / max(along, across)
    area = region(Inlay(index=0, shape=name, length_mm=along * by, width_mm=across * by), {}).area
    return {"name": name, **_proportions(area), "fills": name == "block", "drawing": _picture_of(area)}


def _proportions(area: shapely.MultiPolygon) -> dict[str, float]:
    low_x, low_y, high_x, high_y = area.bounds
    return {"along": high_x - low_x, "across": high_y - low_y}


def _picture_of(area: shapely.MultiPolygon) -> str:
    """Draw what an inlay encloses, as small as a label."""
    half = max(_proportions(area).values()) / 2 * ROOM
    simpler = shapely.simplify(area, half * FINE)
    rings = [ring for part in shapely.get_parts(simpler) for ring in (part.exterior, *part.interiors)]
    path = ways(ring.coords[:-1] for ring in rings)
    box = " ".join(number(each, PAGE) for each in (-half, -half, 2 * half, 2 * half))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="inlay-picture" viewBox="{box}" aria-hidden="true">'
        f'<path class="shell" fill-rule="evenodd" d="{path}"/></svg>'
    )


def _spaces(laid: Laid, unit: Unit) -> Iterator[dict[str, Any]]:
    """Give every fret space: the size, in the file's unit, that an inlay may have there, and whether it is taken."""
    board = laid.board
    dots = board.face_dots
    taken = {number for inlay in board.inlays for number in inlay.frets}
    taken |= set() if dots is None else {*dots.frets, *dots.double, *dots.triple}
    fine = 1 if unit == "mm" else 2
    for fret in board.scale.there:
        before, after = laid.walls(fret)
        x_mm, long_mm = laid.middle_mm(fret), before.beyond_mm(after.middle)
        if long_mm <= 0 or not 0 < x_mm < laid.edges.core.far_mm:
            continue
        size = (long_mm * SHARE_ALONG, laid.edges.core.width_mm(x_mm) * SHARE_ACROSS)
        along, across = (round(each / float(MM_PER_UNIT[unit]), fine) for each in size)
        named = board.scale.called(fret)
        called = f'"{named}"' if named.isdecimal() else named or str(fret)  # as its field takes it
        yield {"fret": fret, "called": called, "along": along, "across": across,
               "taken": fret in taken}  # fmt: skip


def _first(spaces: list[dict[str, Any]]) -> str:
    """Give the place that is offered first: the usual ones, where they are free, else the largest that is."""
    free = {each["fret"]: each["called"] for each in spaces if not each["taken"]}
    for fret in (*USUAL_PLACES, *free):
        if fret in free:
            return str(free[fret])
    return str(spaces[0]["called"]) if spaces else ""
