"""The steps of one setup in the order of the hand, each with a box: wood, zero, dry run, then cutter by cutter."""

from collections.abc import Iterator, Sequence
from typing import Final

from pearlkerf.files.lengths import as_written
from pearlkerf.layout.flatness import bowed
from pearlkerf.machine.materials import SHELL_DUST
from pearlkerf.pictures.card import words
from pearlkerf.pictures.card.model import Card, ProgramRow, SetupRow, Step

# a cutter thinner than this is touched off otherwise than a thick one (common practice, no source)
THIN_MM: Final = 1.0


def steps_of(card: Card, row: SetupRow) -> tuple[Step, ...]:
    """Give everything that hands do in a setup, from the wood on the bench to the last program's end."""
    programs = [each for each in card.programs if each.setup == row.name]
    return (
        *_laid(card, row),
        Step("Clear", words.CLEAR, _dust(row)),
        *_shown(card, [each for each in programs if each.tip_above_mm is not None]),
        *_cuts(card, row, [each for each in programs if each.tip_above_mm is None]),
    )


def numbers_of(card: Card) -> dict[str, int]:
    """Give the number of each program, as its file's name begins with it."""
    return {file: number for number, file in enumerate(dict.fromkeys(each.file for each in card.programs), 1)}


def sentence(parts: Sequence[str]) -> str:
    """Join sentences that begin small and end without a stop.

    >>> sentence(["nut end at the left", "zero is set in G54"])
    'Nut end at the left. Zero is set in G54.'
    """
    return " ".join(f"{each[:1].upper()}{each[1:]}." for each in parts)


def _laid(card: Card, row: SetupRow) -> Iterator[Step]:
    """What the wood must be, how it is laid and held, where zero is."""
    glued = row.setup.lying.glued is not None
    if glued:
        yield Step("Glued in", sentence(row.about("first")))
    wood, lies = row.about(*(("wood",) if glued else ("first", "wood"))), row.about("lies", "held")
    flat = row.setup.kind == "face" and card.layout.board.state == "flat"
    if wood:
        yield Step("Wood", sentence(wood), (sentence(bowed(card.layout)),) if row.setup.kind == "face" else ())
    if row.setup.kind == "face" and not flat:
        yield Step("Crown", words.RADIUSED)
    if lies:
        yield Step("Lay it", sentence(lies))
    again = row.setup.lying.zero.slot or glued
    yield Step("Zero again" if again else "Zero", sentence(row.about("zero")))


def _dust(row: SetupRow) -> tuple[str, ...]:
    """What is to be done about dust of shell, before anything turns."""
    told = [each for each in row.about("mind") if each in SHELL_DUST]
    return (sentence(told),) if told else ()


def _shown(card: Card, runs: Sequence[ProgramRow]) -> Iterator[Step]:
    """The pointing runs that the job has."""
    for run in runs:
        yield Step("Pin", words.PIN)
        head = f"{run.file}: shows {run.cuts}, the spindle off, {len(run.stops)} stops, {words.AT_STOPS}"
        yield Step("Dry run", head, (), numbers_of(card)[run.file], run.time)


def _in_the_air(row: SetupRow, file: str) -> Iterator[Step]:
    """The first program of a setup in the air above the work, with zero set high and back again."""
    pointing = "" if row.dry_run is None else words.pointing_run(row.dry_run.stops, row.dry_run.minutes)
    yield Step("Zero high", words.ZERO_HIGH)
    yield Step("In the air", words.in_the_air(file), (pointing,))
    yield Step("Zero back", words.ZERO_BACK)


def _cuts(card: Card, row: SetupRow, programs: Sequence[ProgramRow]) -> Iterator[Step]:
    """For every program its first cutter, touched off, then its run; what follows at its stops.

    The first is looked at in the air where no pointing run has shown its places; on scrap it may go wrong.
    """
    numbers, on_scrap = numbers_of(card), row.setup.scrap is not None
    shown = any(each.tip_above_mm is not None for each in card.programs)
    for place, file in enumerate(dict.fromkeys(each.file for each in programs)):
        cutters = [each for each in programs if each.file == file]
        yield _put_in(card, cutters)
        if place == 0 and not shown and not on_scrap:
            yield from _in_the_air(row, file)
        cuts = "; ".join(each.cuts for each in cutters)
        more = [line for each in cutters for line in _told(each, len(cutters) > 1)]
        watch = words.WATCH_SCRAP if on_scrap else words.WATCH if row.setup.row is None else words.WATCH_PIECES
        yield Step("Run", f"{file}: {cuts}. {watch}", tuple(more), numbers[file], cutters[0].time)
        for each in cutters[1:] if card.changes == "stop" else ():
            at_stop = words.at_the_stop(_size(each))
            yield Step(f"Cutter {each.cutter_number}", at_stop, (*_thin([each]), words.NO_JOG))


def _put_in(card: Card, cutters: Sequence[ProgramRow]) -> Step:
    if card.changes == "automatic":
        named = ", ".join(f"{each.cutter_number} ({_size(each)})" for each in cutters)
        return Step("Cutters", f"In their places of the changer, their lengths measured: {named}.", _thin(cutters))
    first = cutters[0]
    return Step(f"Cutter {first.cutter_number}", f"{_size(first)}. {words.TOUCH_OFF}", _thin([first]))


def _told(row: ProgramRow, named: bool) -> Iterator[str]:
    """The figures of a cutter in a program, and what people must know of it."""
    figures = (
        f"{row.speed_rpm:.0f} rpm, feed {row.feed_mm_min:.0f}, plunge {row.plunge_feed_mm_min:.0f} mm/min, "
        f"{row.bite_mm:.2f} mm a pass, deepest {row.deepest_mm:.2f} mm below zero."
    )
    yield f"Cutter {row.cutter_number}: {figures}" if named else figures
    if row.notes:
        yield sentence(row.notes)


def _size(row: ProgramRow) -> str:
    return f"{row.cutter_kind} {as_written(row.cutter_diameter_mm)}"


def _thin(rows: Sequence[ProgramRow]) -> tuple[str, ...]:
    thin = any(each.cutter_diameter_mm < THIN_MM and each.cutter_kind != "saw" for each in rows)
    return (words.TOUCH_OFF_THIN,) if thin else ()
