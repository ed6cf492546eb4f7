"""What of inlays cannot be laid out at all: frets that are not there; each is told, then left out."""

from collections.abc import Iterator
from dataclasses import replace

from pearlkerf.board.inlays import Inlay
from pearlkerf.board.model import Board, Scale
from pearlkerf.errors import Problem
from pearlkerf.layout.names import in_ranges


def real_inlays(board: Board) -> tuple[Board, list[Problem]]:
    """Give a board whose inlays name frets that are there, each once, and a problem for each that is left out."""
    problems = [problem for inlay in board.inlays for problem in _wrong_frets(inlay, board.scale)]
    kept = tuple(
        replace(each, frets=_there(each.frets, board.scale), on_frets=_there(each.on_frets, board.scale))
        for each in board.inlays
    )
    return replace(board, inlays=kept), problems


def _there(frets: tuple[int, ...], scale: Scale) -> tuple[int, ...]:
    return tuple(dict.fromkeys(number for number in frets if number in scale.there))


def _wrong_frets(inlay: Inlay, scale: Scale) -> Iterator[Problem]:
    for name, frets in (("frets", inlay.frets), ("on_frets", inlay.on_frets)):
        for index, number in enumerate(frets):
            key, hint = inlay.key(f"{name}.{index}"), f"leave {number} out of {inlay.key(name)}"
            if number not in scale.there:
                found = f"fret {number} is not on the board" if number > scale.frets else f"fret {number} is left out"
                yield Problem(key=key, found=found, allowed=" ".join(in_ranges(scale.there)), hint=hint)
            elif number in frets[:index]:
                yield Problem(key=key, found=f"fret {number} is named twice", allowed="each fret once", hint=hint)
