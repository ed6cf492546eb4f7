"""What `check` says: the rows' own figures, and every warning, also as JSON."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from makers import a_layout
from pearlkerf.cli import main
from pearlkerf.commands.tables import layout_text

EXAMPLES = Path(__file__).parents[1] / "examples"


def test_how_far_dots_lie_below_the_raw_face_is_the_rows_own_figure() -> None:
    """On a radiused board the raw face itself falls toward the edges: the crown is no measure there."""
    for state in ("flat", "radiused"):
        layout = a_layout(state=state)
        lowest = max(row.below_raw_mm or 0.0 for row in layout.face_dot_rows)
        told = re.search(r"up to (-?[\d.]+) mm below the raw face", layout_text(layout))
        assert (told[1] if told else "0.00") == f"{lowest:.2f}", state


def test_json_has_the_warnings_of_the_machine_too() -> None:
    board = EXAMPLES / "tideway-bass.toml"
    result = CliRunner().invoke(main, ["check", str(board), "-m", "workshop-cycles", "--json"])
    said = [line for line in result.stderr.splitlines() if line.startswith("warning")]
    assert said
    assert len(json.loads(result.stdout)["warnings"]) == len(said)


@pytest.mark.parametrize(("state", "told"), [("flat", True), ("radiused", False)])
def test_check_says_what_a_bow_does_where_flatness_is_demanded(state: str, told: bool) -> None:
    """A slot of 2.0 mm ends at 1.7 mm where the wood lies 0.3 mm low."""
    text = layout_text(a_layout(state=state))
    assert ("lie flat within 0.1 mm" in text) == told
    assert ("slots end 1.70 mm deep in place of 2.00 mm" in text) == told
