"""Dry-run pages for the tests: a proved job, a failing one, a long program, and one shown alone."""

import json
import re
import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.pictures.page.model import DryRun, ProgramRun, dry_run_of
from pearlkerf.pictures.page.page import draw_page
from pearlkerf.reading.motions import ProgramText
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Clampings

HOSTILE = "</script><img src=x onerror=\"document.title='taken'\"> & 'quoted' <b>bold</b>"
# a browser without a graphics card, that asks nothing of the network on its own account
BROWSER_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
CHROMIUM = shutil.which("chromium")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this computer to open the page in")


@cache
def a_run(title: str = "Harbour steel-string, first of two") -> DryRun:
    """Give a proved job of three programs."""
    return _run(clamped(), title, {})


@cache
def a_failing_run() -> DryRun:
    """Give the job with one stroke of fret 7 a millimetre too deep."""
    return _run(clamped(), "Harbour steel-string, gone wrong", {"2-face-cutter-1.nc": _dig_in_fret_7})


def _run(setting: Clampings, title: str, damage: dict[str, Any]) -> DryRun:
    machine = a_machine()
    job = plan_job(setting, machine)
    texts = {program.file: program.text for program in make_programs(job, "Pearlkerf")}
    for file, spoil in damage.items():
        texts[file] = spoil(texts[file])
    verdict = prove_programs(job, texts)
    return dry_run_of(title, verdict, setting.setups, (machine.title, machine.cutters))


def _dig_in_fret_7(text: bytes) -> bytes:
    head, mark, tail = text.partition(b"(fret 7")
    blocks = tail.split(b"\n")
    strokes = [number for number, block in enumerate(blocks) if re.fullmatch(rb"G1 Y\S+ Z-\S+", block)]
    spoilt = strokes[5]
    blocks[spoilt] = re.sub(rb"Z-\S+", b"Z-3.9", blocks[spoilt])
    return head + mark + b"\n".join(blocks)


def run_alone(text: str, title: str = "shown alone") -> DryRun:
    """Give a single program, without a board."""
    program = ProgramText("alone.nc", text.encode())
    return DryRun(title, (ProgramRun(program, read_program(program.text, program.file)),), held="shown alone")


def long_run(motions: int, wobble_mm: float = 0.0) -> DryRun:
    """Give one program of so many motions in the slots of a board; a wobble makes every figure its own."""
    setting, machine = clamped(), a_machine()
    text = _long_text(setting, motions, wobble_mm)
    program = ProgramText("long.nc", text)
    run = ProgramRun(program, read_program(text, program.file), setting.setups[0], (1,))
    return DryRun("long", (run,), machine.title, machine.cutters)


def _long_text(setting: Clampings, motions: int, wobble_mm: float) -> bytes:
    chance = np.random.default_rng(1)
    slots = [feature for feature in setting.setups[0].features if feature.group == "frets"]
    each = motions // len(slots)
    out = ["G21", "G17 G90 G94 G54", "(setup=face cutter=1 cuts=frets 1-20)", "G0 Z8.0", "S24000 M3"]
    for slot in slots:
        (x, low), (_, high) = slot.start, slot.end
        stroke = np.concatenate([np.linspace(low, high, 60), np.linspace(high, low, 60)])
        points = np.column_stack([np.full(each, x), np.resize(stroke, each), -np.linspace(0, 3, each)])
        points += chance.uniform(-wobble_mm, wobble_mm, (each, 3))
        out += [f"({slot.name}, bass side first)", f"G0 X{points[0, 0]:.3f} Y{points[0, 1]:.3f}", "F300.0"]
        out += [f"G1 X{a:.3f} Y{b:.3f} Z{c:.3f}".replace("-0.000", "0.000") for a, b, c in points]
        out += ["G0 Z8.0"]
    return "\n".join([*out, "M5", "M2", ""]).encode()


def with_title(run: DryRun, title: str) -> DryRun:
    """Give the same run under another title."""
    return replace(run, title=title)


def write_page(run: DryRun, folder: Path, name: str = "page.html") -> Path:
    """Write a run's page to a file."""
    path = folder / name
    path.write_text(draw_page(run), encoding="utf-8")
    return path


def data_of(html: str) -> dict[str, Any]:
    """Read the data out of a page."""
    found = re.search(r'<script type="application/json" id="run">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    data: dict[str, Any] = json.loads(found.group(1))
    return data
