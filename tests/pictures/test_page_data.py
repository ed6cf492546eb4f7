"""The page's data and written parts, without a browser."""

import base64
import hashlib
import re
import zlib
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
from numpy.typing import NDArray

from pages import HOSTILE, a_failing_run, a_run, data_of, long_run, run_alone, with_title
from pearlkerf.pictures.page.cuts import find_cuts
from pearlkerf.pictures.page.data import motions_s, starts_s
from pearlkerf.pictures.page.folding import FOLDED, fold
from pearlkerf.pictures.page.model import DryRun, ProgramRun
from pearlkerf.pictures.page.page import draw_page
from pearlkerf.reading.motions import Finding, ProgramText, UnreadableProgram
from pearlkerf.reading.reader import read_program

HALF_A_MICROMETRE = 0.5e-3 + 1e-9


def columns(packed: str, rows: int) -> NDArray[np.int64]:
    """Undo the packing of the leading columns with nothing of the page's own: (columns, rows)."""
    raw = np.frombuffer(zlib.decompress(base64.b64decode(packed)), np.uint8)
    out = []
    for number in range(4):
        planes = raw[number * 4 * rows : (number + 1) * 4 * rows].reshape(4, rows).astype(np.int64)
        folded = planes[0] + (planes[1] << 8) + (planes[2] << 16) + (planes[3] << 24)
        out.append(np.cumsum(np.where(folded % 2, -(folded + 1) // 2, folded // 2)))
    return np.array(out)


def test_packed_motions_are_those_that_were_read_to_half_a_micrometre() -> None:
    run = a_run()
    for program, packed in zip(run.programs, data_of(draw_page(run))["programs"], strict=True):
        assert program.reading is not None
        motions = program.reading.motions
        found = columns(packed["motions"], packed["rows"])
        known = ~np.isnan(motions.end)
        assert np.abs(found[:3].T / 1000 - motions.end)[known].max() <= HALF_A_MICROMETRE
        assert (found[3] == motions.line).all()


def test_usual_board_is_under_400_kb() -> None:
    assert len(draw_page(a_run()).encode()) <= 400_000


@pytest.mark.parametrize("wobble_mm", [0.0, 0.05], ids=["plain", "every figure its own"])
def test_120_000_moves_are_under_1_5_mb(wobble_mm: float) -> None:
    run = long_run(120_000, wobble_mm)
    assert run.programs[0].reading is not None
    assert len(run.programs[0].reading.motions.kind) >= 120_000
    assert len(draw_page(run).encode()) <= 1_500_000


def test_folded_line_keeps_every_figure_that_the_motion_does_not_hold() -> None:
    body = ["G21 G90", "F100.", "G1 X1.500 Y2.5 Z-0.250", "G1 X1.501", "(note X1.500)", "G1 X+1.500 Y02.000"]
    body += [f"G1 X{number / 100:.3f}" for number in range(30_000)]
    text = "\n".join([*body, "M2", ""])
    folded, style = fold(text, read_program(text.encode()).motions)
    assert style == "full"
    assert folded.split("\n")[2:6] == [f"{FOLDED}G1 x Y2.5 z", f"{FOLDED}G1 x", "(note X1.500)", "G1 X+1.500 Y02.000"]


def test_cuts_are_named_by_the_comments_before_them_and_know_their_features() -> None:
    run = a_run().programs[1]
    cuts = find_cuts(run)
    assert run.setup is not None
    assert [cut.name for cut in cuts] == [f"fret {number}, bass side first" for number in range(1, 21)]
    assert [run.setup.features[cut.feature].number for cut in cuts] == list(range(1, 21))
    assert {run.setup.features[cut.feature].group for cut in cuts} == {"frets"}


def test_cuts_without_comments_are_named_by_the_features_they_lie_in() -> None:
    run = a_run().programs[0]
    bare = re.sub(rb"\([^)\n]*\)\n", b"", run.program.text)
    cuts = find_cuts(replace(run, program=ProgramText("bare.nc", bare), reading=read_program(bare)))
    assert run.setup is not None
    dots = [feature.name for feature in run.setup.features if feature.group == "face dots"]
    assert sorted(cut.name for cut in cuts) == sorted(dots)


def test_cuts_of_a_bare_program_without_a_board_are_numbered() -> None:
    run = run_alone("G21 G90\nG0 X0. Y0. Z5.\nG1 Z-1. F100.\nG0 Z5.\nG0 X9.\nG1 Z-2.\nG0 Z5.\nM2\n")
    cuts = find_cuts(run.programs[0])
    assert [(cut.name, cut.lowest_mm) for cut in cuts] == [("cut 1", -1.0), ("cut 2", -2.0)]


def test_cut_beside_every_feature_belongs_to_none() -> None:
    run = a_run().programs[0]
    text = b"G21 G90\nG0 Z5.\nG0 X84.7 Y-12.\nG1 Z-1. F100.\nG0 Z5.\nM2\n"  # 12 mm beside face dot 3
    cuts = find_cuts(replace(run, program=ProgramText("beside.nc", text), reading=read_program(text)))
    assert [(cut.name, cut.feature) for cut in cuts] == [("cut 1", -1)]


def test_times_are_lengths_over_feeds_and_count_dwells() -> None:
    # 60 mm at 120 mm/min is 30 s; a quarter circle of radius 10 at 60 mm/min is 5 pi s; a dwell of 2.5 s
    text = b"G21 G90 G17\nG0 X0. Y0. Z0.\nG1 X60. F120.\nG4 P2.5\nG3 X70. Y10. I0. J10. F60.\nM2\n"
    program = ProgramText("times.nc", text)
    run = ProgramRun(program, read_program(text))
    assert run.reading is not None
    assert motions_s(run.reading.motions)[1:] == pytest.approx([30.0, 5 * np.pi])
    assert starts_s(run)[[1, 2, 3]] == pytest.approx([0.0, 32.5, 32.5 + 5 * np.pi])


def test_given_seconds_are_taken_over_the_estimate() -> None:
    run = a_run().programs[0]
    assert run.reading is not None
    seconds = np.full(len(run.reading.motions.kind), 2.0)
    dwells = sum(event.value for event in run.reading.events if event.kind == "dwell")
    assert starts_s(replace(run, seconds=seconds))[-1] == pytest.approx(2.0 * len(seconds) + dwells)


class Elements(HTMLParser):
    """Collects the elements of a page, and the text of its heading."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.heading = ""
        self._within = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._within = tag

    def handle_data(self, data: str) -> None:
        if self._within == "h1":
            self.heading += data

    def handle_endtag(self, tag: str) -> None:
        self._within = ""


def parsed(run: DryRun) -> Elements:
    elements = Elements()
    elements.feed(draw_page(run))
    return elements


def test_hostile_title_and_file_names_add_no_element() -> None:
    plain, hostile = parsed(a_run()), parsed(with_title(a_run(), HOSTILE))
    assert [tag for tag, _ in hostile.tags] == [tag for tag, _ in plain.tags]
    assert hostile.heading == HOSTILE


def test_data_holds_no_character_that_could_end_its_element() -> None:
    first, *others = a_run().programs
    named = replace(first, program=replace(first.program, file=HOSTILE))
    html = draw_page(replace(a_run(), programs=(named, *others)))
    raw = re.search(r'<script type="application/json" id="run">(.*)</script>\n<script type="module">', html, re.DOTALL)
    assert raw is not None
    assert not set("<>&") & set(raw.group(1))
    assert data_of(html)["programs"][0]["file"] == HOSTILE


def test_policy_names_the_only_script_and_the_only_style_by_their_hashes() -> None:
    html = draw_page(a_run())
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', html)
    scripts = re.findall(r'<script type="module">(.*?)</script>', html, re.DOTALL)
    styles = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    assert policy is not None
    assert len(scripts) == len(styles) == 1
    assert policy.group(1).startswith("default-src 'none'; ")
    for text in (*scripts, *styles):
        named = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"'sha256-{named}'" in policy.group(1)


def test_page_refers_to_nothing_outside_itself() -> None:
    elements = parsed(a_run())
    places = [attrs.get(name) for _, attrs in elements.tags for name in ("src", "href", "action", "data")]
    assert [place for place in places if place and not place.startswith("#")] == []
    assert "url(" not in draw_page(a_run())
    assert [attrs for _, attrs in elements.tags if "style" in attrs] == []


def test_findings_are_told_with_their_place() -> None:
    run = a_failing_run()
    html = draw_page(run)
    assert f"Not proved: {len(run.findings)} findings" in html
    assert any("too deep in fret 7" in finding.message for finding in run.findings)
    for finding in run.findings:
        assert f"{finding.file} line {finding.line}</button>" in html


def test_unreadable_program_still_has_a_page() -> None:
    program = ProgramText("torn.nc", b"G21\nG1 X1.2.3\n\xff\n")
    with pytest.raises(UnreadableProgram) as caught:
        read_program(program.text, program.file)
    html = draw_page(DryRun("torn", (ProgramRun(program, None),), findings=(caught.value.finding,)))
    assert data_of(html)["programs"][0]["rows"] == 0
    assert "Not proved: 1 finding<" in html


def test_finding_without_a_place_is_told_for_the_whole_job() -> None:
    run = replace(a_run(), findings=(Finding(7, "no program cuts the edge setup"),))
    assert "the whole job</button> <span>no program cuts the edge setup (rule 7)" in draw_page(run)


def test_page_is_the_same_every_time() -> None:
    assert draw_page(a_run()) == draw_page(a_run())
