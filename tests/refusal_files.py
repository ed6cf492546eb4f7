"""Small bad files that say in their own last comments what is wrong with them.

# error: LINE:COLUMN KEY        (no LINE:COLUMN where the key stands nowhere)
# found: words of the message
# hint: words of the hint       (left out where there is none)
"""

import re
from dataclasses import dataclass
from pathlib import Path

from pearlkerf.errors import Problem

WRITTEN = re.compile(r"# error: (?:(\d+):(\d+) )? ?((?:cutter )?\S+)\n# found: (.+)\n(?:# hint: (.+)\n)?")


@dataclass(frozen=True, slots=True)
class Expected:
    """One mistake as its file tells it."""

    place: tuple[int, int] | None
    key: str
    found: str
    hint: str


def expected_in(path: Path) -> list[Expected]:
    """Give every mistake that a file says it has; at least one."""
    found = [
        Expected((int(line), int(column)) if line else None, key, words, hint or "")
        for line, column, key, words, hint in WRITTEN.findall(path.read_text(encoding="utf-8"))
    ]
    assert found, f"{path} does not say what is wrong with it"
    return found


def hold(problems: tuple[Problem, ...], path: Path) -> None:
    """Hold problems against what the file says: these mistakes, no others, each with its place."""
    expected = sorted(expected_in(path), key=lambda each: each.place or (0, 0))
    told = "\n".join(map(str, problems))
    assert len(problems) == len(expected), told
    for problem, right in zip(problems, expected, strict=True):
        place = None if problem.line is None else (problem.line, problem.column)
        assert (place, problem.key) == (right.place, right.key), told
        assert right.found in problem.found, told
        assert right.hint in problem.hint if right.hint else True, told
        assert problem.file == str(path)
        assert not re.search(r"voluptuous|https?:|not a valid value|expected a|extra keys|required key|@ data", told)
