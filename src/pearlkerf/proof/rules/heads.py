"""Rule 1, the head: how the board lies, where zero is and which cutters are needed is said there, once, and right."""

import re
from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.layout.groups import GROUPS
from pearlkerf.machine.model import Cutter, Dialect
from pearlkerf.machine.words import FIRST_IN_SCRAP, POINTING, SAFETY, does_not_turn, of_path_control, of_saw, with_kerf
from pearlkerf.proof.inches import told_in_mm
from pearlkerf.proof.rules.dry_run_words import is_dry_run_told_right
from pearlkerf.proof.rules.remarks import is_calm, is_note, stray
from pearlkerf.proof.rules.run_out_words import OutOfWood, is_run_out_told_right, out_of_wood, untold
from pearlkerf.proof.rules.saw_words import blade_is_told_right
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import Spoken, key_of
from pearlkerf.proof.tolerances import DEPTH_TOLD_MM
from pearlkerf.reading.motions import Finding
from pearlkerf.setups.plain import of_people
from pearlkerf.setups.words import told

_FIGURES: Final = re.compile(
    r", \d+ rpm, feed \d+(?:\.\d+)?, plunge \d+(?:\.\d+)? mm/min, \d+\.\d{3,} mm a pass, "
    r"deepest (-?\d+\.\d{2,}) mm below zero",
    re.ASCII | re.IGNORECASE,
)
_NAMES: Final = "|".join(word for group in GROUPS.values() for word in (group.name, group.one))
_NAMED: Final = rf"(?:{_NAMES})(?: \d{{1,3}}(?:-\d{{1,3}})?)*"
# of the job, which nobody acts on where they are missing: each may stand once
_OF_THE_JOB: Final = (
    r"(before|after) this, \S+",
    r"this is the (first|last) program of the job",
    rf"only a part of the job, {_NAMED}(, {_NAMED})*",
    rf"only the rest of the job, from {_NAMED} on, what comes before it is left out as cut",
)


def the_head_is_whole(run: Run) -> Iterator[Finding]:
    """Prove that the head tells people all that their hands must do before it runs, and nothing that contradicts it.

    Every sentence that the setup gives (``setups/words.py``: how the wood lies, rests and is held, where zero
    is), of the controller, and of each cutter stands there once, whatever its line breaks.  Besides them may
    stand, once each, what names tool, board, profile, job and dry run, the reasons, the cautions, and notes
    (``is_note``).  A board's title and a profile's name stand there as they are, or as words that nobody
    can act on.  The depth that a cutter is told to reach is that of its lowest move, within DEPTH_TOLD_MM.
    """
    due = [(key_of(sentence), sentence) for sentence in _demanded(run)]
    demanded = dict(due)
    times = Counter([*(key for key, _ in due), *map(key_of, _may(run))])
    said: Counter[str] = Counter()
    cutters: set[int] = set()
    own = out_of_wood(run)
    for spoken in run.speech.head:
        cutter = _of_cutter(run, spoken)
        new = not said[spoken.key]
        if cutter is not None and cutter.number not in cutters:
            cutters.add(cutter.number)
            yield from _deep_enough(run, cutter, spoken)
        elif said[spoken.key] < times[spoken.key] or (new and _may_stand_once(run, own, spoken.text)):
            said[spoken.key] += 1
        elif not is_note(spoken.text):
            yield stray(run, spoken)
    for key, sentence in demanded.items():
        if said[key] < times[key]:
            yield run.finding(1, f'the head does not say "{sentence}"; people act on it')
    for sentence in untold(run, own, [each.text for each in run.speech.head]):
        yield run.finding(1, f'the head does not say "{sentence}"; people act on it')
    yield from _cutters_are_told(run, cutters)
    yield from _blades_are_told(run, said)


