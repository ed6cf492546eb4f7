"""What frees a piece: channels that a disc reaches everywhere, holes first, necks last."""

import math

import numpy as np
import pytest
import shapely

from pearlkerf.layout.channels import Channel
from pearlkerf.setups.piece_cuts import PieceCut, channel_mm, cuts_of, thinnest_at
from setups.stars import star

BY = PieceCut(cutter=3, diameter_mm=0.8, depth_mm=1.9)
FINE_MM2 = 0.002
DUMBBELL = shapely.union_all([shapely.box(-8, -0.5, 8, 0.5), shapely.box(-12, -4, -6, 4), shapely.box(6, -4, 12, 4)])


def rounded(area: shapely.Polygon, radius_mm: float = 0.4) -> shapely.Polygon:
    """Give an area whose outside a disc reaches everywhere, as a fit leaves it."""
    return area.buffer(radius_mm, quad_segs=64).buffer(-radius_mm, quad_segs=64)


@pytest.mark.parametrize("piece", [shapely.box(0, 0, 8, 5), rounded(star(5, 6.0)), rounded(DUMBBELL)])
def test_a_channel_leaves_the_piece_and_its_cutter_reaches_all_of_it(piece: shapely.Polygon) -> None:
    [channel] = cuts_of("wave 5", 4, piece, BY)
    assert isinstance(channel, Channel) and channel.identity == ("pieces", 4, "wave 5") and channel.cutter == 3
    assert channel.region.intersection(piece).area == pytest.approx(0, abs=1e-9)
    reached = channel.region.buffer(-0.4, quad_segs=64).buffer(0.4, quad_segs=64)
    assert channel.region.difference(reached.buffer(0.002)).area == pytest.approx(0, abs=1e-6)
    assert channel.floor_at_crown_mm == channel.deepest_mm == channel.shallowest_mm == -1.9
    assert channel.region.hausdorff_distance(piece) == pytest.approx(channel_mm(0.8), abs=0.002)


def test_holes_come_first_wide_ones_as_channels_that_keep_their_core() -> None:
    ring = shapely.Point(0, 0).buffer(9, quad_segs=64) - shapely.Point(0, 0).buffer(6, quad_segs=64)
    ring = ring - shapely.Point(7.5, 0).buffer(0.7, quad_segs=64)
    cuts = list(cuts_of("ring", 1, ring, BY))
    assert [type(each).__name__ for each in cuts] == ["Channel", "Pocket", "Channel"]
    assert [each.name for each in cuts] == ["ring hole 1", "ring hole 2", "ring"]
    assert cuts[0].region.area == pytest.approx(math.pi * (6**2 - 5.1**2), rel=0.001)
    assert cuts[1].region.area == pytest.approx(math.pi * 0.7**2, rel=0.001)
    tabbed = list(cuts_of("ring", 1, ring, PieceCut(3, 0.8, 1.9, holds_cores=False)))
    assert [type(each).__name__ for each in tabbed] == ["Pocket", "Pocket", "Channel"]
    assert tabbed[0].region.area == pytest.approx(math.pi * 6**2, rel=0.001)


def test_the_thinnest_neck_is_cut_last_and_a_tip_is_none() -> None:
    x, y = thinnest_at(DUMBBELL) or (math.nan, math.nan)
    assert abs(x) < 6 and abs(y) == pytest.approx(0.5)
    leaf = shapely.Polygon(np.column_stack([(t := np.linspace(0, 1, 60)) * 20, 3 * np.sin(math.pi * t)]).tolist()
                           + [(20 * s, -3 * math.sin(math.pi * s)) for s in np.linspace(1, 0, 60)[1:-1]])  # fmt: skip
    x, _ = thinnest_at(leaf) or (math.nan, math.nan)
    assert 2.5 < x < 17.5
