"""What no piece can be cut from, or by, is refused with its place, what is found, what would do; nothing is written."""

from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from inlaid import BOARD, PROFILES
from pearlkerf.cli import main

BLANK = "thickness = 1.5\nlength = 40"
MOON = 'shape = "half moon"\nname = "moon"'


@dataclass(frozen=True)
class Refused:
    """How a board is spoiled, where that is told, what is said of it and how it is mended."""

    name: str
    swaps: tuple[tuple[str, str], ...]
    at: str  # the text of the line that is named
    key: str
    found: str
    mend: str


REFUSED = (
    Refused("a blank too thin", ((BLANK, BLANK.replace("1.5", "0.6")),), 'material = "mother-of-pearl"',
            "inlay.0.material", "pieces 0.60 mm thick are too thin for moon 3", "use pieces at least 0.70 mm thick"),
    Refused("a skin that leaves too little", ((BLANK, 'hold = "skin"\n' + BLANK.replace("1.5", "0.8")),),
            'material = "mother-of-pearl"', "inlay.0.material",
            "pieces 0.65 mm thick are too thin for moon 3", "use pieces at least 0.70 mm thick"),
    Refused("a blank too small", (("length = 40", "length = 9"),), "length = 9", "inlay_blank.0.length",
            "moon 3 is larger than any blank", "a blank of at least 16.7 mm by 14.9 mm"),
    Refused("too few blanks", (("width = 25\ncount = 4", "width = 18\ncount = 1"),), "count = 1",
            "inlay_blank.0.count", "1 of 3 pieces find no place on the 1 blank",
            "count = 2 of 40 mm by 18 mm would do"),
    Refused("all of a blank used", (("count = 4", "count = 1\nused = [{ blank = 1, box = [0, 0, 40, 25] }]"),),
            "count = 1", "inlay_blank.0.count", "moon 3 finds no place on what is left", "list one more blank"),
    Refused("a used place of no blank", (("count = 4", "count = 1\nused = [{ blank = 2, box = [0, 0, 4, 2] }]"),),
            "used = [{ blank = 2, box = [0, 0, 4, 2] }]", "inlay_blank.0.used.0", "there is no blank 2",
            "write count = 2 if it is there"),
    Refused("a tab that cannot be placed", (("mother-of-pearl", "maple"), ("count = 4", 'count = 4\nhold = "tabs"')),
            'hold = "tabs"', "inlay_blank.0.hold", "moon 3, 8.71 by 6.94 mm, has 1 flat run for tabs 1.20 mm long",
            'write hold = "tape"'),
    Refused("tabs in shell", (("count = 4", 'count = 4\nhold = "tabs"'),), 'hold = "tabs"', "inlay_blank.0.hold",
            "breaking tabs off chips shell", 'write hold = "tape" or hold = "skin"'),
    Refused("a cutter wider than a notch", ((MOON, 'shape = "star"\nname = "moon"\npiece_cutter = 2'),),
            "detail = 0.8", "inlay.0.detail", "gives up to 0.89 mm, 4.50 mm along and 0.00 mm up from its middle",
            "name a thinner piece_cutter"),
    Refused("a cutter that is not there", ((MOON, MOON + "\npiece_cutter = 7"),), "piece_cutter = 7",
            "inlay.0.piece_cutter", "no cutter 7 reaches 1.50 mm deep", "name another, or leave it out"),
    Refused("metal without figures", (("mother-of-pearl", "brass"),), 'material = "brass"', "inlay_blank.0.material",
            'how "brass" is cut no table knows', "give cutter 2 speed, feed, plunge_feed and bite"),
    Refused("blanks of one material unlike", (
                ("count = 4", 'count = 1\n[[inlay_blank]]\nmaterial = "mother-of-pearl"\nthickness = 2'),
            ), 'material = "mother-of-pearl"', "inlay_blank.1.material", "is named twice, and not said alike",
            "give blanks of another kind another name"),
)  # fmt: skip


@pytest.mark.parametrize("refused", REFUSED, ids=lambda each: each.name)
def test_what_cannot_be_cut_is_refused_and_nothing_is_written(refused: Refused, tmp_path: Path) -> None:
    text = BOARD.format(gap=0.05)
    for old, new in refused.swaps:
        assert old in text
        text = text.replace(old, new)
    board, folder = tmp_path / "dunlin.toml", tmp_path / "job"
    board.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["pieces", str(board), "-m", PROFILES[0], "-o", str(folder)])
    assert result.exit_code == 1 and not folder.exists()
    told = [line for line in result.output.splitlines() if f" {refused.key}: " in line]
    assert told and refused.found in told[0]
    assert refused.mend in result.output
    number = int(told[0].split(":")[1])
    near = text.splitlines()[number - 1]
    assert near == refused.at, (number, near)
