"""What the cross-checks share: what they say, and the words that they say it in."""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from pearlkerf.errors import Problem
from pearlkerf.layout.limits import ROUNDING_MM, SMALLEST_OFFER_MM, Limit


@dataclass(frozen=True, slots=True)
class Remark:
    """A problem: refused, or only doubtful."""

    weight: Literal["refused", "doubtful"]
    problem: Problem


def weigh(left_mm: float, limit: Limit, problem: Callable[[float], Problem]) -> Iterator[Remark]:
    """Refuse or doubt what leaves less than a limit.

    ``problem`` is told the limit that was missed, mm, so that its hint mends just that.
    """
    if left_mm < limit.least_mm - ROUNDING_MM:
        yield Remark("refused", problem(limit.least_mm))
    elif left_mm < limit.advised_mm - ROUNDING_MM:
        yield Remark("doubtful", problem(limit.advised_mm))


def down(length_mm: float) -> str:
    """Write a length that may be at most so much, mm.

    >>> down(5.239), down(5.23)
    ('5.23', '5.23')
    """
    return f"{math.floor(length_mm * 100 + ROUNDING_MM) / 100:.2f}"


def up(length_mm: float) -> str:
    """Write a length that must be at least so much, mm.

    >>> up(5.231), up(5.23)
    ('5.24', '5.23')
    """
    return f"{math.ceil(length_mm * 100 - ROUNDING_MM) / 100:.2f}"


def wood(length_mm: float) -> str:
    """Say how much wood stays.

    >>> wood(0.499), wood(-0.2)
    ('0.49 mm of wood', 'no wood')
    """
    return f"{down(length_mm)} mm of wood" if length_mm >= 0.01 else "no wood"


def at_least(limit: Limit) -> str:
    """Say what a limit allows."""
    return f"at least {limit.least_mm:.2f} mm must stay, {limit.advised_mm:.2f} mm is advised"


def at_most(length_mm: float, what: str) -> str:
    """Offer a smaller length, or nothing where it would be too small to be of use.

    >>> at_most(5.239, "a diameter"), at_most(0.3, "a diameter")
    ('use a diameter of at most 5.23 mm', '')
    """
    return f"use {what} of at most {down(length_mm)} mm" if length_mm >= SMALLEST_OFFER_MM else ""


def one_of(*ways: str) -> str:
    """Join the ways to mend something, leaving out the empty ones."""
    return ", or ".join(way for way in ways if way)


def named(frets: Iterable[int]) -> str:
    """Name some frets.

    >>> named([21]), named([22, 21])
    ('fret 21', 'frets 21, 22')
    """
    numbers = sorted(set(frets))
    return ("fret " if len(numbers) == 1 else "frets ") + ", ".join(map(str, numbers))
