"""The page's data: motions as byte planes, small enough for a tablet at the machine.

Positions are kept in micrometres and times in milliseconds, as differences from row to row; the
signed differences are folded to unsigned (zigzag), cut into four byte planes, and deflated.  The
viewer's unpack.js undoes it, column by column, in the same order.
"""

import base64
import json
import math
import zlib
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pearlkerf.files.lengths import MM_PER_UNIT
from pearlkerf.layout.features import Feature, Pocket
from pearlkerf.machine.model import Cutter
from pearlkerf.pictures.features import rings_of
from pearlkerf.pictures.page.cuts import Cut
from pearlkerf.pictures.page.folding import fold
from pearlkerf.pictures.page.model import DryRun, ProgramRun
from pearlkerf.reading.duration import lengths_mm
from pearlkerf.reading.header import read_headers
from pearlkerf.reading.motions import ARC, RAPID, Finding, Motions, Reading
from pearlkerf.setups.blank_rows import BlankRow
from pearlkerf.setups.lying import GluedIn
from pearlkerf.setups.model import Setup

MICROMETRES: Final = 1000.0
MICRORADIANS: Final = 1e6
MILLISECONDS: Final = 1000.0
TENTHS: Final = 10.0
SECONDS_A_MINUTE: Final = 60.0
# for rapids where nobody says how fast the machine is, and feeds where the program sets none
NOMINAL_MM_MIN: Final = 1500.0
DEFLATE_LEVEL: Final = 7
# outlines of pockets are straightened within this, mm: less than a pixel however near one looks
RING_MM: Final = 0.01
# of places and depths as the page tells them: a thousandth of a mm, a ten-thousandth of an inch
DECIMALS: Final = {"mm": 3, "in": 4}
# rules of floors and of bites: what they find is seen in a section
DEEP_RULES: Final = (6, 8)


def page_data(run: DryRun, cuts: tuple[tuple[Cut, ...], ...]) -> str:
    """Give the page's data as JSON that is safe inside a script element of any type."""
    files = [program.program.file for program in run.programs]
    data = {
        "unit": {"name": run.unit, "mm": float(MM_PER_UNIT[run.unit]), "decimals": DECIMALS[run.unit]},
        "setups": [_setup(setup) for setup in run.setups],
        "cutters": [_cutter(cutter) for cutter in run.cutters],
        "findings": [_finding(finding, files) for finding in run.findings],
        "programs": [
            _program(program, of_program, run.setups) for program, of_program in zip(run.programs, cuts, strict=True)
        ],
    }
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def program_text(run: ProgramRun) -> str:
    """Give a program's text for reading: bytes that are no ASCII show as replacement marks."""
    return run.program.text.decode("ascii", errors="replace")


def starts_s(run: ProgramRun) -> NDArray[np.float64]:
    """When each motion starts and, last, when all is done: (n + 1,) float, s, dwells counted."""
    assert run.reading is not None
    motions = run.reading.motions
    seconds = motions_s(motions) if run.seconds is None else np.nan_to_num(run.seconds)
    waits = np.zeros(len(seconds) + 1)
    for event in run.reading.events:
        if event.kind == "dwell":
            waits[event.before] += event.value
    starts: NDArray[np.float64] = np.concatenate([[0.0], np.cumsum(seconds)]) + np.cumsum(waits)
    return starts


def motions_s(motions: Motions) -> NDArray[np.float64]:
    """Length over feed of every motion, (n,) float, s; unknown ends count nothing."""
    nominal = np.isnan(motions.feed) | (motions.feed <= 0) | (motions.kind == RAPID)
    feed = np.where(nominal, NOMINAL_MM_MIN, motions.feed)
    return np.asarray(lengths_mm(motions) / feed * SECONDS_A_MINUTE, dtype=np.float64)


def _program(run: ProgramRun, cuts: tuple[Cut, ...], setups: Sequence[Setup]) -> dict[str, Any]:
    motions = run.reading.motions if run.reading is not None else None
    text, style = fold(program_text(run), motions)
    data: dict[str, Any] = {
        "file": run.program.file,
        "says": _says(run, cuts),
        "setup": -1 if run.setup is None else [setup.name for setup in setups].index(run.setup.name),
        "text": packed(text.encode()),
        "style": style,
        "rows": 0,
        "cuts": [[cut.name, cut.first, cut.last, cut.feature] for cut in cuts],
    }
    if run.reading is None or motions is None or len(motions.kind) == 0:
        return data
    known = ~np.isnan(motions.end)
    return data | {
        "rows": len(motions.kind),
        "arcs": int((motions.kind == ARC).sum()),
        "begin": [None if math.isnan(each) else each for each in motions.start[0].tolist()],
        "known": [int(axis.argmax()) if axis.any() else len(axis) for axis in known.T],
        "motions": packed(b"".join(_columns(motions, starts_s(run)))),
        "events": [[each.kind, each.before, each.line, each.value, each.text] for each in run.reading.events],
        "sections": sections(run.reading, run.cutters),
    }


def _says(run: ProgramRun, cuts: Sequence[Cut]) -> str:
    """Say in a few words what a program does: "face: face dots, frets"; nothing where no board is given."""
    if run.setup is None:
        return ""
    features = (run.setup.features[cut.feature] for cut in cuts if cut.feature >= 0)
    groups = ", ".join(dict.fromkeys(feature.group for feature in features)) or "nothing of its own"
    return f"{run.setup.name}: {'points at ' if run.points else ''}{groups}"


