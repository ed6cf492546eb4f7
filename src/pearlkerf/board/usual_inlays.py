"""Which figures of inlays are usual; each table of them is held by itself, and told of at its own place."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import replace

from pearlkerf.board.inlays import Inlay
from pearlkerf.board.usual import INLAY_FIGURES, Doubts, held_against
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit


def inlay_doubts(inlays: Sequence[Inlay], unusual: Container[str], unit: Unit | None) -> Doubts:
    """Hold every inlay's figures against what is usual; those that a board names as ``unusual`` are meant so."""
    rows = [each for each in INLAY_FIGURES if each.key not in unusual]
    found = [(inlay, held_against(rows, inlay, unit)) for inlay in inlays]
    return Doubts(
        tuple(problem for inlay, doubts in found for problem in _of(inlay, doubts.refused)),
        tuple(problem for inlay, doubts in found for problem in _of(inlay, doubts.doubtful)),
    )


def _of(inlay: Inlay, problems: Iterable[Problem]) -> list[Problem]:
    return [replace(each, key=inlay.key(each.key.partition(".")[2])) for each in problems]
