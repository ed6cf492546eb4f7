"""From toolpaths to programs: plain RS-274 text, as one machine profile wants it."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.inches import in_unit
from pearlkerf.machine.model import Machine
from pearlkerf.machine.words import ALL_SHOWN, SPINDLE_STANDS, STAYS_OFF, before_start, change_to, named_cut
from pearlkerf.program.blocks import Blocks
from pearlkerf.program.claims import section_lines
from pearlkerf.program.comments import comment_lines
from pearlkerf.program.header import Place, header_sentences
from pearlkerf.toolpath.moves import CutterPath, Toolpath, TraverseHeight, TraversePlane

# NISTIR 6556, section 3.3.1: N and one to five digits
MOST_LINE_NUMBER: Final = 99999
AIR_OFF: Final = "M9"
LINE_NUMBER_ROOM: Final = len(f"N{MOST_LINE_NUMBER} ")


@dataclass(frozen=True, slots=True)
class Program:
    """One program: its file's name, and its bytes (ASCII, LF)."""

    file: str
    text: bytes


def write_programs(toolpaths: Sequence[Toolpath], title: str, maker: str) -> tuple[Program, ...]:
    """Write all programs of a job, in the order to run.

    One for each setup and cutter, or one for each setup where the profile changes cutters itself or
    at a stop.  Raises Refusal where a block does not fit the profile's line limit.
    """
    parts = _parts(toolpaths)
    files = list(files_of(toolpaths))
    pointing = {toolpath.setup.name: file for file, (toolpath, _) in zip(files, parts, strict=True)
                if toolpath.setup.purpose == "point"}  # fmt: skip
    programs = []
    for number, (toolpath, paths) in enumerate(parts):
        before = files[number - 1] if number else ""
        after = files[number + 1] if number + 1 < len(files) else ""
        place = Place(title, maker, files[number], before, after, pointing.get(toolpath.setup.name, ""))
        programs.append(Program(files[number], _text(place, toolpath, paths)))
    return tuple(programs)


def files_of(toolpaths: Sequence[Toolpath]) -> dict[str, tuple[str, tuple[int, ...]]]:
    """Give the files of a job's programs in the order to run, each with its setup's name and its cutters."""
    return {
        file: (toolpath.setup.name, tuple(path.cutter.number for path in paths))
        for file, (toolpath, paths) in parts_of(toolpaths).items()
    }


def parts_of(toolpaths: Sequence[Toolpath]) -> dict[str, tuple[Toolpath, tuple[CutterPath, ...]]]:
    """Give the files of a job's programs in the order to run, each with what is written in it."""
    parts = _parts(toolpaths)
    digits = len(str(len(parts)))  # so that files sort in the order to run
    return {_file_name(f"{number:0{digits}d}", *part): part for number, part in enumerate(parts, 1)}


def _parts(toolpaths: Sequence[Toolpath]) -> list[tuple[Toolpath, tuple[CutterPath, ...]]]:
    return [(toolpath, paths) for toolpath in toolpaths for paths in _split(toolpath)]


def _split(toolpath: Toolpath) -> list[tuple[CutterPath, ...]]:
    if toolpath.machine.dialect.cutter_change == "file":
        return [(path,) for path in toolpath.paths]
    return [toolpath.paths] if toolpath.paths else []


def _file_name(number: str, toolpath: Toolpath, paths: tuple[CutterPath, ...]) -> str:
    ending = toolpath.machine.dialect.file_ending
    if toolpath.setup.purpose == "point":
        return f"{number}-{toolpath.setup.name}-pointing.{ending}"
    cutters = "-".join(str(path.cutter.number) for path in paths)
    noun = "cutter" if len(paths) == 1 else "cutters"
    return f"{number}-{toolpath.setup.name}-{noun}-{cutters}.{ending}"


