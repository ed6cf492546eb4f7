"""What a job's folder holds, as its record lists it: programs in the order to run, each with how long it runs."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pearlkerf.files.whole import read_program_file
from pearlkerf.machine.model import Machine
from pearlkerf.reading.duration import machine_time
from pearlkerf.reading.header import read_headers
from pearlkerf.reading.motions import UnreadableProgram
from pearlkerf.reading.reader import read_program

NOT_PROGRAMS: Final = (".html", ".pdf", ".json", ".csv", ".svg", ".dxf")


@dataclass(frozen=True, slots=True)
class SavedProgram:
    """A program of a job's folder, as it is read back: what it is for, its cutters, its lines.

    Its times, s, are None where the machine is not known.
    """

    file: str
    setup: str = ""
    purpose: str = "cut"
    cutters: tuple[int, ...] = ()
    lines: int = 0
    shortest_s: float | None = None
    longest_s: float | None = None
    unreadable: bool = False


def saved_programs(folder: Path, files: Iterable[str], machine: Machine | None) -> list[SavedProgram]:
    """Give the programs among these files of a folder, in their order."""
    return [_read(folder, name, machine) for name in files if Path(name).suffix.lower() not in NOT_PROGRAMS]


def _read(folder: Path, name: str, machine: Machine | None) -> SavedProgram:
    try:
        text = read_program_file(folder / name)
        reading = read_program(text, name, dwell_unit=machine.dialect.dwell_unit if machine else "s")
    except (OSError, UnreadableProgram):
        return SavedProgram(name, unreadable=True)
    headers, _ = read_headers(reading, name)
    time = machine_time(reading, machine) if machine else None
    return SavedProgram(
        file=name,
        setup=headers[0].setup if headers else "",
        purpose=headers[0].purpose if headers else "cut",
        cutters=tuple(dict.fromkeys(header.cutter for header in headers)),
        lines=reading.lines,
        shortest_s=time.shortest_s if time else None,
        longest_s=time.longest_s if time else None,
    )
