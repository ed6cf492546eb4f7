"""The viewer's scripts are joined as the standard runs modules, and what is not known is refused."""

import shutil
import subprocess
from importlib.resources import files
from pathlib import Path

import pytest

from pearlkerf.pictures.page.modules import UnknownForm, joined, modules_from
from pearlkerf.pictures.page.page import ENTRY, asset

needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="no node on this computer to run modules in")
PARTS = {
    "a.js": (
        '// The entry.\n\nimport { twice, Counter } from "./b.js";\nimport { START } from "./c.js";\n\n'
        "const own = START;\nconst counter = new Counter(own);\ncounter.more();\n"
        "console.log([twice(counter.count), own, typeof hidden, this === undefined]);\n"
    ),
    "b.js": (
        'import { START } from "./c.js";\n\nconst own = 2;\nexport const twice = (value) => own * value;\n'
        "export class Counter {\n  constructor(from) {\n    this.count = from + START;\n  }\n\n"
        "  more() {\n    this.count += own;\n  }\n}\n"
    ),
    "c.js": 'const hidden = 1;\nexport const START = 5 * hidden;\nconsole.log("once");\nexport function idle() {}\n',
}


def of(parts: dict[str, str], entry: str = "a.js") -> str:
    return joined(modules_from(entry, parts.__getitem__))


@needs_node
def test_joined_modules_do_what_the_standard_s_own_loader_makes_of_them(tmp_path: Path) -> None:
    (tmp_path / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    for name, text in PARTS.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "joined.mjs").write_text(of(PARTS), encoding="utf-8")
    told = [
        subprocess.run(["node", tmp_path / name], capture_output=True, text=True, check=True).stdout
        for name in ("a.js", "joined.mjs")
    ]
    assert told[0] == told[1] == "once\n[ 24, 5, 'undefined', true ]\n"


def test_each_module_stands_once_after_those_that_it_imports_from() -> None:
    assert [module.name for module in modules_from("a.js", PARTS.__getitem__)] == ["c.js", "b.js", "a.js"]
    assert of(PARTS).count("const START") == 1


def test_every_script_of_the_page_is_reached_from_its_entry() -> None:
    folder = files("pearlkerf.pictures.page").joinpath("assets")
    scripts = {each.name for each in folder.iterdir() if each.name.endswith(".js")}
    assert {module.name for module in modules_from(ENTRY, asset)} == scripts


def test_whatever_a_script_of_the_page_exports_another_one_imports() -> None:
    modules = modules_from(ENTRY, asset)
    taken = {(source, name) for module in modules for source, names in module.imports for name in names}
    assert {(module.name, name) for module in modules for name in module.exports} == taken


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ('import * as c from "./c.js";\nc.START;', "a.js:1: (import|export) is not known"),
        ('import { START as begin } from "./c.js";\nbegin;', "a.js:1: (import|export) is not known"),
        ('import c from "./c.js";\nc;', "a.js:1: (import|export) is not known"),
        ('import "./c.js";', "a.js:1: (import|export) is not known"),
        ('const c = await import("./c.js");', "a.js:1: (import|export) is not known"),
        ("const here = import.meta.url;", "a.js:1: (import|export) is not known"),
        ('import { START } from "../c.js";\nSTART;', "a.js:1: (import|export) is not known"),
        ('import { START } from "https://example.org/c.js";\nSTART;', "a.js:1: (import|export) is not known"),
        ('const first = 1;\nimport { START } from "./c.js";\nSTART;', "a.js:2: (import|export) is not known"),
        ("export default 1;", "a.js:1: (import|export) is not known"),
        ("const a = 1;\nexport { a };", "a.js:2: (import|export) is not known"),
        ('export * from "./c.js";', "a.js:1: (import|export) is not known"),
        ("export let changing = 1;", "a.js:1: (import|export) is not known"),
        ("export const { a, b } = pair;", "a.js:1: (import|export) is not known"),
        ('import { gone } from "./c.js";\ngone;', "c.js does not export gone"),
        ('import { hidden } from "./c.js";\nhidden;', "c.js does not export hidden"),
        ('import { START } from "./c.js";', "never used: START"),
        ('import { START, START } from "./c.js";\nSTART;', "imported twice, or never used: START"),
        ('import { START } from "./c.js";\nimport { idle } from "./c.js";\nSTART + idle;', "never used: c.js"),
        ('import { b } from "./a.js";\nexport const b = () => b;', "a ring of modules: a.js > a.js"),
        ('import { back } from "./ring.js";\nback;\nexport const a = 1;', "a ring of modules: a.js > ring.js > a.js"),
        ('const text = "</script>";', "a.js:1: </script is not known"),
        ('const text = "<!-- a comment";', "a.js:1: <!-- is not known"),
        ("const $module_c = 1;", "a.js:1: $module_ is not known"),
    ],
)
def test_what_is_not_known_is_refused_with_its_place(text: str, found: str) -> None:
    ring = 'import { a } from "./a.js";\nexport const back = a;\n'
    with pytest.raises(UnknownForm, match=found.replace("$", r"\$")):
        of({**PARTS, "ring.js": ring, "a.js": text})