def _text(place: Place, toolpath: Toolpath, paths: tuple[CutterPath, ...]) -> bytes:
    dialect = toolpath.machine.dialect
    lines = [fitted for line in _lines(place, toolpath, paths) for fitted in _fitted(line, toolpath.machine)]
    if dialect.line_numbers:
        step = max(1, min(10, MOST_LINE_NUMBER // max(1, len(lines))))
        lines = [f"N{number * step % (MOST_LINE_NUMBER + 1)} {line}" for number, line in enumerate(lines, 1)]
    if dialect.percent:
        lines = ["%", *lines, "%"]
    return ("\n".join(lines) + "\n").encode("ascii")


def _fitted(line: str, machine: Machine) -> list[str]:
    """Set the feed on a line of its own where a block is too long; refuse what still does not fit."""
    limit = _room(machine)
    lines = [line]
    if len(line) > limit and " F" in line:
        block, feed = line.rsplit(" ", 1)
        lines = [feed, block]
    longest = max(len(part) for part in lines)
    if longest > limit:
        longest += machine.dialect.line_limit - limit
        raise Refusal([Problem(key="program.line_limit", found=f"a block of {longest} characters is needed",
                               allowed=f"at most {machine.dialect.line_limit} in {machine.name}",
                               hint=f"set line_limit to {longest} if the controller reads such lines")])  # fmt: skip
    return lines


def _lines(place: Place, toolpath: Toolpath, paths: tuple[CutterPath, ...]) -> Iterator[str]:
    machine = toolpath.machine
    blocks = Blocks(machine.dialect)
    for sentence in header_sentences(place, toolpath, paths):
        yield from _comment(sentence, machine)
    yield from _modes(machine)
    for number, path in enumerate(paths):
        yield from _section(number, path, toolpath, blocks)
    yield machine.dialect.end


def _modes(machine: Machine) -> Iterator[str]:
    """Give the blocks that state every mode: in the head, and again after every stop, where people may have changed it.

    A length offset is set with the rise alone: by itself it moves Z on some controllers.
    """
    dialect = machine.dialect
    yield "G21" if dialect.unit == "mm" else "G20"
    yield "G17 G90 G94 G54" + (" G61" if dialect.path_control == "exact" else "")
    if dialect.cutter_change == "automatic":
        yield "G40"
    if dialect.drilling_cycles:
        yield "G80"


def _section(number: int, path: CutterPath, toolpath: Toolpath, blocks: Blocks) -> Iterator[str]:
    """Give all blocks of one cutter: change to it, start the spindle, cut, lift, stop the spindle."""
    machine = toolpath.machine
    if number:
        blocks.forget()
    if number and machine.dialect.cutter_change == "stop":
        yield from _park(machine)
        yield from _stop(change_to(path.cutter, machine.dialect.unit), machine)
    if number and (machine.dialect.cutter_change == "stop" or machine.spindle.control == "hand"):
        yield from _modes(machine)
    if machine.dialect.comments:
        yield from section_lines(toolpath, path, _room(machine))
    if machine.dialect.cutter_change == "automatic":
        yield f"T{path.cutter.number} M6"
    points = toolpath.setup.purpose == "point"
    if points and machine.spindle.control == "hand":
        yield from _stop(STAYS_OFF, machine)
        yield from _modes(machine)
    elif points:
        yield "M5"
    yield from _rise(path, machine, blocks)
    if not points:
        yield from _start_spindle(path, machine, blocks)
    for cut in path.cuts:
        yield from _comment(named_cut(cut.name, machine.dialect.unit), machine)
        yield from blocks.words(cut.moves)
        if cut.stop:
            yield from _stop(in_unit(cut.stop, machine.dialect.unit), machine)
            yield from _modes(machine)
            yield from _rise(path, machine, blocks)
    yield from blocks.words([TraverseHeight(machine.motion.clearance_mm)])
    if not points and machine.dialect.air != "none":
        yield AIR_OFF
    yield from _spindle_off(ALL_SHOWN if points else SPINDLE_STANDS, machine)


def _rise(path: CutterPath, machine: Machine, blocks: Blocks) -> Iterator[str]:
    """Give the rise to clearance from a place that nobody knows, on an automatic machine with the cutter's length."""
    blocks.forget()
    offset = f"G43 H{path.cutter.number} " if machine.dialect.cutter_change == "automatic" else ""
    for block in blocks.words([TraverseHeight(machine.motion.clearance_mm)]):
        yield block.replace("G0 ", f"G0 {offset}", 1)


def _park(machine: Machine) -> Iterator[str]:
    """Give the way, at clearance, to the place where hands have room; nothing where the profile names none."""
    if machine.motion.park_mm is not None:
        yield from Blocks(machine.dialect).words([TraversePlane(*machine.motion.park_mm)])


def _start_spindle(path: CutterPath, machine: Machine, blocks: Blocks) -> Iterator[str]:
    speed = max(math.floor(path.figures.speed_rpm), math.ceil(machine.spindle.slowest_rpm))
    control = machine.spindle.control
    words = before_start(path.cutter, "" if control == "program" else f"{speed}", control)
    if words:
        yield from _park(machine)
        yield from _stop(words, machine)
        yield from _modes(machine)
        yield from _rise(path, machine, blocks)
    if control != "hand":
        yield f"S{speed} M3" if control == "program" else "M3"
        if machine.spindle.start_delay_s > 0:
            yield f"G4 P{blocks.dwell(machine.spindle.start_delay_s)}"
    if machine.dialect.air != "none":
        yield machine.dialect.air


def _spindle_off(by_hand: str, machine: Machine) -> Iterator[str]:
    """Switch the spindle off, or stop and say so where it is set by hand."""
    if machine.spindle.control == "hand":
        yield from _park(machine)
        yield from _stop(by_hand, machine)
    else:
        yield "M5"


def _stop(message: str, machine: Machine) -> Iterator[str]:
    yield from _comment(message, machine)
    yield "M0"


def _room(machine: Machine) -> int:
    """Room for a block or comment: the line limit less what a line number takes."""
    return machine.dialect.line_limit - (LINE_NUMBER_ROOM if machine.dialect.line_numbers else 0)


def _comment(sentence: str, machine: Machine) -> Iterator[str]:
    if machine.dialect.comments:
        yield from comment_lines(sentence, _room(machine))
