"""How far cuts run out of the wood and where clamps have room, in sentences: for heads, the card and the page."""

import math
from collections.abc import Iterator, Sequence

from pearlkerf.machine.model import Machine
from pearlkerf.setups.model import Setup
from pearlkerf.setups.run_outs import GRIP_MM, Room, RunOut, Strokes, room_for_clamps, run_out_of


def of_run_out(setup: Setup, strokes: Sequence[Strokes], machine: Machine) -> Iterator[str]:
    """Say how far the cuts of a setup run out past its long edges, and where clamps may stand; nothing where none does.

    Beside a saw's blade its arbor hangs over all of the wood: where no other cutter runs out of it, its own notes say
    what room there is.  Scrap is held at its ends only.
    """
    out = run_out_of(setup, strokes)
    if out is None:
        return
    yield _runs_out(setup, out)
    milled = [each for each in strokes if each.cutter.kind != "saw"]
    if setup.scrap is None and milled and run_out_of(setup, milled) is not None:
        yield _room(room_for_clamps(setup, strokes, machine))


def _runs_out(setup: Setup, out: RunOut) -> str:
    edges = (side.replace("side", "edge") for side in (setup.low_side, setup.high_side))
    past = ", and ".join(
        f"up to {far:.1f} mm past the {edge}, to Y {y:.1f}"
        for far, edge, y in zip(out.past_mm, edges, out.to_y_mm, strict=True)
        if far > 0.0
    )
    return f"cuts run out {past}, as deep as Z {out.deepest_mm:.2f}, at X {out.x_mm[0]:.1f} to {out.x_mm[1]:.1f}"


def _room(room: Room) -> str:
    """Say where clamps may stand along X; figures are rounded away from what moves."""
    if not room.stretches_mm:
        return f"nothing {room.height_mm:.1f} mm above the wood has room along its edges"
    where = ", ".join(map(_stretch, room.stretches_mm))
    return (
        f"clamps up to {room.height_mm:.1f} mm above the wood, over an edge by {GRIP_MM:.0f} mm at most, "
        f"may stand at X {where}"
    )


def _stretch(stretch: tuple[float, float]) -> str:
    low, high = stretch
    if math.isinf(low):
        return f"up to {math.floor(10 * high) / 10:.1f} mm"
    begins = f"{math.ceil(10 * low) / 10:.1f}"
    return f"from {begins} mm on" if math.isinf(high) else f"{begins} to {math.floor(10 * high) / 10:.1f} mm"
