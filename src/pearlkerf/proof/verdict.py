"""What the proof says of a set of programs: what was read of each, and what it holds against them."""

from dataclasses import dataclass

from pearlkerf.reading.motions import Finding, ProgramText, Reading


@dataclass(frozen=True, slots=True, eq=False)
class Proved:
    """One program after the proof: what was read, for pictures and summaries."""

    program: ProgramText
    setup: str
    cutters: tuple[int, ...]
    reading: Reading | None  # None where it was unreadable
    purpose: str = "cut"  # or "point"


@dataclass(frozen=True, slots=True)
class Claimed:
    """Of one setup, as group and number: what its programs claim to cut, or to show; what else the setup demands."""

    setup: str
    purpose: str
    claimed: tuple[tuple[str, int], ...]
    not_claimed: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """What the proof says of a set of programs; ``notes`` are what people should know of them besides."""

    programs: tuple[Proved, ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, float, str], ...] = ()  # name, value, unit: e.g. worst distance outside, least overlap
    claims: tuple[Claimed, ...] = ()  # of every setup that there is a program for
    notes: tuple[str, ...] = ()

    @property
    def proved(self) -> bool:
        """True where nothing was held against any program."""
        return not self.findings
