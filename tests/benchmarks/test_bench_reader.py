"""Reading a program to positions, beside pygcode's Line with Machine, on the same lines.

Run: pytest tests/benchmarks/test_bench_reader.py --benchmark-enable
Each benchmark stores lines a second; the ratio test prints how many times faster ours is, both
measured in turn in one run.  Texts: straight lines with a word for the motion, without one (modal),
with three axes, the arcs of a bore, lines in small letters with blanks and notes, and programs of which
every sixteenth line is for the slow lane.
"""

import math
import time
import tracemalloc

import pygcode
import pytest

from pearlkerf.machine.model import Dialect
from pearlkerf.proof.dialect import hold_dialect
from pearlkerf.reading.motions import ProgramText
from pearlkerf.reading.reader import read_program

HEAD = ["G21", "G17 G90 G94 G54", "G0 Z5.0", "G0 X50.0 Y0.0", "S16000 M3", "G4 P2.0", "G1 Z-0.2 F300.0"]
TAIL = ["G0 Z5.0", "M5", "M2", ""]
COUNTS = [1_000, 10_000, 100_000]
STYLES = ["straight", "modal", "three axes", "arcs", "odd", "mixed"]
# the other reader takes so long that it is timed on as many lines; it is linear
OTHER_LINES = 2_000


# a turn of 1.5 mm radius about 50, 1.5
QUARTERS = [
    "G3 X51.500 Y1.500 I0.000 J1.500",
    "G3 X50.000 Y3.000 I-1.500 J0.000",
    "G3 X48.500 Y1.500 I0.000 J-1.500",
    "G3 X50.000 Y0.000 I1.500 J0.000",
]


def body(number: int, style: str) -> str:
    """A line of the program: a point on an ellipse, or a quarter turn."""
    x, y = 50 * math.cos(number * 0.01), 30 + 20 * math.sin(number * 0.01)
    return {
        "straight": f"G1 X{x:.3f} Y{y:.3f}",
        "modal": f"X{x:.3f} Y{y:.3f}",
        "three axes": f"G1 X{x:.3f} Y{y:.3f} Z{-0.2 - number % 7 / 100:.3f}",
        "arcs": QUARTERS[number % 4],
        "odd": f"g1x {x:.3f}y {y:.3f}(note)",
        "mixed": f"G1 X{x:.3f} Y{y:.3f}" if number % 16 else "S16000",
    }[style]


def program(lines: int, style: str) -> list[str]:
    """A program of so many lines."""
    return [*HEAD, *(body(number, style) for number in range(lines - len(HEAD) - len(TAIL) + 1)), *TAIL]


def other(lines: list[str]) -> float:
    """Read with the other library, to positions."""
    machine = pygcode.Machine()
    for raw in lines:
        machine.process_block(pygcode.Line(raw).block)
    return machine.pos.values["X"]


@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("style", STYLES)
def test_read_program(benchmark, style, count):
    benchmark.group = f"reading, {style}"
    text = "\n".join(program(count, style)).encode("ascii")
    reading = benchmark(read_program, text)
    assert reading.lines == count and len(reading.motions.kind) > count * (15 / 16 if style == "mixed" else 1) - 20
    if benchmark.enabled:
        benchmark.extra_info["lines_a_second"] = round(count / benchmark.stats.stats.min)


@pytest.mark.parametrize("style", STYLES)
def test_other_reader(benchmark, style):
    benchmark.group = f"reading, {style}"
    lines = program(OTHER_LINES, style)
    benchmark(other, lines)
    if benchmark.enabled:
        benchmark.extra_info["lines_a_second"] = round(OTHER_LINES / benchmark.stats.stats.min)


@pytest.mark.parametrize("style", STYLES)
def test_ratio_to_the_other_reader(benchmark, style):
    """How many times faster ours is at 100 000 lines: the two in turn, the best time of each."""
    benchmark.group = "ratio to the other reader"
    text, lines = "\n".join(program(100_000, style)).encode("ascii"), program(OTHER_LINES, style)
    assert read_program(b"\n".join(text.split(b"\n")[:500])).motions.end[-1, 0] == pytest.approx(other(lines[:500]))
    benchmark.pedantic(read_program, (text,), rounds=1)
    if not benchmark.enabled:
        return
    ours, theirs = math.inf, math.inf
    for _ in range(5):
        ours = min(ours, seconds(read_program, text) / 100_000)
        theirs = min(theirs, seconds(other, lines) / OTHER_LINES)
    benchmark.extra_info["times_faster"] = round(theirs / ours, 1)
    print(f"\n{style}: {1e-3 / ours:.0f} k lines/s, the other {1e-3 / theirs:.1f}; {theirs / ours:.1f} times faster")


def seconds(what, given) -> float:
    began = time.process_time()
    what(given)
    return time.process_time() - began


@pytest.mark.parametrize("count", COUNTS)
def test_memory_in_proportion(benchmark, count):
    """Bytes a line at the peak, the text apart."""
    benchmark.group = "memory of the reader"
    text = "\n".join(program(count, "straight")).encode("ascii")
    if benchmark.enabled:
        tracemalloc.start()
        read_program(text)
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        benchmark.extra_info["bytes_a_line"] = round(peak / count)
        print(f"\n{count} lines: {peak / count:.0f} bytes a line")
    benchmark.pedantic(read_program, (text,), rounds=1)


@pytest.mark.parametrize("count", COUNTS)
def test_hold_dialect(benchmark, count):
    benchmark.group = "dialect"
    text = "\n".join(program(count, "straight")).encode("ascii")
    assert benchmark(hold_dialect, ProgramText("a.nc", text), Dialect()) == ()
