"""Bounds of the proof are on the strict side: held against the same figures at many sampled points."""

import math

import numpy as np
import pytest
from small_board import CROWN, DOT, FRET, bore, face, machine, program, slot

from how_often import EXAMPLES
from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.proof import pieces as pieces_of_arcs
from pearlkerf.proof.cover import Discs, Ends, Lozenges, disc_gap, strip_gap
from pearlkerf.proof.identity import identify
from pearlkerf.proof.pieces import cut_into_pieces
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.shapes.lay import lay_features
from pearlkerf.proof.tolerances import MOST_CHORDS_OF_ALL
from pearlkerf.proof.wood import Wood
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Placement

TURNED = Placement(31.0, 7.0, -4.0)


def run_of(text, setup):
    reading = read_program(text.encode())
    return prepare(reading, "1.nc", identify(reading, "1.nc", [setup], machine()), setup, machine())


@pytest.mark.parametrize("radius", [0.05, 1.5, 40.0, 5000.0])
@pytest.mark.parametrize("most", [MOST_CHORDS_OF_ALL, 20])
def test_no_point_of_an_arc_lies_further_from_its_chords_than_their_slack(radius, most, monkeypatch):
    monkeypatch.setattr(pieces_of_arcs, "MOST_CHORDS_OF_ALL", most)
    sweep = min(2.0, 30.0 / radius)
    end = (radius * math.cos(sweep) - radius, radius * math.sin(sweep))
    words = f"G3 X{end[0]:.9f} Y{end[1]:.9f} Z-2.0 I{-radius} J0.0"
    text = f"G21 G17 G90 G94 G54\nG0 Z5.0\nG0 X0.0 Y0.0\nG1 Z-1.0 F100.0\n{words}\nM2\n"
    pieces = cut_into_pieces(read_program(text.encode()).motions)
    arc = pieces.motion == pieces.motion.max()
    start, way = pieces.start[arc, :2], (pieces.end - pieces.start)[arc, :2]
    angle = np.linspace(0.0, sweep, 2000)
    points = np.column_stack([radius * np.cos(angle) - radius, radius * np.sin(angle)])
    share = np.clip(((points[:, None] - start) * way).sum(-1) / (way**2).sum(-1), 0.0, 1.0)
    off = np.linalg.norm(start + way * share[..., None] - points[:, None], axis=-1).min(axis=1)
    assert off.max() <= pieces.slack[arc].max() + 1e-9
    assert pieces.slack[arc].max() <= 0.0005 or pieces.too_many
    assert arc.sum() <= most
    assert np.allclose(np.diff(pieces.end[arc, 2]), np.diff(pieces.end[arc, 2])[0], atol=1e-9)


def test_an_arc_counts_at_its_farthest_point_between_the_ends_of_its_chords():
    """An arc about another centre than the hole's leaves it most somewhere on its way, not at an end."""
    for bend in (0.35, 0.62, 0.77):
        lines = [line for line in bore() if not line.startswith("G3")]
        x, y = 11.45 * 1.0, 5.0
        middle = (10.0 + bend, 5.0 + bend / 3)
        radius = math.dist((x, y), middle)
        first = math.atan2(y - middle[1], x - middle[0])
        last = first + 1.9
        end = (middle[0] + radius * math.cos(last), middle[1] + radius * math.sin(last))
        arc = f"G3 X{end[0]:.6f} Y{end[1]:.6f} Z-0.5 I{middle[0] - x:.6f} J{middle[1] - y:.6f}"
        body = [*lines[:3], f"G1 X{x} Y{y}", "G1 Z-0.5", arc, "G1 Z0.5"]
        run = run_of(program(body), face())
        angle = np.linspace(first, last, 20001)
        far = np.hypot(middle[0] + radius * np.cos(angle) - 10.0, middle[1] + radius * np.sin(angle) - 5.0).max()
        assert far + 1.5 - 3.0 <= run.cuts.outside.max() <= far + 1.5 - 3.0 + 0.0006


@pytest.mark.parametrize(
    ("crown", "stricter"), [(CROWN, 0.0005), (Crown(254.0, 274.0, 60.0), 0.001), (Crown(150.0, 450.0, 60.0), 0.015)]
)
@pytest.mark.parametrize("placement", [Placement(), TURNED])
def test_too_deep_is_never_less_than_at_any_point_under_the_cutter(crown, stricter, placement):
    random = np.random.default_rng(7)
    wide = Slot("frets", 1, "fret 1", FRET.start, FRET.end, 3.0, Floor(-2.0, crown), through=True)
    setup = face(wide, placement=placement)
    shape = lay_features(setup, Wood.of(setup))[0]
    for _ in range(40):
        x, y, z = random.uniform(19.7, 20.3, 2), random.uniform(-19, 19, 2), random.uniform(-4, -1.5, 2)
        ends = np.column_stack([x, y, z])
        start, end = (np.append(placement.to_machine(each[:2]), each[2])[None] for each in ends)
        bound = float(shape.too_deep_mm(start, end, np.array([1.2]))[0])
        share, angle = np.meshgrid(np.linspace(0, 1, 301), np.linspace(0, 2 * math.pi, 73))
        centre = ends[0] + (ends[1] - ends[0]) * share[..., None]
        true = -math.inf
        for ring in np.linspace(0.0, 1.2, 7):
            x, y = centre[..., 0] + ring * np.cos(angle), centre[..., 1] + ring * np.sin(angle)
            true = max(true, float((wide.floor.z_mm(x, y) - centre[..., 2]).max()))
        assert true - 1e-6 <= bound <= max(true + stricter, 0.0)  # what stays above the floor is not looked at closely


