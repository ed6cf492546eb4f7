"""The viewer's scripts joined into one: a page opened from disk can fetch no module, so they are written into it.

Each file is a module of the ECMAScript standard (ECMA-262, section 16.2) and says what it takes and what
it gives.  Only the plain forms are known, a line each:

    import { Track, RAPID } from "./track.js";        at the head of the file
    export const RAPID = 0;                            or class, function, async function

What is joined keeps their meaning: a module is a function of its own, so that it sees no name but those
that it asks for, and each runs once, after those that it imports from.  Everything else that the
standard has (renaming, defaults, rings of modules, names that change later) is refused.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Final

_IMPORT: Final = re.compile(r'import \{ (\w+(?:, \w+)*) \} from "\./(\w+)\.js";')
_EXPORT: Final = re.compile(r"export (?=(?:const|class|function|async function) (\w+)\b)")
_OWN: Final = "$module_"
# what is left of a script once its plain forms are taken out may hold neither word any more, no name of the
# modules' own, and nothing that would end the script element or begin a comment in it (HTML standard,
# "Restrictions for contents of script elements")
_REFUSED: Final = re.compile(r"(?:im|ex)port\b|\$module_|</?[sS][cC][rR][iI][pP][tT]|<!--")


class UnknownForm(ValueError):
    """A script that says something which cannot be joined: file, line and reason."""


@dataclass(frozen=True, slots=True)
class Module:
    """One script: its file's name, what it imports (file, names), what it exports, its text without either."""

    name: str
    imports: tuple[tuple[str, tuple[str, ...]], ...]
    exports: tuple[str, ...]
    body: str


def read_module(name: str, text: str) -> Module:
    """Read one script; refused with its line where a form is not known, a name is taken twice or never used."""
    imports: list[tuple[str, tuple[str, ...]]] = []
    exports: list[str] = []
    kept: list[str] = []
    head = True
    for line in text.splitlines():
        taken = _IMPORT.fullmatch(line) if head else None
        given = _EXPORT.match(line)
        head = head and (taken is not None or not line or line.startswith("//"))
        if taken:
            imports.append((f"{taken[2]}.js", tuple(taken[1].split(", "))))
        if given:
            exports.append(given[1])
        kept.append("" if taken else line[given.end() :] if given else line)
    body = "\n".join(kept)
    if refused := _REFUSED.search(body):
        place = body.count("\n", 0, refused.start())
        raise UnknownForm(f"{name}:{place + 1}: {refused[0]} is not known in this form or place: {kept[place]}")
    module = Module(name, tuple(imports), tuple(exports), body.strip("\n"))
    _check_names(module)
    return module


def modules_from(entry: str, read: Callable[[str], str]) -> tuple[Module, ...]:
    """Give a script and all that it imports, each after those that it imports from; ``read`` gives a file's text.

    Refused: a ring of modules, and a name that its module does not export.
    """
    modules: dict[str, Module] = {}
    waiting = [entry]
    while waiting:
        name = waiting.pop()
        if name not in modules:
            modules[name] = read_module(name, read(name))
            waiting += [source for source, _ in modules[name].imports]
    for module in modules.values():
        for source, names in module.imports:
            if missing := [each for each in names if each not in modules[source].exports]:
                raise UnknownForm(f"{module.name}: {source} does not export {', '.join(missing)}")
    try:
        order = tuple(TopologicalSorter({each.name: dict(each.imports) for each in modules.values()}).static_order())
    except CycleError as ring:
        raise UnknownForm(f"a ring of modules: {' > '.join(ring.args[1])}") from ring
    return tuple(modules[name] for name in order)


def joined(modules: tuple[Module, ...]) -> str:
    """Give modules, each after those that it imports from, as the text of one script."""
    return "".join(_as_function(module) for module in modules)


def _check_names(module: Module) -> None:
    taken = [name for _, names in module.imports for name in names]
    sources = [source for source, _ in module.imports]
    twice = [each for each in (*taken, *sources) if [*taken, *sources].count(each) > 1]
    idle = set(taken) - set(re.findall(r"\w+", module.body))
    if twice or idle:
        raise UnknownForm(f"{module.name}: imported twice, or never used: {', '.join(sorted({*twice, *idle}))}")


def _as_function(module: Module) -> str:
    """A module as a constant that holds what it exports.

    const $module_track = (() => {
    const { find } = $module_elements;
    …
    return { Track, RAPID };
    })();
    """
    takes = "".join(f"const {{ {', '.join(names)} }} = {_own(source)};\n" for source, names in module.imports)
    gives = f"return {{ {', '.join(module.exports)} }};\n" if module.exports else ""
    return f"// {module.name}\nconst {_own(module.name)} = (() => {{\n{takes}{module.body}\n{gives}}})();\n"


def _own(name: str) -> str:
    return f"{_OWN}{name.removesuffix('.js')}"
