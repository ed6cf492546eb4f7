"""From a machine profile to a machine: found by name or path, and everything wrong with it at once."""

import math
import re
from collections.abc import Iterator
from pathlib import Path, PurePath
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.toml_keys import several_of
from pearlkerf.files.toml_models import read_model
from pearlkerf.files.toml_tables import MOST_BYTES, read_tables
from pearlkerf.files.toml_values import nearest
from pearlkerf.machine.carriers import check_carrier
from pearlkerf.machine.holding import check_holding, holding_of
from pearlkerf.machine.model import Carrier, Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.machine.own_figures import check_own_figures
from pearlkerf.machine.saw_checks import check_saw
from pearlkerf.machine.spelled import as_spelled
from pearlkerf.machine.tables import CarrierTable, CutterTable, ProfileTable, ProgramTable, SpindleTable

# steps above 0.001 mm or 0.0001 in are too coarse for a board
LEAST_DECIMALS: Final = {"mm": 3, "in": 4}
# a twist drill's usual point of 118 degrees (common practice, no source)
TWIST_POINT_DEG: Final = 118.0
# a brad point's spur, as part of the diameter, where the profile does not say: on the long side
BRAD_POINT_SHARE: Final = 0.5
FOLDERS: Final = (Path(__file__).parents[1] / "machine_profiles", Path(__file__).parents[3] / "machine_profiles")


def profile_names() -> tuple[str, ...]:
    """Give the names of the profiles that come with the package, in order."""
    return tuple(sorted(path.stem for path in _folder().glob("*.toml")))


def profile_path(name_or_path: str) -> Path:
    """Give the file of a profile; anything with a separator or ending in .toml is a path.

    Raises Refusal for a name that no profile has.
    """
    if "/" in name_or_path or "\\" in name_or_path or name_or_path.endswith(".toml"):
        return Path(name_or_path)
    names = profile_names()
    if name_or_path not in names:
        near = nearest(name_or_path, list(names))
        hint = f'did you mean "{near}"?' if near else "a path to a profile of your own has a slash or ends in .toml"
        raise Refusal([Problem(key="machine", found=f'no machine profile "{name_or_path}"',
                               allowed=f"one of {', '.join(names)}, or a path", hint=hint)])  # fmt: skip
    return _folder() / f"{name_or_path}.toml"


def _folder() -> Path:
    return next((folder for folder in FOLDERS if folder.is_dir()), FOLDERS[-1])


def read_profile_bytes(name_or_path: str) -> bytes:
    """Give a profile's file as it is; raises OSError where it cannot be read."""
    with profile_path(name_or_path).open("rb") as file:
        return file.read(MOST_BYTES + 1)


def read_machine(name_or_path: str) -> Machine:
    """Read a machine profile; raises Refusal with every mistake, OSError where it cannot be read."""
    return read_machine_text(read_profile_bytes(name_or_path), str(profile_path(name_or_path)))


def read_machine_text(text: bytes, file: str) -> Machine:
    """Read the text of a profile that is called ``file`` in what is told of it; raises Refusal with every mistake."""
    tables = read_tables(text, file, several_of(ProfileTable))
    read, problems = read_model(ProfileTable, tables, "mm")
    if read is not None:
        told = {problem.key for problem in problems}
        problems += [tables.places.put(problem) for problem in _cross_checks(read) if problem.key not in told]
    if read is None or problems:
        problems.sort(key=lambda problem: (problem.line or 0, problem.column or 0))
        raise Refusal(as_spelled(problem, tables.data) for problem in problems)
    machine = _machine(read, PurePath(file).stem)
    too_much = [tables.places.put(problem) for problem in check_own_figures(machine, read.unusual)]
    if too_much:
        raise Refusal(as_spelled(problem, tables.data) for problem in too_much)
    return machine


def _cross_checks(read: ProfileTable) -> Iterator[Problem]:
    slowest, fastest = read.spindle.speed
    if slowest > fastest:
        yield Problem("the slowest speed is above the fastest", "[slowest, fastest]",
                      f"write [{fastest:g}, {slowest:g}]", "spindle.speed")  # fmt: skip
    yield from _dial(read.spindle)
    program, least = read.program, LEAST_DECIMALS[read.program.unit]
    if program.decimals is not None and program.decimals < least:
        found = f"{program.decimals} decimals in {program.unit} are too coarse for a board"
        yield Problem(found, f"at least {least}", f"write decimals = {least}", "program.decimals")
    if not re.fullmatch(r"[A-Za-z0-9]+", program.file_ending):
        yield Problem(f'"{program.file_ending}" is no file ending', "letters and figures", 'write "nc"',
                      "program.file_ending")  # fmt: skip
    if program.cutter_change == "stop" and not program.comments:
        yield Problem("cutters change at a stop, and no comment may say which is next", "comments = true, or another "
                      "cutter_change", 'write cutter_change = "file": a program for each cutter',
                      "program.cutter_change")  # fmt: skip
    if read.motion.clearance >= read.travel.z:
        yield Problem(f"a clearance of {read.motion.clearance:g} mm takes all the travel in Z",
                      f"less than {read.travel.z:g} mm", "8 mm is usual", "motion.clearance")  # fmt: skip
    if not read.cutter:
        yield Problem("the profile has no cutter", "at least one [[cutter]]", "", "cutter")
    yield from check_holding(read.holding)
    if read.carrier is not None:
        yield from check_carrier(read.carrier, read.travel.x)
    for index, cutter in enumerate(read.cutter):
        yield from _check_cutter(read, index, cutter)


