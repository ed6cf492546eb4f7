"""One way in for every drawing: by its file's ending, within its limits."""

from pathlib import PurePosixPath

from pearlkerf.outlines.drawing import Drawing, refused
from pearlkerf.outlines.limits import MOST_BYTES


def read_drawing(data: bytes, file: str) -> Drawing:
    """Read a drawing, .svg or .dxf; raises Refusal with file, place and reason."""
    check_size(data, file)
    match PurePosixPath(file).suffix.lower():
        case ".svg":
            from pearlkerf.outlines.svg import read_svg

            return read_svg(data, file)
        case ".dxf":
            from pearlkerf.outlines.dxf import read_dxf

            return read_dxf(data, file)
    raise refused(file, "", "it is neither .svg nor .dxf", "save the drawing as one of them", ".svg, .dxf")


def check_size(data: bytes, file: str) -> None:
    """Refuse a file that is empty, or too large for a drawing or a font."""
    if not data.strip():
        raise refused(file, "", "it is empty", "save the drawing again")
    if len(data) > MOST_BYTES:
        raise refused(file, "", f"it has {len(data)} bytes", "simplify the drawing", f"at most {MOST_BYTES} bytes")
