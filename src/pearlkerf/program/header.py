"""What a program says of itself before it moves: what it is, how the board lies, what to mind."""

from collections.abc import Iterator
from dataclasses import dataclass

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit
from pearlkerf.files.toml_values import NAMES
from pearlkerf.machine.words import FIRST_IN_SCRAP, SAFETY, does_not_turn, of_path_control, turns
from pearlkerf.setups.dry_run import dry_run_words
from pearlkerf.setups.plain import of_people
from pearlkerf.setups.words import told
from pearlkerf.toolpath.moves import CutterPath, Toolpath
from pearlkerf.toolpath.run_outs import run_out_told


@dataclass(frozen=True, slots=True)
class Place:
    """A program's place in the job: its file, what comes before and after it, the pointing run of its setup."""

    title: str
    maker: str  # name and version of this tool
    file: str
    before: str = ""
    after: str = ""
    pointing: str = ""


def header_sentences(place: Place, toolpath: Toolpath, paths: tuple[CutterPath, ...]) -> Iterator[str]:
    """Give the sentences of a program's head, each to become a comment.

    What hands do comes first: the cutter to put in, zero, how the wood lies and is packed; the cautions come last.
    """
    machine, unit = toolpath.machine, toolpath.machine.dialect.unit
    yield f"{place.maker}, {toolpath.setup.name} setup, file {place.file}"
    for path in paths:
        yield _cutter_sentence(path, unit)
    yield from map(str, told(toolpath.setup, of_people, unit))
    for path in paths:
        yield from (in_unit(each, unit) for each in path.notes)
    yield from (in_unit(each, unit) for each in run_out_told(toolpath))
    yield from of_path_control(machine.dialect)
    if toolpath.dry_run is not None:
        yield dry_run_words(toolpath.setup.name, toolpath.dry_run, place.pointing)
        yield FIRST_IN_SCRAP
    yield f"board, {of_people(place.title)}"
    yield f"machine profile {of_people(machine.name)}, blocks and notes in {NAMES[unit]}"
    yield f"before this, {place.before}" if place.before else "this is the first program of the job"
    yield f"after this, {place.after}" if place.after else "this is the last program of the job"
    yield from SAFETY


def _cutter_sentence(path: CutterPath, unit: Unit) -> str:
    cutter = path.cutter
    if path.tip_above_mm is not None:
        return does_not_turn(cutter, path.tip_above_mm, unit)
    return turns(cutter, path.figures, path.deepest_mm, unit)
