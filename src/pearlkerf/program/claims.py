"""What a section of a program claims for its reader: setup, cutter, purpose, and the features that it cuts or shows."""

from collections.abc import Iterator

from pearlkerf.layout.names import in_ranges
from pearlkerf.setups.topics import Claim
from pearlkerf.toolpath.moves import CutterPath, Toolpath


def section_lines(toolpath: Toolpath, path: CutterPath, room: int) -> Iterator[str]:
    """Give the lines that tell the proof what a section claims to cut, each at most ``room`` characters.

    Numbers that run on are written as ranges; what does not fit one line goes on in another of its kind.
    """
    of = (Claim("setup", toolpath.setup.name), Claim("cutter", str(path.cutter.number)))
    if path.tip_above_mm is not None:
        yield _line(*of, Claim("purpose", toolpath.setup.purpose))
        yield _line(*of, Claim("height", f"{path.tip_above_mm:.4f}"))
    for group, numbers in path.numbers_by_group.items():
        parts: list[str] = []
        for part in in_ranges(numbers):
            if parts and len(_line(*of, _does(toolpath, group, [*parts, part]))) > room:
                yield _line(*of, _does(toolpath, group, parts))
                parts = []
            parts.append(part)
        yield _line(*of, _does(toolpath, group, parts))


def _does(toolpath: Toolpath, group: str, parts: list[str]) -> Claim:
    return Claim("points" if toolpath.setup.purpose == "point" else "cuts", " ".join([group, *parts]))


def _line(*claims: Claim) -> str:
    return f"({' '.join(map(str, claims))})"
