"""From what an inlay is drawn by to what it encloses, about the middle of its box: sized, mirrored, turned."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from pearlkerf.board.inlays import Inlay
from pearlkerf.errors import Problem, Refusal
from pearlkerf.outlines.drawing import Drawing, Figure
from pearlkerf.outlines.place import Wanted, placed
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import Region, chosen, region_of
from pearlkerf.outlines.shapes import shape
from pearlkerf.outlines.shipped import NAME, shipped_face
from pearlkerf.outlines.text import open_face, read_text

Reads = Callable[[bytes, str], Drawing]
Encloses = Callable[[Inlay, bytes, tuple[str, ...] | None], Region]


def enclosed(inlay: Inlay, data: bytes, box_of: tuple[str, ...] | None, read: Reads = read_drawing) -> Region:
    """Give what an inlay encloses, by the bytes of the file that it names, which ``read`` takes for a drawing.

    Its box is that of its own parts, or of those that ``box_of`` names.  Raises Refusal.
    """
    figures, has_size = _figures(inlay, data, read)
    boxed = figures if box_of is None else _figures(replace(inlay, parts=box_of), data, read)[0]
    wanted = Wanted(inlay.length_mm, inlay.width_mm, inlay.mirror, inlay.turn_deg)
    if inlay.shape:
        wanted = replace(wanted, length_mm=None, width_mm=None)
    name = inlay.file or inlay.called
    return region_of(figures, placed(boxed, wanted, (0.0, 0.0), has_size, name), name)


def region(
    inlay: Inlay, files: Mapping[str, bytes], beside: Inlay | None = None, enclose: Encloses = enclosed
) -> Region:
    """Give what an inlay encloses, mm, the middle of its box, before it is turned, at zero; not of a block that fills.

    ``files`` are those that inlays name.  Where it lies as it is drawn ``beside`` another, it is sized and turned as
    that is, and the middle of that one's box is at zero.  Raises Refusal with the inlay's key where its drawing cannot
    be read, or nothing can be made of it.
    """
    try:
        of = _drawing_of(inlay) if beside is None else replace(_drawing_of(beside), parts=inlay.parts)
        return enclose(of, files.get(inlay.file, b""), None if beside is None else beside.parts)
    except Refusal as refusal:
        raise Refusal([replace(each, key=_key(inlay, each)) for each in refusal.problems]) from None


def _drawing_of(inlay: Inlay) -> Inlay:
    """Give of an inlay what decides what it encloses, and nothing else."""
    return Inlay(
        index=0, name=inlay.called, outline=inlay.outline, shape=inlay.shape, text=inlay.text, font=inlay.font,
        parts=inlay.parts, length_mm=inlay.length_mm, width_mm=inlay.width_mm, mirror=inlay.mirror,
        turn_deg=inlay.turn_deg,
    )  # fmt: skip


def _figures(inlay: Inlay, data: bytes, read: Reads) -> tuple[tuple[Figure, ...], bool]:
    """Give what is drawn, by the bytes of the file that an inlay names, and whether it has a size of its own."""
    if inlay.shape:
        # of one size both are alike
        length, width = inlay.length_mm or inlay.width_mm, inlay.width_mm or inlay.length_mm
        assert length is not None and width is not None
        return (shape(inlay.shape, length, width),), True
    if inlay.text:
        drawing = read_text(inlay.text, open_face(data if inlay.font else shipped_face(), inlay.font or NAME))
    else:
        drawing = read(data, inlay.outline)
    return chosen(drawing, inlay.parts), drawing.has_size


def _key(inlay: Inlay, problem: Problem) -> str:
    """Give the key at which a mistake of a drawing is told."""
    of_parts = problem.found.startswith(f"{inlay.file}: parts ")
    return inlay.key("parts" if of_parts else inlay.drawn_by)
