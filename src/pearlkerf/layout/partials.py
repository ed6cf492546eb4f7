"""Frets under some strings only: those whose strings or frets are not there are told, and left out."""

from collections.abc import Iterator
from dataclasses import replace

from pearlkerf.board.model import Board, Partial
from pearlkerf.errors import Problem
from pearlkerf.layout.names import in_ranges


def real_partials(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board with those partial frets that can be, and a problem for each of the others."""
    problems, kept = [], []
    for index, each in enumerate(board.partial):
        found = [*_fret(board, index, each), *_strings(board, index, each)]
        problems += found
        kept += [] if found else [each]
    return replace(board, partial=tuple(kept)), problems


def _fret(board: Board, index: int, partial: Partial) -> Iterator[Problem]:
    if partial.fret not in board.scale.there:
        yield Problem(key=f"partial.{index}.fret", found=f"fret {partial.fret} is not on the board",
                      allowed=" ".join(in_ranges(board.scale.there)), hint="name a fret that is there")  # fmt: skip
    elif any(each.fret == partial.fret for each in board.partial[:index]):
        yield Problem(key=f"partial.{index}.fret", found=f"fret {partial.fret} is partial twice", allowed="once",
                      hint="put both under one run of strings, or leave one out")  # fmt: skip


def _strings(board: Board, index: int, partial: Partial) -> Iterator[Problem]:
    count, (first, last) = 0 if board.strings is None else board.strings.count, partial.strings
    if count < 2:
        yield Problem(key=f"partial.{index}.strings", found="a fret under some strings, of nobody knows how many",
                      allowed="at least two strings", hint="write count = … into [strings]")  # fmt: skip
    elif last > count:
        whole = f"{first} to {last}" if first != last else f"{first}"
        yield Problem(
            key=f"partial.{index}.strings",
            found=f"a fret under strings {whole} of {count}",
            allowed=f"1, on the treble side, to {count}",
            hint=f"use [{min(first, count)}, {count}]",
        )
