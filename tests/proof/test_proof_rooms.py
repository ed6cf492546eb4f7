"""A rule asks, a shape answers: no rule knows the kinds of features, no shape knows the rules.

tolerances, counting, telling, lines, inches <- dialect, grammar, spoken, wood, pieces, room, cover, cuts
<- blade, sweep <- shapes/ <- owners, sawn <- runs <- heights, identity <- rules/ <- prove <- measures
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PROOF = Path(__file__).parents[2] / "src" / "pearlkerf" / "proof"
# each storey imports from those before it, and from its own
STOREYS = (
    {"tolerances", "counting", "telling", "verdict", "lines", "inches"},
    {"wood", "pieces", "room", "cover", "cuts", "dialect", "grammar", "spoken"},
    {"blade", "sweep", "swept"}, {"shapes"}, {"owners", "sawn"}, {"runs"}, {"heights", "identity"}, {"rules"},
    {"prove"}, {"measures"},
)  # fmt: skip
KINDS = {
    "Hole", "Slot", "Pocket", "Feature", "HoleShape", "SlotShape", "SlotLine", "PocketShape", "ChannelShape", "Shape",
}  # fmt: skip


def storey_of(name: str) -> int:
    return next(number for number, rooms in enumerate(STOREYS) if name in rooms)


def upward(root: Path) -> Iterator[str]:
    """Imports of a storey above a module's own."""
    for path in sorted(root.rglob("*.py")):
        own = path.relative_to(root).parts[0].removesuffix(".py")
        if own == "__init__":
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pearlkerf.proof."):
                other = (node.module or "").split(".")[2]
                if storey_of(other) > storey_of(own):
                    yield f"{path.relative_to(root)} imports {other}"


def questions_of_kind(root: Path) -> Iterator[str]:
    """Places where somebody asks of what kind a feature or a shape is, but for the table of shapes/lay.py."""
    for path in sorted(root.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            asked = isinstance(node, ast.Call) and ast.unparse(node.func) in {"isinstance", "issubclass"}
            named = asked and KINDS & {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
            by_word = isinstance(node, ast.Attribute) and node.attr == "kind" and "feature" in ast.unparse(node.value)
            if named or (by_word and path.name != "lay.py"):
                yield f"{path.relative_to(root)}:{node.lineno}"


def test_the_storeys_of_the_proof_import_downward_only() -> None:
    assert list(upward(PROOF)) == []


def test_nobody_asks_a_feature_for_its_kind() -> None:
    assert list(questions_of_kind(PROOF)) == []


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("shapes/bad.py", "from pearlkerf.proof.rules.complete import claimed"),
        ("shapes/bad.py", "def left():\n    from pearlkerf.proof.runs import Run"),
        ("cuts.py", "from pearlkerf.proof.shapes.hole import HoleShape"),
    ],
)
def test_an_import_of_a_higher_storey_is_found(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text(text, encoding="utf-8")
    assert len(list(upward(tmp_path))) == 1


@pytest.mark.parametrize("text", ["isinstance(shape, SlotShape)", "isinstance(demanded, Hole | Slot)", "feature.kind"])
def test_a_question_of_kind_is_found(tmp_path: Path, text: str) -> None:
    (tmp_path / "bad.py").write_text(f"x = {text}", encoding="utf-8")
    assert len(list(questions_of_kind(tmp_path))) == 1
