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


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """What the proof says of a set of programs."""

    programs: tuple[Proved, ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, float, str], ...] = ()  # name, value, unit: e.g. worst distance outside, least overlap

    @property
    def proved(self) -> bool:
        """True where nothing was held against any program."""
        return not self.findings
