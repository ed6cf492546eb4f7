"""The house: imports point down only, the makers and the proof never meet, heavy libraries load late."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "pearlkerf"

# each part may import itself and what stands in its set
BASE = {"errors", "lengths", "toml_tables", "toml_values", "toml_models", "geometry"}
LAYOUT = BASE | {"board", "machine", "layout"}
MAKERS = ["operations", "toolpath", "program"]
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "lengths": {"errors"},
    "toml_tables": {"errors", "lengths"},
    "toml_values": {"errors", "lengths"},
    "toml_models": {"errors", "lengths", "toml_tables", "toml_values"},
    "geometry": {"errors"},
    "board": BASE,
    "machine": BASE,
    "layout": BASE | {"board", "machine"},
    "operations": LAYOUT,
    "toolpath": LAYOUT | {"operations"},
    "program": LAYOUT | {"operations", "toolpath"},
    "proof": {"errors", "board", "machine", "layout"},
    "pictures": {"errors", "board", "machine", "layout", "proof", "geometry"},
    "saving": {"errors"},
    "job": LAYOUT | {"operations", "toolpath", "program", "proof", "pictures", "saving"},
    "tables": LAYOUT | {"operations", "proof", "job"},
    "cli": LAYOUT | {"operations", "proof", "pictures", "saving", "job", "tables"},
}
HEAVY = {"ezdxf", "reportlab", "pygcode"}
LAZY_IN_CLI = {"numpy", "shapely", "pydantic", "ezdxf", "reportlab"}


def modules(root: Path) -> list[Path]:
    return sorted(root.rglob("*.py"))


def part_of(path: Path, root: Path) -> str:
    return path.relative_to(root).parts[0].removesuffix(".py")


def imports(tree: ast.AST) -> Iterator[tuple[str, bool]]:
    """Give (module, at the top of the file) for every import, those for type checking left out."""
    typing_only = {
        node for part in ast.walk(tree) if isinstance(part, ast.If) and "TYPE_CHECKING" in ast.dump(part.test)
        for node in ast.walk(part)
    }  # fmt: skip
    top = set(ast.iter_child_nodes(tree))
    for node in ast.walk(tree):
        if node in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from ((alias.name, node in top) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            yield base, node in top
            if base == "pearlkerf":
                yield from ((f"pearlkerf.{alias.name}", node in top) for alias in node.names)


def faults(root: Path) -> list[str]:
    found = []
    for path in modules(root):
        part = part_of(path, root)
        if part == "__init__":
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for name, at_top in imports(tree):
            first, *rest = name.split(".")
            if first == "pearlkerf" and rest and rest[0] not in MAY_IMPORT[part] | {part}:
                found.append(f"{path.name}: {part} imports {name}")
            late = HEAVY | (LAZY_IN_CLI if part == "cli" else set())
            if at_top and first in late:
                found.append(f"{path.name}: {first} is imported at the top")
    return found


def test_imports_point_down_only() -> None:
    assert faults(SOURCE) == []


@pytest.mark.parametrize(
    ("part", "line"),
    [
        ("proof", "from pearlkerf.toolpath.moves import Feed"),
        ("toolpath", "import pearlkerf.proof.motions"),
        ("board", "from pearlkerf.layout.model import Layout"),
        ("pictures", "import reportlab.pdfgen"),
        ("proof", "from pearlkerf.geometry import disc"),
    ],
)
def test_an_import_that_points_up_is_found(tmp_path: Path, part: str, line: str) -> None:
    (tmp_path / part).mkdir()
    (tmp_path / part / "bad.py").write_text(line + "\n", encoding="utf-8")
    assert len(faults(tmp_path)) == 1


def test_every_part_has_its_rule() -> None:
    parts = {part_of(path, SOURCE) for path in modules(SOURCE)} - {"__init__"}
    assert parts <= set(MAY_IMPORT)
    assert all(set(MAKERS) & MAY_IMPORT[part] == set() for part in ("proof", "layout", "pictures"))


def test_a_package_file_is_a_docstring() -> None:
    for path in SOURCE.rglob("__init__.py"):
        body = ast.parse(path.read_text(encoding="utf-8")).body
        assert len(body) == 1, path
        assert isinstance(body[0], ast.Expr), path


def test_only_the_commands_print_or_exit() -> None:
    for path in modules(SOURCE):
        if path.name == "cli.py":
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            name = node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""
            assert name not in {"print", "exit", "quit"}, f"{path}: {name}"
            assert not (isinstance(node, ast.Name) and node.id == "SystemExit"), path
