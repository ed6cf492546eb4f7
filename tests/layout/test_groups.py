"""The one table of groups is complete, and is what everybody uses."""

import ast
from dataclasses import fields
from pathlib import Path

import pytest

from makers import a_board
from pearlkerf.board.model import Binding, Blank, Board
from pearlkerf.layout.groups import ANY_FLOORS, GROUPS, NAMED, TRIED, trying
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.sizes import fit_asked_mm, size_asked_mm
from pearlkerf.setups.set_up import set_up

SOURCE = Path(__file__).parents[2] / "src" / "pearlkerf"


def test_every_word_means_one_group() -> None:
    words = [word for row in GROUPS.values() for word in row.words]
    assert len(words) == len(set(words)) == len(NAMED)
    assert all(word == word.lower() and word.replace(" ", "").isalpha() for word in words)
    assert NAMED["dowel holes"] == NAMED["dowel hole"] == "dowels"


def test_a_group_is_cut_on_a_board_or_on_scrap_or_in_a_carrier() -> None:
    assert {row.setup for row in GROUPS.values()} == {"face", "edge", "treble", "carrier", "strip", "pieces", ""}
    assert all(set(row.drills) <= set(ANY_FLOORS) for row in GROUPS.values())


def test_a_tried_group_has_a_size_and_a_fit_in_the_board_file() -> None:
    tables = {each.name for each in fields(Board)}
    assert all({GROUPS[name].table, f"{GROUPS[name].table}s"} & tables for name in TRIED)  # of inlays there are many
    assert [trying(name).noun for name in TRIED] == ["pocket", "inlay pocket", "slot", "side hole", "side hole"]
    assert [trying(name).key for name in TRIED] == ["fit", "gap", "fit", "fit", "fit"]
    with pytest.raises(KeyError):
        trying("trims")


@pytest.mark.parametrize(
    "board",
    [
        a_board(),
        a_board(hand="left", state="radiused", binding=Binding(1.5, "after")),
        a_board(blank=Blank(70.0, 5.0, 6.0, trim="both")),
    ],
    ids=["plain", "left", "trimmed"],
)
def test_every_feature_of_a_board_is_of_a_group_and_has_an_identity(board: Board) -> None:
    for setup in set_up(lay_out(board)).setups:
        assert len({feature.identity for feature in setup.features}) == len(setup.features)
        assert {GROUPS[feature.group].setup for feature in setup.features} == {setup.kind}
        for feature in setup.features:
            if (group := feature.group) in TRIED:
                assert feature.width_mm == size_asked_mm(board, group) + fit_asked_mm(board, group)


def test_nobody_keeps_a_table_of_groups_beside_the_one() -> None:
    """A list, set or dictionary that names two groups is a second table; frets is also a layer's and a key's name."""
    names = set(GROUPS) - {"frets"}
    second = [
        f"{path.relative_to(SOURCE)}:{node.lineno}"
        for path in SOURCE.rglob("*.py") if path.name != "groups.py"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Dict | ast.Tuple | ast.List | ast.Set)
        and len(names & {each.value for each in ast.walk(node) if isinstance(each, ast.Constant)}) > 1
    ]  # fmt: skip
    assert second == []
