"""What people are told of a setup: sentences, claims and reasons, each with what it is about."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

# a part of the job; what is done before; the wood and its state; where zero is; how it lies and rests; what holds it;
# what is to be minded
Topic = Literal["part", "first", "wood", "zero", "lies", "held", "mind"]


@dataclass(frozen=True, slots=True)
class Claim:
    """What a head says for its reader: a key and its value, "scrap" and "200.000x40.000x6.500"."""

    key: str
    value: str

    def __str__(self) -> str:
        """Give it as programs write it: "scrap=200.000x40.000x6.500"."""
        return f"{self.key}={self.value}"


@dataclass(frozen=True, slots=True)
class Reason:
    """A sentence that only says why: nobody does otherwise where it is missing."""

    words: str

    def __str__(self) -> str:
        """Give it as it is."""
        return self.words


Said = str | Claim | Reason
Topics = Iterator[tuple[Topic, Said]]


def about(topic: Topic, said: Iterable[Said]) -> Topics:
    """Give what is said with what it is about."""
    return ((topic, each) for each in said)
