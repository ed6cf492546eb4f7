"""Whole processes, from start to end, each beside its reference in one run.

Run: pytest tests/benchmarks/test_bench_startup.py --benchmark-enable
Each round starts a new interpreter; what counts is the ratio within a group, not the seconds.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

ROOT = Path(__file__).parents[2]
BOARD = ROOT / "examples" / "harbour-steel-string.toml"
COMMAND = "from pearlkerf.cli import main; main()"
NO_PAGES = "import pearlkerf.jobs.pages; pearlkerf.jobs.pages.draw_job = lambda *_: {}; "
EMPTY = "import click\n\n@click.command()\ndef main():\n    '''Nothing.'''\n\nmain()\n"
ROUNDS = {"rounds": 7, "warmup_rounds": 1, "iterations": 1}


Process = Callable[..., Callable[[], None]]


@pytest.fixture(scope="session")
def process(tmp_path_factory: pytest.TempPathFactory) -> Process:
    """Give runs of an interpreter with some code, from start to end; byte code is kept, as after an install."""
    kept = {"PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("bytecode"))}
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | kept

    def run_of(code: str, *arguments: object) -> Callable[[], None]:
        command = [sys.executable, "-c", code, *map(str, arguments)]
        return lambda: subprocess.run(command, check=True, capture_output=True, env=environment) and None

    return run_of


@pytest.mark.benchmark(group="help")
def test_help_of_an_empty_program(benchmark: BenchmarkFixture, process: Process) -> None:
    benchmark.pedantic(process(EMPTY, "--help"), **ROUNDS)


@pytest.mark.benchmark(group="help")
def test_help(benchmark: BenchmarkFixture, process: Process) -> None:
    benchmark.pedantic(process(COMMAND, "--help"), **ROUNDS)


@pytest.mark.benchmark(group="cut")
def test_import_of_numpy_and_shapely(benchmark: BenchmarkFixture, process: Process) -> None:
    benchmark.pedantic(process("import numpy, shapely"), **ROUNDS)


@pytest.mark.benchmark(group="cut")
@pytest.mark.parametrize("pages", ["with pages", "without pages"])
def test_cut(benchmark: BenchmarkFixture, process: Process, pages: str, tmp_path: Path) -> None:
    code = COMMAND if pages == "with pages" else NO_PAGES + COMMAND
    benchmark.pedantic(process(code, "cut", BOARD, "-m", "benchtop-arcs", "-o", tmp_path / "job"), **ROUNDS)
    assert (tmp_path / "job" / "job.json").is_file()
    assert (tmp_path / "job" / "dry-run.html").is_file() == (pages == "with pages")


@pytest.mark.benchmark(group="cut")
def test_check(benchmark: BenchmarkFixture, process: Process) -> None:
    benchmark.pedantic(process(COMMAND, "check", BOARD), **ROUNDS)
