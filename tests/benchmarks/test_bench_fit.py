"""Ten outlines, three pairs of cutters, two gaps: every piece goes into its pocket, as the bytes of both have it.

By the proof's rule, and by plain distances that share nothing with it; prints the least and the greatest room of each.

Run: pytest tests/benchmarks/test_bench_fit.py --benchmark-enable -s     (minutes)
"""

from itertools import product

import pytest

from grid_of_pieces import Asked, by_plain_distances, by_the_rule

WITHIN_MM = 0.01
PAIRS = ((1, 1), (3, 1), (1, 3))
HELD = ("tape", "skin")


@pytest.mark.parametrize(("pair", "gap"), list(product(PAIRS, (0.05, 0.1))))
@pytest.mark.parametrize(("profile", "corners"), [
    ("benchtop-arcs", "rounded"), ("benchtop-arcs", "by hand"), ("compact-chords", "rounded"),
    ("benchtop-inch-hand", "rounded"),
])  # fmt: skip
def test_every_piece_goes_into_its_pocket(profile: str, corners: str, pair: tuple[int, int], gap: float) -> None:
    asked = Asked(profile, pair, gap, HELD[corners == "by hand"], corners)
    assert by_the_rule(asked) == ()
    found = by_plain_distances(asked)
    assert {name.partition("/")[0] for name in found} == set(asked.names)
    print(f"\n{profile}, cutters {pair}, gap {gap}, {asked.hold}, corners {corners}:")
    for name, fit in found.items():
        print(f"  {name:10} {fit.least_mm:.4f} to {fit.most_mm:.4f}")
        assert gap - WITHIN_MM <= fit.least_mm <= fit.most_mm <= gap + WITHIN_MM