def _columns(motions: Motions, starts: NDArray[np.float64]) -> list[bytes]:
    """Give every column, in the order in which unpack.js takes them."""
    ends = np.where(np.isnan(motions.end), 0.0, motions.end)
    arcs = motions.kind == ARC
    spoke = motions.centre[arcs] - motions.start[arcs]
    return [
        *(_differences(ends[:, axis] * MICROMETRES) for axis in range(3)),
        _differences(motions.line),
        _differences(starts * MILLISECONDS),
        _differences(np.nan_to_num(motions.feed) * TENTHS),
        _differences(np.nan_to_num(motions.speed)),
        (motions.kind + 4 * motions.spindle).astype(np.uint8).tobytes(),
        *(_differences(spoke[:, axis] * MICROMETRES) for axis in range(3)),
        _differences(motions.sweep[arcs] * MICRORADIANS),
        motions.plane[arcs].astype(np.uint8).tobytes(),
    ]


def _differences(values: ArrayLike) -> bytes:
    """Round, take differences from row to row, fold the sign, and cut into four byte planes."""
    rounded = np.rint(np.asarray(values, dtype=np.float64)).astype(np.int64)
    steps = np.diff(rounded, prepend=0)
    folded = ((steps << 1) ^ (steps >> 63)).astype(np.uint32)
    return folded.view(np.uint8).reshape(-1, 4).T.tobytes()


def packed(data: bytes) -> str:
    """Deflate bytes and write them in base 64."""
    return base64.b64encode(zlib.compress(data, DEFLATE_LEVEL)).decode("ascii")


def sections(reading: Reading, cutters: tuple[int, ...]) -> list[list[int]]:
    """Give [first motion, cutter number] of every cutter, from changes by M6, else from the header lines."""
    motions = reading.motions
    if (motions.cutter >= 0).any():
        changes = np.flatnonzero(np.diff(motions.cutter, prepend=-1))
        return [[int(first), int(motions.cutter[first])] for first in changes]
    headers, _ = read_headers(reading, "")
    found: list[list[int]] = []
    for header in headers:
        if not found or found[-1][1] != header.cutter:
            found.append([int(np.searchsorted(motions.line, header.line)), header.cutter])
    return found or [[0, number] for number in cutters[:1]]


def _setup(setup: Setup) -> dict[str, Any]:
    """Give a setup in the machine's axes; the crown keeps the board's, with the way it lies."""
    crown, lies, glued = setup.stock.crown, setup.placement, setup.lying.glued
    return {
        "wood": setup.wood if glued is None else glued.wood,
        "outline": lies.to_machine(setup.stock.outline).round(4).tolist(),
        "thickness": setup.stock.thickness_mm,
        "crown": None
        if crown is None or math.isinf(crown.nut_radius_mm)
        else [crown.nut_radius_mm, crown.end_radius_mm, crown.length_mm],
        "placement": [lies.angle_deg, lies.x_mm, lies.y_mm],
        "features": [_feature(each, setup) for each in setup.features],
        **(_blanks(setup.row) if setup.row is not None else {}),
        "let_in": [] if glued is None else _let_in(setup, glued),
    }


def _blanks(row: BlankRow) -> dict[str, Any]:
    """Give the blanks of a row as they lie, and how far below their tops their backing board does."""
    under = row.thickest_mm + (0.0 if row.hold == "skin" else row.tape_mm)
    boxes = [[each.x_mm, 0.0, each.x_mm + each.length_mm, each.width_mm] for each in row.blanks]
    return {"blanks": boxes, "under": under}


def _let_in(setup: Setup, glued: GluedIn) -> list[dict[str, Any]]:
    """Give the pieces that are glued in, each with its material, as the pockets lie that were cut for them."""
    of = dict(glued.pockets)
    pockets = [each for each in setup.cut_before if isinstance(each, Pocket) and each.number in of]
    return [{"material": of[each.number], "rings": _rings(each, setup)} for each in pockets]


def _feature(feature: Feature, setup: Setup) -> dict[str, Any]:
    low, high = setup.placement.to_machine(feature.ends).round(4).tolist()
    data = {"group": feature.group, "number": feature.number, "from": low, "to": high, "wide": feature.width_mm}
    if not isinstance(feature, Pocket):
        return data
    return {**data, "rings": _rings(feature, setup)}


def _rings(pocket: Pocket, setup: Setup) -> list[Any]:
    return [setup.placement.to_machine(ring).round(3).tolist() for ring in rings_of(pocket, RING_MM)]


def _cutter(cutter: Cutter) -> dict[str, Any]:
    shape: dict[str, Any] = {
        "number": cutter.number,
        "kind": cutter.kind,
        "diameter": cutter.diameter_mm,
        "point": cutter.point_length_mm,
    }
    return shape if cutter.kerf_mm is None else {**shape, "kerf": cutter.kerf_mm}


def _finding(finding: Finding, files: list[str]) -> dict[str, Any]:
    return {
        "program": files.index(finding.file) if finding.file in files else -1,
        "line": finding.line,
        "deep": finding.rule in DEEP_RULES,
    }
