"""A head that names the dry run of its setup names the right one, its stops and its minutes, or is refused."""

import re

import pytest

from example_jobs import example_job
from pearlkerf.jobs.making import make_programs, with_pointing
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.reading.duration import machine_time
from pearlkerf.reading.reader import read_program

NAMED = re.compile(r"dry run of the (\S+) setup, (\S+), spindle off, (\d+) stops, (\d+) min of moves")


def unbroken(text: bytes) -> str:
    return text.decode().replace(")\n(- ", " ")


@pytest.mark.parametrize("profile", ["benchtop-arcs", "benchtop-inch-hand"])
def test_every_head_names_the_pointing_run_of_its_setup_and_its_time(profile: str) -> None:
    found = example_job("harbour-steel-string", profile)
    assert found is not None
    job = with_pointing(found[0])
    programs = {each.file: each.text for each in make_programs(job, "test")}
    for file, text in programs.items():
        named = NAMED.search(unbroken(text))
        if "pointing" in file:
            assert named is None
            continue
        assert named is not None
        setup, pointing, stops, minutes = named.groups()
        assert f"-{setup}-" in file and f"-{setup}-" in pointing
        time = machine_time(read_program(programs[pointing], pointing), job.machine)
        # rounded to a whole minute, one at least
        assert time.likely_s / 60 - 0.5 <= int(minutes) <= max(1, time.likely_s / 60 + 0.5)
        assert programs[pointing].count(b"M0") - (job.machine.spindle.control == "hand") * 2 == int(stops)


def test_a_job_without_pointing_runs_says_how_they_are_written() -> None:
    found = example_job("harbour-steel-string", "benchtop-arcs")
    assert found is not None
    for program in found[1]:
        assert "its pointing run, written with --pointing, spindle off" in unbroken(program.text)
        assert "above the work" not in unbroken(program.text)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (rb"\d+\) ?\(- min|\d+ min of moves", b"44 min of moves"),
        (rb"48 ?\)\n\(- stops|48 stops", b"480 stops"),
        (rb"dry run of the face", b"dry run of the edge"),
        (rb"1-face-pointing", b"4-edge-pointing"),
    ],
)
def test_a_false_time_or_a_false_name_is_refused(old: bytes, new: bytes) -> None:
    found = example_job("harbour-steel-string", "benchtop-arcs")
    assert found is not None
    job = with_pointing(found[0])
    texts = {each.file: each.text for each in make_programs(job, "test")}
    assert prove_programs(job, texts).proved
    file = "2-face-cutter-2.nc"
    told = texts[file].replace(b")\n(- ", b" ")
    damaged = re.sub(old, new, told.replace(b"after this, 3-face", b"after this, x-face"), count=1)
    assert damaged != told
    verdict = prove_programs(job, {**texts, file: damaged.replace(b"x-face", b"3-face")})
    assert any("dry run of the" in each.message for each in verdict.findings)
