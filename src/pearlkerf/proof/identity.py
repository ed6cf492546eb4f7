"""Whose program this is: its setup, its cutters section by section, the features that it claims."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pearlkerf.machine.model import Machine
from pearlkerf.proof.runs import Claim, Section
from pearlkerf.proof.tolerances import HEIGHT_TOLD_MM
from pearlkerf.reading.header import Header, read_headers
from pearlkerf.reading.motions import RAPID, Finding, Reading
from pearlkerf.setups.model import Setup


@dataclass(frozen=True, slots=True)
class Assumed:
    """What the command line says of the programs: their setup, the cutters that they use, what they are for.

    ``purpose`` is "cut" or "point", "" where nothing is said; ``tip_above_mm`` how high a pointing
    run's tip stops above the wood; ``claims`` what is demanded of a program that claims nothing itself;
    ``titles`` all that people may call it, as they wrote it.
    """

    setup: str | None = None
    cutters: tuple[int, ...] = ()
    purpose: str = ""
    tip_above_mm: float | None = None
    claims: tuple[Claim, ...] = ()
    titles: tuple[str, ...] = ()


class SetupUnknown(Exception):
    """Neither a program's header nor the caller says for which setup, or with which cutter, it is."""

    def __init__(self, file: str, what: str) -> None:
        self.file = file
        self.what = what
        super().__init__(
            f"{file or 'the program'} does not say its {what}: it has no line such as "
            f"(setup=face cutter=1 cuts=frets 1-19); say --{what}"
        )


@dataclass(frozen=True, slots=True)
class Identity:
    """What a program says of itself, completed by what is assumed; ``setup`` None where that is no setup."""

    setup: Setup | None
    sections: tuple[Section, ...]
    claims: tuple[Claim, ...]
    findings: tuple[Finding, ...]
    tip_above_mm: float | None = None
    titles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Start:
    """Where a cutter's section starts: the cutter's number, its first motion, the line that says so."""

    cutter: int
    first: int
    line: int


NOBODY_ASSUMED = Assumed()


def identify(
    reading: Reading, file: str, setups: Sequence[Setup], machine: Machine, assumed: Assumed = NOBODY_ASSUMED
) -> Identity:
    """Tell a program's setup, sections and claims; disagreement is a finding of rule 1.

    A section is what one cutter does.  It begins where the header names another cutter, or, on a
    machine that changes cutters itself, at the change.  Raises SetupUnknown where nothing says the
    setup or the cutter.
    """
    headers, unread = read_headers(reading, file)
    findings = list(unread)
    purpose = _purpose(headers, file, assumed, findings)
    of_purpose = [each for each in setups if each.purpose == purpose]
    setup = _setup(headers, file, of_purpose, assumed, findings)
    tip_above = _tip_above(headers, file, assumed, findings)
    starts = _starts(reading, headers, file, machine, findings) or _assumed_start(assumed, file)
    used = [start.cutter for start in starts]
    if assumed.cutters and not set(used) <= set(assumed.cutters):
        message = f"cuts with cutter {_listed(used)}, but the command line says {_listed(assumed.cutters)}"
        findings.append(Finding(1, message, file, starts[0].line))
    sections = _sections(starts, len(reading.motions.kind), file, machine, findings)
    findings += _claimed_too_late(headers, reading, file)
    claims = sorted({claim for header in headers for claim in header.cuts}) if headers else assumed.claims
    return Identity(setup, sections, tuple(claims), tuple(findings), tip_above, assumed.titles)


def _purpose(headers: Sequence[Header], file: str, assumed: Assumed, findings: list[Finding]) -> str:
    """Give what a program is for, as its header says it, else the command line, else to cut."""
    if not headers:
        return assumed.purpose or "cut"
    words = {"cut": "a program that cuts", "point": "a pointing run"}
    for header in headers:
        if header.purpose != headers[0].purpose:
            message = (
                f"the header calls it {words[header.purpose]}, but line {headers[0].line} {words[headers[0].purpose]}"
            )
            findings.append(Finding(1, message, file, header.line))
    if assumed.purpose and assumed.purpose != headers[0].purpose:
        message = f"the header calls it {words[headers[0].purpose]}, but it is to be {words[assumed.purpose]}"
        findings.append(Finding(1, message, file, headers[0].line))
    return headers[0].purpose


def _claimed_too_late(headers: Sequence[Header], reading: Reading, file: str) -> list[Finding]:
    """Find the lines that claim what nothing after them can cut."""
    feeds = reading.motions.line[reading.motions.kind != RAPID]
    last = int(feeds.max()) if len(feeds) else 0
    return [
        Finding(1, "claims cuts after which nothing is cut; claims stand before what they claim", file, header.line)
        for header in headers
        if header.cuts and header.line > last
    ]


def _tip_above(headers: Sequence[Header], file: str, assumed: Assumed, findings: list[Finding]) -> float | None:
    """Give the stated height of a pointing run's tip; the lowest of several, which are findings."""
    said = [(header.height_mm, header.line) for header in headers if header.height_mm is not None]
    wanted = assumed.tip_above_mm if assumed.tip_above_mm is not None else said[0][0] if said else None
    for height, line in said:
        if wanted is not None and abs(height - wanted) > HEIGHT_TOLD_MM:
            message = f"the header states a height of {height:g} mm above the wood, but it is to be {wanted:g} mm"
            findings.append(Finding(1, message, file, line))
    return wanted


