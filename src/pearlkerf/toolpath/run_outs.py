"""What a toolpath runs out of its wood, and what room it leaves for clamps, as programs and the card tell it."""

from pearlkerf.setups.run_out_words import of_run_out
from pearlkerf.toolpath.holding import strokes_of
from pearlkerf.toolpath.moves import Toolpath


def run_out_told(toolpath: Toolpath) -> tuple[str, ...]:
    """Say how far the cuts of a setup run out past its edges, and where clamps may stand; nothing where none does."""
    strokes = [strokes_of(path)[0] for path in toolpath.paths]
    return tuple(of_run_out(toolpath.setup, strokes, toolpath.machine)) if toolpath.setup.purpose == "cut" else ()
