"""Files made to take time or room: each is refused within 2 s and 200 MB, with file, place and reason."""

import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from pearlkerf.errors import Refusal
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import chosen, region_of
from pearlkerf.outlines.segments import Affine

MOST_S, MOST_MB = 2.0, 200.0
ADDRESS_SPACE = 4 * 1024**3  # of the process, so that a test that fails takes no machine with it


def svg(inside: str, before: str = "") -> str:
    return f'{before}<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm">{inside}</svg>'


def entities(count: int, of_each: int, length: int) -> str:
    """Give entities that each hold so many of the one before."""
    first = f'<!ENTITY a0 "{"x" * length}">'
    more = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * of_each}">' for n in range(1, count))
    return f"<!DOCTYPE s [{first}{more}]>"


def uses(count: int) -> str:
    """Give groups that each use the one before ten times."""
    groups = (f'<g id="u{n}">{f"""<use href="#u{n - 1}"/>""" * 10}</g>' for n in range(1, count))
    return f'<defs><rect id="u0" width="1" height="1"/>{"".join(groups)}</defs><use href="#u{count - 1}"/>'


def section(name: str, inside: str) -> str:
    return f"  0\nSECTION\n  2\n{name}\n{inside}  0\nENDSEC\n"


def insert(name: int, more: str = "") -> str:
    return f"  0\nINSERT\n  8\n0\n  2\nB{name}\n 10\n0\n 20\n0\n{more}"


def block(name: int, inside: str) -> str:
    return f"  0\nBLOCK\n  8\n0\n  2\nB{name}\n 10\n0\n 20\n0\n  3\nB{name}\n{inside}  0\nENDBLK\n"


def dxf(inside: str, blocks: str = "") -> str:
    return section("BLOCKS", blocks) + section("ENTITIES", inside) + "  0\nEOF\n"


def lines(count: int) -> str:
    """Give lines from one place."""
    return "".join(f"  0\nLINE\n  8\n0\n 10\n0\n 20\n0\n 11\n{n}\n 21\n9\n" for n in range(count))


def scribble(count: int) -> str:
    return " ".join(f"{n % 997} {n * n % 1009}" for n in range(count))


# the file's name, how it is made, and why it is refused
HOSTILE: dict[str, tuple[str, Callable[[], str], str]] = {
    "an entity bomb": ("a.svg", lambda: svg("&a11;", entities(12, 10, 99)), "it defines entities"),
    "a long entity": ("a.svg", lambda: svg("&a0;" * 30000, entities(1, 0, 30000)), "it defines entities"),
    "uses of uses": ("a.svg", lambda: svg(uses(9)), "more than 20000 elements, uses counted each time"),
    "a use of itself": ("a.svg", lambda: svg('<g id="a"><use href="#a"/></g>'), "or a use draws itself"),
    "deep groups": ("a.svg", lambda: svg("<g>" * 99999 + "</g>" * 99999), "elements lie more than 64 deep"),
    "many groups": ("a.svg", lambda: svg("<g/>" * 1000000), "it has more than 80000 elements"),
    "a long path": ("a.svg", lambda: svg(f'<path d="M0 0{" 1 1" * 1000000}Z"/>'), "d: more than 400000 numbers"),
    "long paths": ("a.svg", lambda: svg(f'<path d="M0 0{" 1 1" * 30000}Z"/>' * 30), "more than 80000 pieces"),
    "many curves": ("a.svg", lambda: svg(f'<path d="M0 0{"c1 1 2 0 3 1" * 110000}Z"/>'), "more than 80000 pieces"),
    "wide curves": ("a.svg", lambda: svg(f'<path d="M0 0{"C9e3 0 0 9e3 9 9" * 75000}Z"/>'), "more than 400000 points"),
    "circles": ("a.svg", lambda: svg('<circle r="9"/>' * 19000), "more than 400000 points"),
    "blanks": ("a.svg", lambda: svg(f'<polygon points="{" " * 4000000}x"/>'), "is no list of numbers"),
    "numbers": ("a.svg", lambda: svg(f'<polygon points="{"1 " * 1900000}x"/>'), "is no list of numbers"),
    "digits": ("a.svg", lambda: svg(f'<rect width="{"1" * 4000000}"/>'), "is too large"),
    "transforms": (
        "a.svg",
        lambda: svg(f'<g transform="{"scale(2)" * 400000}"/>'),
        "transform: more than 1000 of them",
    ),
    "a scribble": ("a.svg", lambda: svg(f'<polygon points="{scribble(50000)}"/>'), "cross more than 5000 times"),
    "styles": (
        "a.svg",
        lambda: svg(f"<style>{'g g g g { display: none }' * 20000}</style>{'<g><rect/></g>' * 9999}"),
        "style: style sheets have too many rules for so many elements",
    ),
    "a block of itself": ("a.dxf", lambda: dxf(insert(0), block(0, insert(0))), "or one holds itself"),
    "blocks of blocks": (
        "a.dxf",
        lambda: dxf(insert(8), "".join(block(n, insert(n - 1) * 10 * (n > 0)) for n in range(9))),
        "it draws more than 20000 entities, inserts counted each time",
    ),
    "a block a million times": (
        "a.dxf",
        lambda: dxf(insert(0, " 70\n1000\n 71\n1000\n 44\n1\n 45\n1\n"), block(0, "")),
        "a block is inserted 1000000 times",
    ),
    "lines from one place": ("a.dxf", lambda: dxf(lines(15000)), "more than 64 lines meet at 0, 0"),
    "many lines": ("a.dxf", lambda: dxf(lines(70000)), "it has more than 30000 entities"),
    "fewer lines": ("a.dxf", lambda: dxf(lines(28000)), "it draws more than 20000 entities"),
}


def read(name: str) -> tuple[str, float, float]:
    """Read a hostile file in a process of its own: why it is refused, CPU seconds, MB of room taken."""
    file, make, _ = HOSTILE[name]
    data, (there, here) = make().encode(), os.pipe()
    child = os.fork()
    if child == 0:
        usage, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
        try:
            region_of(chosen(read_drawing(data, file), []), Affine(), file)
            found = "read"
        except Refusal as refused:
            found = refused.problems[0].found
        seconds = time.process_time() - start
        taken = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - usage) / 1024
        os.write(here, json.dumps([found[:500], seconds, taken]).encode())
        os._exit(0)
    os.close(here)
    with os.fdopen(there) as answer:
        said = answer.read()
    os.waitpid(child, 0)
    return tuple(json.loads(said or '["died", 99, 0]'))


@pytest.fixture(scope="session")
def refusals() -> dict[str, tuple[str, float, float]]:
    """Why each hostile file is refused, asked in one process apart from the tests'."""
    path = f"{Path(__file__).parents[1]}:{Path(__file__).parents[2] / 'src'}"
    command = [sys.executable, "-c", "from outlines.test_hostile import tell; tell()"]
    told = subprocess.run(
        command, capture_output=True, text=True, timeout=900, check=True, env={"PYTHONPATH": path}
    ).stdout
    return json.loads(told)


def tell() -> None:
    """Print why each hostile file is refused."""
    import cssselect2
    import defusedxml.ElementTree
    import ezdxf
    import fontTools.svgLib.path

    assert cssselect2 and defusedxml and ezdxf and fontTools  # what imports take is not counted
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
    print(json.dumps({name: read(name) for name in HOSTILE}))


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_in_time_and_room(name: str, refusals) -> None:
    file, _, why = HOSTILE[name]
    found, seconds, megabytes = refusals[name]
    assert found.startswith(f"{file}: ") and why in found
    assert seconds < MOST_S and megabytes < MOST_MB