def _setup(
    headers: Sequence[Header], file: str, setups: Sequence[Setup], assumed: Assumed, findings: list[Finding]
) -> Setup | None:
    name = headers[0].setup if headers else assumed.setup
    first = headers[0].line if headers else None
    if name is None:
        raise SetupUnknown(file, "setup")
    for other in headers:
        if other.setup != name:
            message = f"the header names the setup {other.setup}, but line {first} the setup {name}"
            findings.append(Finding(1, message, file, other.line))
    if assumed.setup is not None and assumed.setup != name:
        findings.append(Finding(1, f"the header names the setup {name}, the command line {assumed.setup}", file, first))
    setup = next((setup for setup in setups if setup.name == name), None)
    if setup is None:
        known = ", ".join(setup.name for setup in setups) or "none"
        message = f"this board has no setup {name} to hold the program against; it has {known}"
        findings.append(Finding(1, message, file, first))
    return setup


def _assumed_start(assumed: Assumed, file: str) -> list[Start]:
    if len(assumed.cutters) != 1:
        raise SetupUnknown(file, "cutter")
    return [Start(assumed.cutters[0], 0, 0)]


def _starts(
    reading: Reading, headers: Sequence[Header], file: str, machine: Machine, findings: list[Finding]
) -> list[Start]:
    """Give the start of every section that headers or cutter changes name."""
    said = _said_starts(reading, headers, file, findings)
    changes = [event for event in reading.events if event.kind == "cutter change"]
    if machine.dialect.cutter_change == "automatic":
        taken = [Start(round(change.value), change.before, change.line) for change in changes]
        _hold_changes(taken, said, reading, file, findings)
        return taken
    for change in changes:
        message = (
            f"changes to cutter {change.value:.0f} by M6, but this machine has no changer; write a program for each"
        )
        findings.append(Finding(1, message, file, change.line))
    if machine.dialect.cutter_change == "file" and len(said) > 1:
        message = f"goes on with cutter {said[1].cutter}; this machine has one program for each cutter"
        findings.append(Finding(1, message, file, said[1].line))
    return said


def _said_starts(reading: Reading, headers: Sequence[Header], file: str, findings: list[Finding]) -> list[Start]:
    """Give the sections that the header lines begin; between two of them something moves."""
    starts: list[Start] = []
    for header in headers:
        first = int(np.searchsorted(reading.motions.line, header.line)) if starts else 0
        if starts and starts[-1].cutter == header.cutter:
            continue
        if starts and max(starts[-1].first, _first_motion(reading, starts[-1])) == first:
            message = f"the header names cutter {header.cutter}, but line {starts[-1].line} cutter {starts[-1].cutter}"
            findings.append(Finding(1, message, file, header.line))
            continue
        starts.append(Start(header.cutter, first, header.line))
    return starts


def _first_motion(reading: Reading, start: Start) -> int:
    return int(np.searchsorted(reading.motions.line, start.line))


def _hold_changes(
    taken: Sequence[Start], said: Sequence[Start], reading: Reading, file: str, findings: list[Finding]
) -> None:
    """Hold the cutters that the changer takes against the header and against the length offsets."""
    if said and [start.cutter for start in said] != [start.cutter for start in taken]:
        header, changer = (_listed(start.cutter for start in starts) for starts in (said, taken))
        message = f"the header names cutter {header}, the changer takes {changer or 'none'}"
        findings.append(Finding(1, message, file, said[0].line))
    offsets = [event for event in reading.events if event.kind == "length offset"]
    for start in taken:
        here = [event.value for event in offsets if event.before == start.first and event.line >= start.line]
        if not here or here[-1] != start.cutter:
            found = f"G43 H{here[-1]:.0f}" if here and here[-1] > 0 else "nothing"
            message = (
                f"takes cutter {start.cutter}, but {found} sets its length; write G43 H{start.cutter} before it moves"
            )
            findings.append(Finding(1, message, file, start.line))
    _hold_lengths(taken, reading, file, findings)


def _hold_lengths(taken: Sequence[Start], reading: Reading, file: str, findings: list[Finding]) -> None:
    """Hold every later length offset of a section, as after a stop, against the section's cutter."""
    for event in reading.events:
        start = next((each for each in reversed(taken) if each.line <= event.line), None)
        later = event.kind == "length offset" and start is not None and event.before > start.first
        if start is not None and later and event.value != start.cutter:
            message = f"G43 H{event.value:.0f} sets the length of another cutter than the {start.cutter} in the spindle"
            findings.append(Finding(1, message, file, event.line))


def _sections(
    starts: Sequence[Start], count: int, file: str, machine: Machine, findings: list[Finding]
) -> tuple[Section, ...]:
    sections: list[Section] = []
    ends = [start.first for start in starts[1:]] + [count]
    for place, (start, end) in enumerate(zip(starts, ends, strict=True)):
        cutter = machine.cutter(start.cutter)
        if cutter is None:
            known = _listed(each.number for each in machine.cutters)
            message = f"cutter {start.cutter} is not in the profile {machine.name}, which has {known}"
            findings.append(Finding(1, message, file, start.line or None))
        else:
            sections.append(Section(cutter, start.first if place else 0, end, start.line))
    return tuple(sections)


def _listed(numbers: Iterable[int]) -> str:
    return ", ".join(str(number) for number in numbers)
