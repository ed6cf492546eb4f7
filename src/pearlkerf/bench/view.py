"""Everything that a page shows of a board file's text: its form, what is told of it, and its drawings.

text ─way.look─> Look ─┬─ tickets, fields, problems with their mends
                       ├─ the two rows of pictures
                       └─ plan, edge and section, with what is told marked in them
"""

import re
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from pearlkerf import way
from pearlkerf.bench.editing import data_of
from pearlkerf.bench.form import Told, board_form, form_data, form_of, told_data
from pearlkerf.bench.picked import comes, does
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature
from pearlkerf.layout.ground import Laid
from pearlkerf.machine.reader import read_machine_text
from pearlkerf.machine.tables import ProfileTable
from pearlkerf.pictures.board.edge import draw_edge
from pearlkerf.pictures.board.plan import draw_plan, plan_manner
from pearlkerf.pictures.board.section import draw_section, section_manner
from pearlkerf.pictures.board.svg import picture_svg

LEAST_PX, MOST_PX = 300, 6000
USUAL_FRET: Final = 12
WOODS: Final = ("ebony", "rosewood", "maple")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a page wants to see: how wide its drawings are, in pixels, and at which fret the board is cut across."""

    wide_px: int = 1200
    section_px: int = 480
    fret: int | None = None

    @property
    def sizes(self) -> tuple[int, int]:
        """Give both widths, within what can be drawn."""
        wide, section = (max(LEAST_PX, min(MOST_PX, px)) for px in (self.wide_px, self.section_px))
        return wide, section


def view_of(look: way.Look, text: str, name: str, wanted: Wanted) -> dict[str, Any]:
    """Give all of it as plain data."""
    data, laid = data_of(text), way.to_look_at(look)
    warnings = look.warnings
    form = None if data is None else board_form(data, look.problems, warnings)
    told = {"wrong": len(look.problems), "doubtful": len(warnings)}
    return {
        "name": name,
        "title": name if look.board is None else look.board.title,
        "unit": look.unit,
        "wood": "" if look.board is None else wood_of(look.board.wood),
        **told,
        "tickets": None if form is None else form_data(form, look.board),
        "other": plainly(look.problems) if form is None else form.at(()),
        "comes": [] if data is None else comes(data, look.board),
        "does": [] if data is None else does(data, look.board),
        "drawings": None if laid is None else drawings_of(laid, look.problems, warnings, wanted),
        "command": f"pearlkerf check {command_name(name)}",
    }


def machine_view(text: str, name: str) -> dict[str, Any]:
    """Give all that is shown of a machine's profile, as plain data like a board's."""
    problems: tuple[Problem, ...] = ()
    try:
        read_machine_text(text.encode("utf-8"), f"{name}.toml")
    except Refusal as refusal:
        problems = refusal.problems
    data = data_of(text)
    form = None if data is None else form_of(ProfileTable, data, [in_place(each, data) for each in problems])
    title = data.get("title") if data else None
    return {
        "name": name,
        "title": title if isinstance(title, str) and title else name,
        "unit": "mm",
        "wrong": len(problems),
        "doubtful": 0,
        "tickets": None if form is None else form_data(form, None),
        "other": plainly(problems) if form is None else form.at(()),
        "command": f"pearlkerf check my-board.toml -m {shlex.quote(f'./{name}.toml')}",
    }


def in_place(problem: Problem, data: Mapping[str, Any]) -> Problem:
    """Give a problem that names a cutter by its number ("cutter 3.reach") the key of the place where that stands.

    >>> in_place(Problem("", key="cutter 3.reach"), {"cutter": [{"number": 1}, {"number": 3}]}).key
    'cutter.1.reach'
    """
    named = re.fullmatch(r"cutter (\d+)((?:\..*)?)", problem.key)
    cutters = data.get("cutter")
    if named is None or not isinstance(cutters, list):
        return problem
    numbers = [each.get("number") if isinstance(each, Mapping) else None for each in cutters]
    places = [at for at, number in enumerate(numbers) if number == int(named[1])]
    # of two that have one number the later is told of
    return replace(problem, key=f"cutter.{places[-1]}{named[2]}") if places else problem


def wood_of(wood: str) -> str:
    """Give the wood whose colour a drawing takes; nothing for one that the page has no colour for.

    >>> wood_of("African ebony"), wood_of("Paduca")
    ('ebony', '')
    """
    return next((name for name in WOODS if name in wood.lower()), "")


def command_name(name: str) -> str:
    """Give a board's file as a command line takes it.

    >>> command_name("wren"), command_name("wren, tenor")
    ('wren.toml', "'wren, tenor.toml'")
    """
    return shlex.quote(f"{name}.toml")


def plainly(problems: Sequence[Problem]) -> list[dict[str, Any]]:
    """Give the problems of a text that has no form, and so nothing that could be mended by a click."""
    return [told_data(Told("wrong", each, ())) for each in problems]


def drawings_of(
    laid: Laid, problems: tuple[Problem, ...], doubts: tuple[Problem, ...], wanted: Wanted
) -> dict[str, Any]:
    """Give the drawings, and the frets at which a board can be cut across."""
    wide, section = wanted.sizes
    marked = {**marked_in(laid, doubts, "doubtful"), **marked_in(laid, problems, "wrong")}
    frets = [number for number in laid.slotted if number]
    fret = wanted.fret if wanted.fret in frets else min(frets, key=lambda each: abs(each - USUAL_FRET))
    plan = plan_manner(laid, wide)
    return {
        "plan": picture_svg(draw_plan(laid, plan), marked),
        "edge": picture_svg(draw_edge(laid, plan), marked),
        "section": picture_svg(draw_section(laid, fret, section_manner(laid, fret, section)), marked),
        "fret": fret,
        "frets": [{"number": number, "called": laid.board.scale.called(number) or str(number)} for number in frets],
    }


def marked_in(laid: Laid, problems: tuple[Problem, ...], weight: str) -> Mapping[str, str]:
    """Give the names of the cuts that problems name, each with their weight."""
    words = "\n".join(each.found for each in problems)
    cuts: tuple[Feature, ...] = (*laid.slots, *laid.cut_in("face"), *laid.side_dots)
    return {name: weight for name in (each.name for each in cuts) if re.search(rf"\b{re.escape(name)}\b", words)}
