"""What is written beside the features of a setup on scrap, and where: coupons and calibration pieces."""

from pearlkerf.layout.features import Feature
from pearlkerf.layout.lines import Point
from pearlkerf.setups.model import Setup

# features that no label names: what is only there to be counted or measured between
UNNAMED = ("notch", "square")


def labels(setup: Setup) -> tuple[tuple[str, Point], ...]:
    """Give each named feature's label, the last word of its name, and its highest point on the machine, mm.

    "pocket 3, 6.000 mm" is labelled "3", "hole A" is labelled "A".
    """
    found = []
    for feature in setup.features:
        name = feature.name.partition(",")[0].split()
        if not name or name[0] in UNNAMED:
            continue
        found.append((name[-1], _top(feature, setup)))
    return tuple(found)


def _top(feature: Feature, setup: Setup) -> Point:
    x, y = max(setup.placement.to_machine(feature.ends).tolist(), key=lambda end: end[1])
    return x, y + feature.beyond_ends_mm
