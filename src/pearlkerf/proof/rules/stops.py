"""Rule 1, the stops: what people are told at each, and that there is no other."""

import re
from collections.abc import Callable, Iterator
from typing import Final

from pearlkerf.machine.model import Control
from pearlkerf.machine.words import ALL_SHOWN, SPINDLE_STANDS, STAYS_OFF, before_start, change_to, shown
from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.spoken import key_of
from pearlkerf.reading.motions import Finding

_SPEED: Final = re.compile(r"set the spindle to (\d{1,6}) rpm", re.IGNORECASE)
Due = tuple[str, Callable[[str], str]]  # what is to be said, in words; what of it fits what is said


def stops_say_what_to_do(run: Run) -> Iterator[Finding]:
    """Prove that a program stops (M0) where people have something to do, says there what, and stops nowhere else.

    In this order, for each cutter: to change to it and zero Z, where that is done at a stop; to look after
    a saw's guard, teeth and limit, and to set the spindle, where that is done by hand; to switch it off.
    A pointing run tells people to leave the spindle off where it is theirs, stops at places, and says at
    the end that every place was shown.  Each is said in the words of ``machine/words.py``, at its stop
    alone, and nothing besides; the speed is rule 3's.
    """
    due = [*_of_pointing(run)] if run.setup.purpose == "point" else [*_of_cutting(run)]
    for number, stop in enumerate(run.speech.stops):
        said = run.speech.at(stop)
        text = "; ".join(each.text for each in said)
        line = said[0].line if said else stop
        if number >= len(due):
            yield run.finding(1, "stops (M0) where people have nothing to do; take it out, or write a program for each "
                              "part", stop)  # fmt: skip
            return
        words, fitting = due[number]
        if len(said) != 1 or said[0].key != key_of(fitting(text)):
            found = f'says "{text}"' if text else "says nothing"
            yield run.finding(1, f"stops, and {found}; write ({words}) before this M0", line)
            return
    if len(run.speech.stops) < len(due):
        words = due[len(run.speech.stops)][0]
        yield run.finding(1, f"has no stop (M0) that says: {words}")


def _of_cutting(run: Run) -> Iterator[Due]:
    control = run.machine.spindle.control
    for number, section in enumerate(run.sections):
        if number and run.machine.dialect.cutter_change == "stop":
            yield _exactly(change_to(section.cutter, run.machine.dialect.unit))
        if control != "program" or section.cutter.kind == "saw":
            yield _start(section, control)
        if control == "hand":
            yield _exactly(SPINDLE_STANDS)


def _of_pointing(run: Run) -> Iterator[Due]:
    by_hand, count = run.machine.spindle.control == "hand", len(run.speech.stops)
    above, unit = run.tip_above_mm or 0.0, run.machine.dialect.unit
    places = [shown(name, above, unit) for shape in run.shapes for name, _ in shape.places]
    by_key = {key_of(place): place for place in places}

    def place(text: str) -> str:
        return by_key.get(key_of(text), places[0] if places else "")

    if by_hand:
        yield _exactly(STAYS_OFF)
    for _ in range(count - 2 * by_hand):
        yield (f"{places[0]} or the like" if places else "", place)
    if by_hand:
        yield _exactly(ALL_SHOWN)


def _exactly(words: str) -> Due:
    return words, lambda _: words


def _start(section: Section, control: Control) -> Due:
    """Give what is said before the spindle starts; a speed that is said fits, rule 3 holds it."""

    def fitting(text: str) -> str:
        speed = _SPEED.search(text)
        return before_start(section.cutter, speed[1] if speed and control != "program" else "", control)

    return before_start(section.cutter, "" if control == "program" else "18000", control), fitting
