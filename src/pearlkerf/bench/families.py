"""A new board from a family: every kind of instrument drawn at one scale, and a file of the usual figures."""

from functools import cache
from typing import Any, Final

from pearlkerf import way
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.instruments import INSTRUMENTS
from pearlkerf.board.model import Hand
from pearlkerf.board.spoken import spoken_length
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import Unit
from pearlkerf.layout.ground import Laid
from pearlkerf.pictures.board.model import Manner, Part, Picture
from pearlkerf.pictures.board.plan import draw_plan
from pearlkerf.pictures.board.svg import picture_svg

PX_A_MM: Final = 0.7  # one scale for all, families and shelf, so that a bass is as much longer than a ukulele as it is
SHOWN: Final = ("wood", "binding", "slots", "pockets")


@cache
def families() -> tuple[dict[str, Any], ...]:
    """Give every family with its name, its scale, its frets, and its drawing."""
    return tuple(
        {"name": each.name, "scale": each.scale, "frets": each.frets, "drawing": _drawing(each.name)}
        for each in INSTRUMENTS.values()
    )


def _drawing(name: str) -> str:
    laid = way.to_look_at(way.look(starter_text(Answers(name, name))))
    return "" if laid is None else small_drawing(laid)


def small_drawing(laid: Laid) -> str:
    """Draw a board from above as small as a label, wood and cuts alone."""
    whole = draw_plan(laid, Manner(PX_A_MM))
    parts = tuple(Part(part.layer, part.things) for part in whole.parts if part.layer in SHOWN)
    low, high = laid.edges.finished.box_mm
    return picture_svg(Picture("small", whole.in_words, low, high, parts, PX_A_MM), {})


def new_board(asked: dict[str, Any]) -> str:
    """Give the text of a new board: its family, its scale as people say it, its unit; raises CannotBe."""
    unit: Unit = "in" if asked.get("unit") == "in" else "mm"
    try:
        scale = spoken_length(str(asked.get("scale", "")), unit)
        hand: Hand = "left" if asked.get("hand") == "left" else "right"
        answers = Answers(str(asked.get("family", "")), str(asked.get("title", "")), scale=scale, unit=unit, hand=hand)
        return starter_text(answers)
    except Refusal as refusal:
        wrong = refusal.problems[0]
        raise CannotBe(f"{wrong.found} ({wrong.allowed})" if wrong.allowed else wrong.found, 422) from None
