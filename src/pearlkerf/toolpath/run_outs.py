"""What a toolpath runs out of its wood, and what room it leaves for clamps, as programs and the card tell it."""

from pearlkerf.setups.run_out_words import of_run_out
from pearlkerf.setups.run_outs import Room, Strokes, room_for_clamps, run_out_of
from pearlkerf.toolpath.holding import strokes_of
from pearlkerf.toolpath.moves import Toolpath


def run_out_told(toolpath: Toolpath) -> tuple[str, ...]:
    """Say how far the cuts of a setup run out past its edges, and where clamps may stand; nothing where none does."""
    if toolpath.setup.purpose != "cut":
        return ()
    return tuple(of_run_out(toolpath.setup, _strokes(toolpath), toolpath.machine))


def room_beside(toolpath: Toolpath) -> Room | None:
    """Give where clamps have room beside cuts that run out; None where nothing does, or a saw's notes say it."""
    setup = toolpath.setup
    by_saw = any(path.cutter.kind == "saw" for path in toolpath.paths)
    if by_saw or setup.scrap is not None or setup.purpose != "cut":
        return None
    strokes = _strokes(toolpath)
    return None if run_out_of(setup, strokes) is None else room_for_clamps(setup, strokes, toolpath.machine)


def _strokes(toolpath: Toolpath) -> list[Strokes]:
    return [strokes_of(path)[0] for path in toolpath.paths]
