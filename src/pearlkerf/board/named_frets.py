"""Frets that a board file names by what they are called, in place of by number."""

from collections.abc import Iterator, Sequence

from pearlkerf.board.model import Scale
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_values import nearest


def numbers_of(frets: Sequence[int | str], scale: Scale) -> tuple[int, ...]:
    """Give the frets' numbers; names that no fret has are left out.

    >>> numbers_of([4, "6+"], Scale(690.0, 12, left_out=(1, 3, 6, 8), names=("1", "2", "3", "4", "5", "6", "6+", "7")))
    (4, 11)
    """
    numbers = dict(zip(scale.names, scale.there, strict=False))
    found = [numbers.get(each) if isinstance(each, str) else each for each in frets]
    return tuple(each for each in found if each is not None)


def unknown_names(read: BoardFileTable, scale: Scale) -> Iterator[Problem]:
    """Give a problem for each name in a list of frets that no fret has."""
    for index, partial in enumerate(read.partial):
        if isinstance(partial.fret, str) and partial.fret not in scale.names:
            yield _unknown(f"partial.{index}.fret", partial.fret, scale)
    for table in ("face_dots", "side_dots"):
        for key in ("frets", "double", "triple"):
            yield from unknown_in(f"{table}.{key}", getattr(getattr(read, table), key, ()), scale)


def unknown_in(key: str, frets: Sequence[int | str], scale: Scale) -> Iterator[Problem]:
    """Give a problem for each name in one list, at a key, that no fret has."""
    for index, each in enumerate(frets):
        if isinstance(each, str) and each not in scale.names:
            yield _unknown(f"{key}.{index}", each, scale)


def _unknown(key: str, name: str, scale: Scale) -> Problem:
    if not scale.names:
        return Problem(f"{shown(name)} is not a whole number", "a whole number, or a name from scale.names",
                       "leave the quotation marks out, or give the frets names", key)  # fmt: skip
    near = nearest(name, list(scale.names))
    return Problem(f"no fret is called {shown(name)}", ", ".join(map(shown, scale.names)),
                   f"did you mean {shown(near)}?" if near else "", key)  # fmt: skip
