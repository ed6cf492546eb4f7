"""Whole processes, side by side: help against an empty click program, a job against importing numpy and shapely."""

import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

ROOT = Path(__file__).parents[2]
PEARLKERF = [sys.executable, "-m", "pearlkerf.cli"]
EMPTY = "import click\n@click.group()\ndef main(): pass\nmain(['--help'])"


def run(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True)


@pytest.mark.benchmark(group="help")
@pytest.mark.parametrize("what", ["empty click program", "pearlkerf"])
def test_help(benchmark: BenchmarkFixture, what: str) -> None:
    command = [*PEARLKERF, "--help"] if what == "pearlkerf" else [sys.executable, "-c", EMPTY]
    benchmark(run, *command)


@pytest.mark.benchmark(group="job")
@pytest.mark.parametrize("what", ["import numpy, shapely", "pearlkerf cut"])
def test_job(benchmark: BenchmarkFixture, what: str, tmp_path: Path) -> None:
    board = str(ROOT / "examples" / "harbour-steel-string.toml")
    job = [*PEARLKERF, "cut", board, "-m", "benchtop-arcs", "-o", str(tmp_path / "job")]
    benchmark(run, *(job if what == "pearlkerf cut" else [sys.executable, "-c", what]))
