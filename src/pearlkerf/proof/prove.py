"""Hold programs against the setups of a board and a machine: is this what is to be cut, and nothing else?"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal

import numpy as np

from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.proof.blade import SawTools, can_follow, find_blades
from pearlkerf.proof.dialect import hold_dialect
from pearlkerf.proof.grammar import hold_grammar
from pearlkerf.proof.identity import NOBODY_ASSUMED, Assumed, Identity, SetupUnknown, identify
from pearlkerf.proof.lines import lines_of
from pearlkerf.proof.owners import Tools, below_floors_mm, find_cuts
from pearlkerf.proof.pieces import cut_into_pieces
from pearlkerf.proof.rules.air import air_blows
from pearlkerf.proof.rules.arcs import arcs_agree
from pearlkerf.proof.rules.bites import bites_are_bearable
from pearlkerf.proof.rules.blocks import controller_keeps_up
from pearlkerf.proof.rules.claims import claimed, claims_of, what_is_cut_is_claimed
from pearlkerf.proof.rules.complete import features_are_complete
from pearlkerf.proof.rules.ending import ends_safely, hands_have_room
from pearlkerf.proof.rules.heads import the_head_is_whole
from pearlkerf.proof.rules.holding import nothing_touches_holding
from pearlkerf.proof.rules.inside import cuts_stay_inside, deepest_below_mm, worst_outside_mm
from pearlkerf.proof.rules.low_feeds import low_feeds_stay_by_their_cuts
from pearlkerf.proof.rules.messages import people_are_told_right
from pearlkerf.proof.rules.piece_fits import pieces_go_into_their_pockets
from pearlkerf.proof.rules.piece_order import holes_come_before_outsides
from pearlkerf.proof.rules.pointing import (
    lowest_above_mm,
    nothing_turns,
    places_are_shown,
    tip_comes_down_slowly,
    tip_stays_above,
)
from pearlkerf.proof.rules.rapids import rapids_stay_clear
from pearlkerf.proof.rules.reach import only_cutters_meet_wood
from pearlkerf.proof.rules.remarks import nothing_else_is_said
from pearlkerf.proof.rules.row_claims import pieces_lie_as_claimed
from pearlkerf.proof.rules.saw_holding import saw_clears_holding
from pearlkerf.proof.rules.sawing import sawing_is_right, sawn_figures_mm
from pearlkerf.proof.rules.scorching import nothing_scorches
from pearlkerf.proof.rules.spindle import spindle_and_feeds
from pearlkerf.proof.rules.stops import stops_say_what_to_do
from pearlkerf.proof.rules.travel import motion_fits_travel, one_zero_serves_all
from pearlkerf.proof.rules.world import world_is_kept
from pearlkerf.proof.runs import Run, Section, per_motion
from pearlkerf.proof.sawn import find_sawn
from pearlkerf.proof.shapes.lay import lay_features
from pearlkerf.proof.spoken import Speech, speech_of
from pearlkerf.proof.tolerances import CUT_MM
from pearlkerf.proof.verdict import Claimed, Proved, Verdict
from pearlkerf.proof.wood import Wood
from pearlkerf.reading.motions import RAPID, Finding, ProgramText, Reading, UnreadableProgram
from pearlkerf.reading.reader import read_program
from pearlkerf.reading.stops import as_it_stood
from pearlkerf.reading.words import with_one_end
from pearlkerf.setups.model import Setup

__all__ = ["Assumed", "Completeness", "SetupUnknown", "prove"]

Completeness = Literal["whole setups", "named cuts"]
# where a controller knows no comments
UNTOLD: Final = (
    "people are told nothing by this program: how the board lies, where zero is, which cutter and speed it wants "
    "stand on the job card alone"
)


def prove(
    programs: Sequence[ProgramText],
    setups: Sequence[Setup],
    machine: Machine,
    assumed: Assumed | Mapping[str, Assumed] = NOBODY_ASSUMED,
    completeness: Completeness = "named cuts",
) -> Verdict:
    """Prove a set of programs, in the order in which they are run, from their bytes alone.

    Each is held to every rule of safety by itself, in the wood as the earlier ones of its setup have
    left it; together those of one setup are held to be complete: for the whole of every setup, or
    for what their headers name.  Whatever the proof cannot decide it holds against the program.

    ``assumed`` completes what headers leave out: one for all programs, or one for each file.

    Raises SetupUnknown where neither a header nor ``assumed`` says setup or cutter.
    """
    findings: list[Finding] = []
    proved: list[Proved] = []
    runs: list[Run] = []
    for program in programs:
        of_file = assumed if isinstance(assumed, Assumed) else assumed.get(program.file, NOBODY_ASSUMED)
        read, found, run = _taken(program, setups, machine, of_file)
        proved.append(read)
        findings += found
        runs += [] if run is None else [run]
    figures: list[tuple[str, float, str]] = []
    claims: list[Claimed] = []
    for setup in setups:
        of_setup = [run for run in runs if run.setup is setup]
        findings += [*hold(of_setup, setup, completeness), *holes_come_before_outsides(of_setup)]
        figures += [figure for run in of_setup for figure in _figures(run)]
        claims += [claims_of(of_setup, setup)] if of_setup else []
    findings += [*one_zero_serves_all(runs), *pieces_go_into_their_pockets(runs)]
    notes = () if machine.dialect.comments else tuple(f"{program.file}: {UNTOLD}" for program in programs)
    return Verdict(tuple(proved), tuple(dict.fromkeys(findings)), tuple(figures), tuple(claims), notes)


def _taken(
    program: ProgramText, setups: Sequence[Setup], machine: Machine, assumed: Assumed
) -> tuple[Proved, list[Finding], Run | None]:
    """Read a program and tell whose it is; None in place of its run where it cannot be held to the rules."""
    lines = tuple(lines_of(with_one_end(program.text).decode("ascii", "replace"), machine.dialect))
    findings = list(hold_dialect(program, machine.dialect, machine.spindle.control, lines))
    try:
        reading, careful = _readings(program, machine, plainly=not findings)
    except UnreadableProgram as refusal:
        return Proved(program, "", (), None), [*findings, refusal.finding], None
    identity = identify(reading, program.file, setups, machine, assumed)
    findings += identity.findings
    cutters = tuple(section.cutter.number for section in identity.sections)
    name, purpose = (identity.setup.name, identity.setup.purpose) if identity.setup else ("", "cut")
    proved = Proved(program, name, cutters, reading, purpose)
    by_stops = purpose == "point" or machine.spindle.control == "hand"
    findings += hold_grammar(lines, machine, by_stops, program.file)
    if identity.setup is None or not identity.sections:
        return proved, findings, None
    if isinstance(careful, Finding):  # it goes on from where it stood before a stop
        return proved, [*findings, careful], None
    return proved, findings, prepare(careful, program.file, identity, machine, speech_of(lines))


def _readings(program: ProgramText, machine: Machine, plainly: bool) -> tuple[Reading, Reading | Finding]:
    """Read a program as if nobody touched the machine at its stops, and as if they did the worst that they could.

    Where it holds words that it should not (not ``plainly``), or cannot be read to its end after a stop,
    it is read twice.  Raises UnreadableProgram where it cannot be read at all.
    """
    unit, careful, reading = machine.dialect.dwell_unit, None, None
    try:
        careful = read_program(program.text, program.file, dwell_unit=unit, after_stop="unknown")
        reading = as_it_stood(careful) if plainly else None
    except UnreadableProgram as refusal:
        refused = refusal.finding
    reading = reading or read_program(program.text, program.file, dwell_unit=unit)
    return reading, careful or refused


def prepare(reading: Reading, file: str, identity: Identity, machine: Machine, speech: Speech) -> Run:
    """Make a program whose setup is known ready for the rules: pieces, wood, features, cuts."""
    assert identity.setup is not None
    motions, sections, setup = reading.motions, identity.sections, identity.setup
    wood = Wood.of(setup)
    shapes = lay_features(setup, wood)
    pieces = cut_into_pieces(motions)
    count = len(motions.kind)
    cutters = [section.cutter for section in sections]
    blades = find_blades(pieces, motions, _saws(sections, count))
    follows = np.zeros(count, dtype=bool)
    follows[blades.motion] = True
    tools = Tools(
        (motions.kind != RAPID) & ~follows,
        per_motion(sections, [cutter.radius_mm for cutter in cutters], count),
        per_motion(sections, [_flat_mm(cutter) for cutter in cutters], count),
        per_motion(sections, [cutter.point_length_mm for cutter in cutters], count),
    )
    cuts = find_cuts(pieces, tools, wood, shapes)
    below = below_floors_mm(cuts, shapes)
    sawn = find_sawn(blades, wood, shapes)
    inside = cuts.parted(len(shapes))
    return Run(
        file, reading, setup, machine, wood, shapes, sections, identity.claims, pieces, cuts, inside, below, blades,
        sawn, speech, identity.tip_above_mm, identity.titles,
    )  # fmt: skip


def _saws(sections: Sequence[Section], count: int) -> SawTools:
    cutters = [section.cutter for section in sections]
    return SawTools(
        per_motion(sections, [float(can_follow(cutter)) for cutter in cutters], count) > 0,
        per_motion(sections, [cutter.radius_mm for cutter in cutters], count),
        per_motion(sections, [(cutter.kerf_mm or 0.0) / 2 for cutter in cutters], count),
        per_motion(sections, [cutter.beside_blade_mm / 2 for cutter in cutters], count),
    )


def hold(runs: Sequence[Run], setup: Setup, completeness: Completeness) -> Iterator[Finding]:
    """Hold the programs of one setup, in order, to rules 1 (what people are told) to 9.

    Pointing runs are held to rules 1, 2, 4, 5 and 9, and to what ``rules.pointing`` says of the others.
    """
    points = setup.purpose == "point"
    for run in runs:
        yield from _hold_words(run)
    yield from _hold_pointing(runs) if points else _hold_cutting(runs)
    answerable: set[int] = set()
    for run in runs:
        yield from what_is_cut_is_claimed(run)
        named, missing = claimed(run)
        answerable |= set(named)
        yield from missing
    if completeness == "whole setups":
        answerable = set(range(len(setup.features)))
        if not runs and answerable:
            verb = "points at what is cut in" if points else "cuts"
            yield Finding(7, f"no program {verb} the {setup.name} setup")
    if runs and points:
        yield from places_are_shown(runs, sorted(answerable))
    elif runs:
        yield from features_are_complete(runs, sorted(answerable))


def _hold_words(run: Run) -> Iterator[Finding]:
    """Hold a program to what people are told; where a controller knows no comments they are told nothing."""
    if run.machine.dialect.comments:
        yield from the_head_is_whole(run)
        yield from stops_say_what_to_do(run)
        yield from nothing_else_is_said(run)
        yield from pieces_lie_as_claimed(run)
    yield from people_are_told_right(run)


def _hold_cutting(runs: Sequence[Run]) -> Iterator[Finding]:
    for number, run in enumerate(runs):
        earlier = runs[:number]
        yield from arcs_agree(run)
        yield from spindle_and_feeds(run)
        yield from nothing_scorches(run)
        yield from air_blows(run)
        yield from controller_keeps_up(run)
        yield from motion_fits_travel(run, runs[: number + 1])
        yield from world_is_kept(run)
        yield from rapids_stay_clear(run, earlier)
        yield from low_feeds_stay_by_their_cuts(run)
        yield from cuts_stay_inside(run)
        yield from bites_are_bearable(run, earlier)
        yield from only_cutters_meet_wood(run)
        yield from sawing_is_right(run, earlier)
        yield from saw_clears_holding(run)
        yield from nothing_touches_holding(run)
        yield from hands_have_room(run)
        yield from ends_safely(run)


def _hold_pointing(runs: Sequence[Run]) -> Iterator[Finding]:
    for number, run in enumerate(runs):
        yield from arcs_agree(run)
        yield from nothing_turns(run)
        yield from air_blows(run)
        yield from motion_fits_travel(run, runs[: number + 1])
        yield from world_is_kept(run)
        yield from rapids_stay_clear(run, ())
        yield from nothing_touches_holding(run)
        yield from only_cutters_meet_wood(run)
        yield from tip_stays_above(run)
        yield from tip_comes_down_slowly(run)
        yield from ends_safely(run)


def _flat_mm(cutter: Cutter) -> float:
    """Give the radius that a cutter clears flat, within CUT_MM of its tip: a ball's chord at that height."""
    if cutter.kind == "saw":
        return 0.0
    if cutter.kind == "ball":
        return float(np.sqrt(max(2 * cutter.radius_mm * CUT_MM - CUT_MM**2, 0.0)))
    return cutter.radius_mm


def _figures(run: Run) -> Iterator[tuple[str, float, str]]:
    if run.setup.purpose == "point":
        yield f"{run.file}: nearest above the wood", lowest_above_mm(run), "mm"
        return
    outside, below = sawn_figures_mm(run)
    yield f"{run.file}: farthest outside a feature", max(outside, worst_outside_mm(run)), "mm"
    yield f"{run.file}: deepest below a floor", max(below, deepest_below_mm(run)), "mm"
    if len(run.cuts.motion):
        yield f"{run.file}: lowest cut", float(min(run.cuts.start[:, 2].min(), run.cuts.end[:, 2].min())), "mm"
