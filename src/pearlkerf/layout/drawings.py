"""What drawings enclose, kept by who lays boards out again and again; a drawing is then worked out once."""

from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from pearlkerf.board.inlays import Inlay

if TYPE_CHECKING:
    from pearlkerf.outlines.drawing import Drawing
    from pearlkerf.outlines.region import Region

MOST_READ: Final = 8  # drawings, of a few MiB at most
MOST_REGIONS: Final = 32  # inlays of a board or two


class Drawings:
    """The last few drawings that were read, and what the last few inlays enclose, both by the bytes they were made of.

    Outlines are opened when the first is asked for: a board without inlays waits for no geometry.
    """

    def __init__(self) -> None:
        self._read = lru_cache(maxsize=MOST_READ)(_read)
        self._enclosed = lru_cache(maxsize=MOST_REGIONS)(self._enclose)

    def region(self, inlay: Inlay, files: Mapping[str, bytes], beside: Inlay | None = None) -> "Region":
        """Give what an inlay encloses, as ``inlay_drawings.region`` does."""
        from pearlkerf.layout.inlay_drawings import region

        return region(inlay, files, beside, self._enclosed)

    def _enclose(self, inlay: Inlay, data: bytes, box_of: tuple[str, ...] | None) -> "Region":
        from pearlkerf.layout.inlay_drawings import enclosed

        return enclosed(inlay, data, box_of, self._read)


def _read(data: bytes, file: str) -> "Drawing":
    from pearlkerf.outlines.read import read_drawing

    return read_drawing(data, file)