def _check_cutter(read: ProfileTable, index: int, cutter: CutterTable) -> Iterator[Problem]:
    key = f"cutter.{index}"
    if any(other.number == cutter.number for other in read.cutter[:index]):
        free = max(other.number for other in read.cutter) + 1
        yield Problem(
            f"two cutters have the number {cutter.number}", "each number once", f"use {free}", f"{key}.number"
        )
    yield from check_saw(key, cutter)
    if cutter.bite is not None and cutter.bite > cutter.reach:
        found = f"one pass of {cutter.bite:g} mm is deeper than the cutter reaches"
        yield Problem(found, f"at most {cutter.reach:g} mm", f"use at most {cutter.reach:g} mm", f"{key}.bite")
    if cutter.stick_out is not None and cutter.stick_out < cutter.reach:
        found = f"the cutter sticks out {cutter.stick_out:g} mm, less than its cutting length"
        hint = "give what stands out of the collet, or a shorter reach"
        yield Problem(found, f"at least {cutter.reach:g} mm", hint, f"{key}.stick_out")
    limit = cutter.speed_limit
    slowest = min(read.spindle.dial, default=read.spindle.speed[0])
    if limit is not None and limit < slowest:
        yield Problem(f"the cutter may turn at most {limit:g} rpm, the spindle turns no slower than "
                      f"{slowest:g} rpm", "a limit within the spindle's range",
                      "leave this cutter out of the profile", f"{key}.speed_limit")  # fmt: skip
    if limit is not None and cutter.speed is not None and cutter.speed > limit:
        yield Problem(
            f"a speed of {cutter.speed:g} rpm is above the cutter's limit", f"at most {limit:g} rpm", "", f"{key}.speed"
        )


def _dial(spindle: SpindleTable) -> Iterator[Problem]:
    marks, (slowest, fastest) = spindle.dial, spindle.speed
    if marks != sorted(set(marks)):
        yield Problem("the marks of the dial do not rise", "[slowest mark, ..., fastest mark]",
                      f"write [{', '.join(f'{mark:g}' for mark in sorted(set(marks)))}]", "spindle.dial")  # fmt: skip
    off = [mark for mark in marks if not slowest <= mark <= fastest]
    if off:
        yield Problem(f"the dial has a mark for {off[0]:g} rpm, which the spindle does not turn at",
                      f"{slowest:g} to {fastest:g} rpm", "", "spindle.dial")  # fmt: skip
    if marks and spindle.control == "program":
        yield Problem("a dial is no use where the program sets the speed", 'control = "dial" or "hand"',
                      'write control = "dial", or leave dial out', "spindle.dial")  # fmt: skip


def _machine(read: ProfileTable, name: str) -> Machine:
    travel, spindle, motion = read.travel, read.spindle, read.motion
    return Machine(
        name=name,
        title=name if read.title is None else read.title,
        travel=Travel(travel.x, travel.y, travel.z, travel.under_spindle),
        spindle=_spindle(spindle),
        motion=Motion(motion.rapid, motion.feed_limit, motion.acceleration, motion.clearance, motion.park),
        dialect=_dialect(read.program),
        cutters=tuple(_cutter(cutter) for cutter in read.cutter),
        carrier=None if read.carrier is None else _carrier(read.carrier),
        holding=holding_of(read.holding),
    )


def _spindle(table: SpindleTable) -> Spindle:
    return Spindle(
        *table.speed,
        table.control,
        table.start_delay,
        table.nut_diameter,
        table.nut_length,
        table.body_diameter,
        tuple(table.dial),
    )


def _carrier(table: CarrierTable) -> Carrier:
    return Carrier(table.pitch, table.dowel, table.thickness, table.into_bed)


def _dialect(table: ProgramTable) -> Dialect:
    return Dialect(
        unit=table.unit,
        decimals=LEAST_DECIMALS[table.unit] if table.decimals is None else table.decimals,
        line_limit=table.line_limit,
        comments=table.comments,
        percent=table.percent,
        line_numbers=table.line_numbers,
        arcs=table.arcs,
        drilling_cycles=table.drilling_cycles,
        cutter_change=table.cutter_change,
        dwell_unit=table.dwell_unit,
        path_control=table.path_control,
        air=table.air,
        blocks_per_second=table.blocks_per_second,
        end=table.end,
        file_ending=table.file_ending,
    )


def _cutter(table: CutterTable) -> Cutter:
    return Cutter(
        number=table.number,
        kind=table.kind,
        diameter_mm=table.diameter,
        flutes=table.flutes,
        reach_mm=table.reach,
        speed_rpm=table.speed,
        speed_limit_rpm=table.speed_limit,
        feed_mm_min=table.feed,
        plunge_feed_mm_min=table.plunge_feed,
        bite_mm=table.bite,
        runout_mm=table.runout,
        shank_mm=table.shank,
        stick_out_mm=table.stick_out,
        point_length_mm=_point_length_mm(table),
        plunges=table.kind != "saw" if table.plunges is None else table.plunges,
        kerf_mm=table.kerf,
        flange_mm=table.flange,
        arbor_mm=table.arbor or 0.0,
        lowest_teeth=table.lowest_teeth,
        sawing=table.sawing,
    )


def _point_length_mm(table: CutterTable) -> float:
    if table.point_length is not None:
        return table.point_length
    if table.kind == "twist drill":
        return table.diameter / 2 / math.tan(math.radians(TWIST_POINT_DEG / 2))
    return BRAD_POINT_SHARE * table.diameter if table.kind == "brad point" else 0.0
