"""One error for the whole way: where, what was found, what is allowed, how to mend it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong (or, as a warning, doubtful), where it is, and how to mend it.

    ``key`` is dotted, with indexes for arrays ("face_dots.frets.2").  Layout and operations know only
    the key; the reader of the file adds file, line and column (1-based).
    """

    found: str
    allowed: str = ""
    hint: str = ""
    key: str = ""
    file: str = ""
    line: int | None = None
    column: int | None = None

    def at(self, file: str, line: int | None = None, column: int | None = None) -> "Problem":
        """Give the same problem with its place in a file."""
        return replace(self, file=file, line=line, column=column)

    def __str__(self) -> str:
        """Give the problem in the house manner.

        >>> print(Problem("a dot of 6.00 mm does not fit", "at most 5.23 mm", "use 5 mm",
        ...               "face_dots.diameter", "a.toml", 21, 12))
        a.toml:21:12: face_dots.diameter: a dot of 6.00 mm does not fit (at most 5.23 mm)
          hint: use 5 mm
        """
        place = ":".join(str(part) for part in (self.file, self.line, self.column) if part not in ("", None))
        head = ": ".join(part for part in (place, self.key, self.found) if part)
        allowed = f" ({self.allowed})" if self.allowed else ""
        hint = f"\n  hint: {self.hint}" if self.hint else ""
        return f"{head}{allowed}{hint}"


class Refusal(Exception):
    """A board, profile or outline is refused; carries every problem that was found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
