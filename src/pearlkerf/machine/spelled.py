"""What is wrong with a profile, as its maker spells it: cutters by number, inches where inches are written."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from pearlkerf.errors import Problem
from pearlkerf.files.inches import problem_in_both

# how a length ends that is in inches
IN_INCHES: Final = ("in", '"', "thou")


def as_spelled(problem: Problem, data: Mapping[str, Any]) -> Problem:
    """Give a placed problem of a profile with its cutter called by its number; in both units where inches are written.

    The bare numbers of a profile are mm.  One whose programs are in inches, or whose key says inches, is
    told both.

    >>> data = {"cutter": [{"number": 7, "reach": "0.2 in"}]}
    >>> print(as_spelled(Problem("a bite of 6 mm", "at most 5 mm", key="cutter.0.reach"), data))
    cutter 7.reach: a bite of 6 mm (0.24 in) (at most 5 mm (0.19 in))
    """
    parts = problem.key.split(".")
    value = _at(data, parts)
    inches = isinstance(value, str) and value.strip().endswith(IN_INCHES)
    if inches or _at(data, ["program", "unit"]) == "in":
        problem = problem_in_both(problem)
    number = _at(data, [*parts[:2], "number"]) if parts[0] == "cutter" and len(parts) > 1 else None
    return problem if not isinstance(number, int) else replace(problem, key=".".join([f"cutter {number}", *parts[2:]]))


def _at(data: object, parts: list[str]) -> object:
    for part in parts:
        if isinstance(data, list) and part.isdigit() and int(part) < len(data):
            data = data[int(part)]
        elif isinstance(data, Mapping):
            data = data.get(part)
        else:
            return None
    return data