def _demanded(run: Run) -> Iterator[str]:
    yield from (each for each in told(run.setup, of_people, run.machine.dialect.unit) if isinstance(each, str))
    yield from of_path_control(run.machine.dialect)
    if run.setup.purpose == "point":
        yield from POINTING
        return
    for section in run.sections:
        if section.cutter.kind == "saw":
            yield from of_saw(section.cutter)


def _may(run: Run) -> Iterator[str]:
    yield from (str(each) for each in told(run.setup, of_people, run.machine.dialect.unit) if not isinstance(each, str))
    yield from (FIRST_IN_SCRAP, *SAFETY)


def _may_stand_once(run: Run, own: OutOfWood, text: str) -> bool:
    return (
        _names_the_job(run, text)
        or blade_is_told_right(run, text)
        or is_run_out_told_right(run, own, text)
        or is_dry_run_told_right(run, text)
    )


def _names_the_job(run: Run, text: str) -> bool:
    """Say whether a sentence names tool, board, profile or place in the job."""
    if any(re.fullmatch(form, text, re.ASCII | re.IGNORECASE) for form in _OF_THE_JOB):
        return True
    unit = "inches" if run.machine.dialect.unit == "in" else "mm"
    of_setup = f"{run.setup.name} setup"
    for form, given in (
        (rf"(.*), {of_setup}, file \S+", ()),
        (r"board,(.*)", run.titles),
        (rf"machine profile (.*), blocks and notes in {unit}", (run.machine.name,)),
    ):
        found = re.fullmatch(form, text, re.ASCII | re.IGNORECASE)
        if found:
            return is_calm(found[1]) or key_of(found[1]) in {key_of(of_people(name)) for name in given}
    return False


def _of_cutter(run: Run, spoken: Spoken) -> Cutter | None:
    """Give the cutter that a sentence describes as it is, with all its figures or as one that does not turn."""
    dialect = run.machine.dialect
    for section in run.sections:
        cutter, above = section.cutter, run.tip_above_mm
        if run.setup.purpose == "point":
            if above is not None and spoken.key == key_of(does_not_turn(cutter, above, dialect.unit)):
                return cutter
        elif _figures(spoken.text, cutter, dialect):
            return cutter
    return None


def _figures(text: str, cutter: Cutter, dialect: Dialect) -> re.Match[str] | None:
    beginning = with_kerf(cutter, dialect.unit)
    if not text.casefold().startswith(beginning.casefold()):
        return None
    return _FIGURES.fullmatch(told_in_mm(text[len(beginning) :], dialect))


def _deep_enough(run: Run, cutter: Cutter, spoken: Spoken) -> Iterator[Finding]:
    figures = _figures(spoken.text, cutter, run.machine.dialect)
    if figures is None:
        return
    ends = [run.reading.motions.end[each.first : each.last, 2] for each in run.sections if each.cutter is cutter]
    lowest = float(np.nanmin(np.concatenate(ends), initial=0.0))
    if -lowest > float(figures[1]) + DEPTH_TOLD_MM:
        said = float(figures[1])
        message = f"tells people that cutter {cutter.number} goes {said:.2f} mm deep; it goes {-lowest:.2f} mm"
        yield run.finding(1, message, spoken.line)


def _cutters_are_told(run: Run, cutters: set[int]) -> Iterator[Finding]:
    for cutter in dict.fromkeys(section.cutter for section in run.sections):
        if cutter.number not in cutters:
            named = with_kerf(cutter, run.machine.dialect.unit)
            yield run.finding(1, f'the head does not describe "{named}" with its figures; people put it in')


def _blades_are_told(run: Run, said: Counter[str]) -> Iterator[Finding]:
    """Find the room for a blade that nobody is told: two sentences with figures for each saw."""
    if run.setup.purpose == "point" or not any(section.cutter.kind == "saw" for section in run.sections):
        return
    for beginning in ("the middle of the blade runs up to", "nothing under the arbor stands higher than"):
        if not any(key.startswith(key_of(beginning)) for key in said):
            yield run.finding(1, f'the head does not say "{beginning} ..." with figures that keep the blade clear')
