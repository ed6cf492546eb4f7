"""Rule 1, what else is said: names of cuts, and notes of a hand on which nobody can act."""

import re
from collections.abc import Iterator
from typing import Final

from pearlkerf.machine.words import named_cut
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import Spoken, key_of
from pearlkerf.reading.motions import Finding

_WORD: Final = re.compile(r"[a-z]+")
_ENDINGS: Final = ("ing", "ed", "es", "s", "d", "er", "ly")
# what is told of the board, of what holds it, of zero, cutters, spindle and stops is told in our own sentences alone
_AT_WORK: Final = """
    x y z g m t zero nought origin datum offset axis axes centre center middle mm inch in rpm degree angle unit
    board blank wood scrap strip carrier slot fret dot hole pocket trim groove edge face side nut bridge bass
    treble glue playing corner fence bed table spoil top bottom outline core binding notch mark dowel place position
    cutter mill bit drill saw blade tool arbor collet flange guard teeth tooth kerf spindle motor speed feed plunge
    depth deep shallow height high low coolant dust hose vacuum program file block line machine controller button key
    clamp screw tape wedge jaw vice vise pin hold held grip lay lie set reset start restart stop switch
    turn flip rotate mirror invert swap change remove take loosen loose tighten release undo lift raise lower move
    jog push press pull slide shift pack shim level align touch probe measure check run go skip continue wait pause
    leave let keep cut insert fit mount plug connect disconnect power emergency hand finger reach open
    close cover do make use try work operate obey ignore
    not no never none without instead wrong off on down under below above over upside around round back reverse other
    opposite left right forward backward toward away outside inside before after again first last now then same
"""
AT_WORK: Final = frozenset(_AT_WORK.split())


def nothing_else_is_said(run: Run) -> Iterator[Finding]:
    """Prove that a program says nothing among its moves but the names of its setup's cuts, and notes.

    A note is what a hand adds for itself: letters alone, and none of the words that are used of the board,
    of what holds it, of zero, cutters, spindle and stops (AT_WORK).
    """
    names = {key_of(named_cut(name, run.machine.dialect.unit)) for name in _names(run)}
    for spoken in run.speech.after_head:
        if spoken.key not in names and not is_note(spoken.text):
            yield stray(run, spoken)


def stray(run: Run, spoken: Spoken) -> Finding:
    """Hold words against a program that belong nowhere in it, or not there, and that people may act on."""
    return run.finding(1, f'says "{_shortened(spoken.text)}", which does not belong there; people act on such words, '
                       "take the comment out", spoken.line)  # fmt: skip


def is_note(text: str) -> bool:
    """Say whether nobody at the machine can act on some words.

    >>> is_note("Ada, Tuesday, second plan"), is_note("nut end at the right"), is_note("clamps off"), is_note("Z 5")
    (True, False, False, False)
    """
    return not re.search(r"[^A-Za-z ,.]", text) and is_calm(text)


def is_calm(text: str) -> bool:
    """Say whether words have none of AT_WORK among them, in whatever form; figures are let pass.

    >>> is_calm("router 2"), is_calm("unclamp it"), is_calm("clamping")
    (True, False, False)
    """
    return not any(
        form.removeprefix("un") in AT_WORK or form in AT_WORK
        for word in _WORD.findall(text.lower())
        for form in _forms(word)
    )


def _forms(word: str) -> Iterator[str]:
    """Give a word and what it may be a form of: clamping, clamp; stopped, stopp, stop."""
    yield word
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) > len(ending) + 1:
            stem = word.removesuffix(ending)
            yield from (stem, stem + "e")
            if stem[-1:] == stem[-2:-1]:
                yield stem[:-1]


def _names(run: Run) -> Iterator[str]:
    """Give what cuts are called before they are cut: their names, and the side that they begin at."""
    setup = run.setup
    sides = (setup.low_side, setup.high_side, *(f"{end} end" for end in setup.ends))
    for shape in run.shapes:
        yield shape.feature.name
        yield from (f"{shape.feature.name}, {side} first" for side in sides)
        yield from (name for name, _ in shape.places)


def _shortened(text: str) -> str:
    return text if len(text) <= 80 else f"{text[:77]}..."