@pytest.mark.parametrize("crown", [CROWN, Crown(150.0, 450.0, 60.0)])
def test_the_highest_top_is_never_lower_than_any_point_under_the_cutter(crown):
    random = np.random.default_rng(3)
    setup = face(DOT, placement=TURNED, crown=crown)
    wood = Wood.of(setup)
    for _ in range(60):
        board = np.column_stack([random.uniform(5, 55, 2), random.uniform(-18, 18, 2)])
        start, end = (TURNED.to_machine(each)[None] for each in board)
        bound = float(wood.highest_top_mm(start, end, np.array([1.5]))[0])
        share, angle = np.meshgrid(np.linspace(0, 1, 201), np.linspace(0, 2 * math.pi, 73))
        centre = board[0] + (board[1] - board[0]) * share[..., None]
        true = float(
            setup.stock.top_mm(centre[..., 0] + 1.5 * np.cos(angle), centre[..., 1] + 1.5 * np.sin(angle)).max()
        )
        inside = float(setup.stock.top_mm(centre[..., 0], centre[..., 1]).max())
        assert max(true, inside) - 1e-9 <= bound <= max(true, inside) + 0.25


def test_a_cut_that_returns_from_the_air_beside_the_wood_comes_from_outside():
    around = [*slot()[:-2], "G1 X22.0 Y-20.8", "G1 X22.0 Y-21.5", "G1 X20.0 Y-21.5", "G1 X20.0 Y-20.8", "G1 Y-19.0"]
    cuts = run_of(program([*around, "G1 Z0.5"], 1, "frets 1"), face()).cuts
    back = np.flatnonzero(cuts.fresh)
    assert len(back) == 2 and back[-1] > len(cuts.fresh) - 5


def random_discs(random, count, spread, least, most):
    centre = random.uniform(-spread, spread, (count, 2))
    return Discs.whole(centre, random.uniform(least, most, count))


def test_a_covered_disc_has_no_bare_point_and_a_gap_is_near_one():
    random = np.random.default_rng(11)
    across, along = np.meshgrid(np.linspace(0, 1, 120), np.linspace(0, 2 * math.pi, 400))
    points = np.stack([across * np.cos(along), across * np.sin(along)], axis=-1)
    covered = 0
    for _ in range(EXAMPLES or 60):
        discs = random_discs(random, int(random.integers(8, 40)), 1.0, 0.35, 0.6)
        gap = disc_gap(1.0, discs)
        covered += gap is None
        if gap is None:
            off = np.linalg.norm(points[..., None, :] - discs.centre, axis=-1) - discs.radius
            assert off.min(axis=-1).max() <= 1e-9
            continue
        place = gap.across * np.array([math.cos(gap.along), math.sin(gap.along)])
        near = np.linalg.norm(place - discs.centre, axis=1) - discs.radius
        assert near.min() > -0.002
    assert EXAMPLES or 8 < covered < 56


def test_a_covered_strip_has_no_bare_point_and_a_gap_is_near_one():
    random = np.random.default_rng(5)
    across, along = np.meshgrid(np.linspace(-0.4, 0.4, 81), np.linspace(0, 6, 301))
    points = np.stack([across, along], axis=-1)
    covered = 0
    for _ in range(EXAMPLES or 60):
        count = int(random.integers(20, 60))
        centre = np.column_stack([random.uniform(-0.3, 0.3, count), random.uniform(-0.2, 6.2, count)])
        discs = Discs.whole(centre, random.uniform(0.4, 0.6, count))
        gap = strip_gap(0.4, Ends(0.0, 6.0, 0.0), Lozenges(discs, np.zeros(count), discs.good))
        covered += gap is None
        if gap is None:
            off = np.linalg.norm(points[..., None, :] - centre, axis=-1) - discs.radius
            assert off.min(axis=-1).max() <= 1e-9
        else:
            assert (np.linalg.norm(np.array([gap.across, gap.along]) - centre, axis=1) - discs.radius).min() > -0.002
    assert EXAMPLES or 8 < covered < 56
