"""The house: imports point down only, the makers and the proof never meet, heavy libraries load late."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "pearlkerf"

# each part may import itself and what stands in its set; "layout.features" is one module of a part
BASE = {"errors", "files"}
LAYOUT = BASE | {"board", "machine", "layout", "setups"}
MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "version": set(),
    "files": {"errors"},
    "machine": BASE,
    "outlines": BASE,
    "board": BASE | {"machine.holding", "machine.woods", "machine.materials"},
    "layout": BASE | {"board", "machine", "outlines"},
    "setups": BASE | {"board", "machine", "layout", "outlines"},
    "operations": LAYOUT,
    "toolpath": LAYOUT | {"operations"},
    "program": LAYOUT | {"operations", "toolpath"},
    "reading": {"errors", "machine", "layout.groups"},
    "proof": {
        "errors",
        "machine",
        "reading",
        "setups.model",
        "setups.plain",
        "setups.words",
        "setups.topics",
        "setups.run_outs",
        "setups.dry_run",
    }
    | {"layout.features", "layout.groups", "layout.lines", "layout.surfaces"},
    "pictures": LAYOUT | {"reading", "proof"},
    "jobs": LAYOUT | {"operations", "toolpath", "program", "reading", "proof", "pictures"},
    "way": LAYOUT | {"jobs", "version"},
    "bench": LAYOUT | {"operations", "reading", "proof", "pictures", "jobs", "way"},
    "commands": LAYOUT | {"operations", "reading", "proof", "pictures", "jobs", "way", "bench"},
    "cli": {"version"},
}
OF_THE_BENCH = {"starlette", "uvicorn", "tomlkit"}
HEAVY = OF_THE_BENCH | {
    "ezdxf", "reportlab", "pygcode", "pypdf", "playwright", "fontTools", "defusedxml", "cssselect2", "tinycss2",
    "rectpack", "spyrrow",
}  # fmt: skip
# help comes at once: a command's module is imported when it is named
LAZY_IN_CLI = HEAVY | {"numpy", "shapely", "voluptuous"}
# who looks at a board waits for nothing that is made of it
LAZY_IN_WAY = HEAVY | {"pearlkerf.jobs", "pearlkerf.setups", "pearlkerf.machine"}
AT_ONCE = {"cli": LAZY_IN_CLI, "way": LAZY_IN_WAY, "bench": HEAVY - OF_THE_BENCH}
FRONT_DOORS = {"cli", "commands", "bench"}
# what a command asks, prints and exits with needs none of these: it works nothing out
NOT_FOR_COMMANDS = {"re", "math", "numpy", "shapely", "tomllib", "fractions", "decimal", "hashlib", "csv"}
LONGEST_FILE = 350  # lines
LONGEST_FUNCTION = 50


def modules(root: Path) -> list[tuple[Path, ast.Module]]:
    return [(path, ast.parse(path.read_text(encoding="utf-8"))) for path in sorted(root.rglob("*.py"))]


def part_of(path: Path, root: Path) -> str:
    return path.relative_to(root).parts[0].removesuffix(".py")


def imports(tree: ast.AST) -> Iterator[tuple[str, bool]]:
    """Give (module, runs when the file is imported) for every import, those for type checking left out.

    An import from the package itself is given as the module that it names; a relative one as ".".
    """
    typing_only = {
        node for part in ast.walk(tree) if isinstance(part, ast.If) and "TYPE_CHECKING" in ast.dump(part.test)
        for node in ast.walk(part)
    }  # fmt: skip
    in_functions = {
        node for part in ast.walk(tree) if isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for node in ast.walk(part)
    }  # fmt: skip
    for node in ast.walk(tree):
        if node in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from ((alias.name, node not in in_functions) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = "." if node.level else node.module or ""
            packages = base == "pearlkerf" or base.count(".") == 1
            names = [f"{base}.{alias.name}" for alias in node.names] if packages else [base]
            yield from ((name, node not in in_functions) for name in names)


def allowed(part: str, name: str) -> bool:
    """Say whether a part may import a module of the package."""
    target = name.split(".")[1:]
    return bool(target) and (
        target[0] == part or target[0] in MAY_IMPORT[part] or ".".join(target[:2]) in MAY_IMPORT[part]
    )


def starts_with(name: str, modules: set[str]) -> bool:
    """Say whether a module is one of these, or in one of them."""
    return any(name == each or name.startswith(f"{each}.") for each in modules)


def import_faults(root: Path) -> list[str]:
    found = []
    for path, tree in modules(root):
        part = part_of(path, root)
        if part == "__init__":
            continue
        for name, at_import in imports(tree):
            first = name.split(".")[0]
            if first == "" or (first == "pearlkerf" and not allowed(part, name)):
                found.append(f"{path.name}: {part} imports {name}")
            if at_import and starts_with(name, AT_ONCE.get(part, HEAVY)):
                found.append(f"{path.name}: {name} is imported at once")
            if part == "commands" and starts_with(name, NOT_FOR_COMMANDS):
                found.append(f"{path.name}: a command works something out with {name}")
    return found


def package_file_faults(root: Path) -> list[str]:
    """A package file that is more or less than a docstring."""
    return [
        path.parent.name for path, tree in modules(root)
        if path.name == "__init__.py" and (len(tree.body) != 1 or ast.get_docstring(tree) is None)
    ]  # fmt: skip


def printing_faults(root: Path) -> list[str]:
    """Whoever prints, exits or asks below the front doors."""
    found = []
    for path, tree in modules(root):
        if part_of(path, root) in FRONT_DOORS:
            continue
        for node in ast.walk(tree):
            name = (
                node.id if isinstance(node, ast.Name) else ast.unparse(node) if isinstance(node, ast.Attribute) else ""
            )
            if name in {
                "print",
                "input",
                "exit",
                "quit",
                "SystemExit",
                "sys.exit",
                "sys.stdout",
                "sys.stderr",
                "os._exit",
            }:
                found.append(f"{path.name}:{node.lineno}: {name}")  # type: ignore[attr-defined]
    return found


def size_faults(root: Path) -> list[str]:
    found = []
    for path, tree in modules(root):
        lines = path.read_text(encoding="utf-8").count("\n")
        found += [f"{path.name}: {lines} lines"] if lines > LONGEST_FILE else []
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and (node.end_lineno or 0) - node.lineno >= LONGEST_FUNCTION:
                found.append(f"{path.name}: {node.name}")
    return found


@pytest.mark.parametrize("faults", [import_faults, package_file_faults, printing_faults, size_faults])
def test_the_house_is_in_order(faults) -> None:
    assert faults(SOURCE) == []


def test_every_part_has_its_rule() -> None:
    assert {part_of(path, SOURCE) for path, _ in modules(SOURCE)} - {"__init__"} <= set(MAY_IMPORT)
    makers = {"operations", "toolpath", "program"}
    assert all(not makers & MAY_IMPORT[part] for part in ("proof", "layout", "pictures"))
    assert all("proof" not in MAY_IMPORT[part] for part in makers)


def a_module(root: Path, name: str, text: str) -> Path:
    (root / name).parent.mkdir(parents=True, exist_ok=True)
    (root / name).write_text(text, encoding="utf-8")
    return root


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("proof/bad.py", "from pearlkerf.toolpath.moves import Feed"),
        ("reading/bad.py", "from pearlkerf.proof.prove import prove"),
        ("proof/bad.py", "from pearlkerf.layout.lay_out import lay_out"),
        ("proof/bad.py", "from pearlkerf.setups.set_up import set_up"),
        ("layout/bad.py", "from pearlkerf.setups.model import Setup"),
        ("proof/bad.py", "def f():\n    from pearlkerf import program"),
        ("proof/rules/bad.py", "from ...program import write"),
        ("toolpath/bad.py", "import pearlkerf.reading.motions"),
        ("toolpath/bad.py", "from pearlkerf.jobs import model"),
        ("jobs/bad.py", "from pearlkerf import way"),
        ("way.py", "from pearlkerf.jobs.making import plan_job"),
        ("way.py", "def prove():\n    from pearlkerf.proof.prove import prove"),
        ("commands/bad.py", "from pearlkerf.toolpath.trace import trace"),
        ("commands/bad.py", "def cut():\n    import re"),
        ("board/bad.py", "from pearlkerf.layout.model import Layout"),
        ("pictures/bad.py", "import reportlab.pdfgen"),
        ("pictures/bad.py", "try:\n    from ezdxf import new\nexcept ImportError:\n    pass"),
        ("way.py", "import pearlkerf"),
        ("cli.py", "import numpy"),
        ("cli.py", "from pearlkerf.commands.talk import say"),
        ("commands/bad.py", "import numpy"),
        ("commands/bad.py", "from starlette.routing import Route"),
        ("bench/bad.py", "import ezdxf"),
        ("bench/bad.py", "from pearlkerf.toolpath.trace import trace"),
        ("way.py", "def f():\n    from pearlkerf.bench.view import view_of"),
    ],
)
def test_a_wrong_import_is_found(tmp_path: Path, name: str, line: str) -> None:
    assert len(import_faults(a_module(tmp_path, name, line + "\n"))) == 1


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("proof/good.py", "from pearlkerf.setups.model import Setup"),
        ("proof/good.py", "from pearlkerf.layout import features"),
        ("pictures/good.py", "def draw():\n    import reportlab.pdfgen"),
        ("cli.py", "from pearlkerf.version import VERSION"),
        ("commands/good.py", "from pearlkerf.commands.talk import say"),
        ("commands/good.py", "from pearlkerf import way"),
        ("way.py", "def plan():\n    from pearlkerf.jobs.making import plan_job"),
        ("way.py", "if TYPE_CHECKING:\n    from pearlkerf.jobs.model import Job"),
    ],
)
def test_a_right_import_is_none(tmp_path: Path, name: str, line: str) -> None:
    assert import_faults(a_module(tmp_path, name, line + "\n")) == []


@pytest.mark.parametrize("text", ["", "x = 1\n", '"""Words."""\nfrom pearlkerf import way\n'])
def test_a_package_file_that_is_no_docstring_is_found(tmp_path: Path, text: str) -> None:
    assert package_file_faults(a_module(tmp_path, "proof/__init__.py", text)) == ["proof"]


@pytest.mark.parametrize("line", ["print(1)", "raise SystemExit(1)", "sys.exit()", "sys.stderr.write('x')", "f(print)"])
def test_who_prints_or_exits_is_found(tmp_path: Path, line: str) -> None:
    assert len(printing_faults(a_module(tmp_path, "proof/bad.py", line + "\n"))) == 1
    assert len(printing_faults(a_module(tmp_path / "way", "way.py", line + "\n"))) == 1
    assert printing_faults(a_module(tmp_path / "other", "cli.py", line + "\n")) == []


@pytest.mark.parametrize(
    "text", ["x = 1\n" * (LONGEST_FILE + 1), "def f():\n" + "    x = 1\n" * LONGEST_FUNCTION], ids=["file", "function"]
)
def test_what_is_too_long_is_found(tmp_path: Path, text: str) -> None:
    assert len(size_faults(a_module(tmp_path, "proof/bad.py", text))) == 1
    shorter = text.removesuffix("x = 1\n") if text.startswith("x") else text.removesuffix("    x = 1\n")
    assert size_faults(a_module(tmp_path, "proof/bad.py", shorter)) == []
