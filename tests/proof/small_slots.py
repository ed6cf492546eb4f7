"""Slots of the small board, cut layer by layer: in and out beside a crown, and plunged or ramped where they stop."""

from itertools import pairwise

from small_board import HALF_WIDTH, fall, number

BITE = 0.5


def in_and_out(x=20.0, radius=0.3, depth=-1.9, turn=7.5):
    """A through slot under a flat top: its floor is reached in the middle by four layers, toward its sides by six.

    Three times across; at the far side in along the fourth layer to ``turn`` from the middle less 2.5 radii, out along
    the fifth, and all across; at the near side in and out once more.
    """
    far, inner = HALF_WIDTH + radius + 0.5, turn - 2.5 * radius
    ways = [(-far, far, 1), (far, -far, 2), (-far, far, 3), (far, inner, 4), (inner, far, 5), (far, -far, 6)]
    lines = [f"G0 X{number(x)} Y{number(-far)}", "G0 Z0.5"]
    for start, end, layer in [*ways, (-far, -inner, 5), (-inner, -far, 6)]:
        for y in _between(start, end):
            deepest = 4 if layer == 6 and start == far and y < 0 else layer
            z = max(-BITE * deepest, depth - fall(max(abs(y) - radius, 0.0)))
            lines.append(f"G1 Y{number(y)} Z{number(z)} F{400.0 if y != start else 100.0}")
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def nearer(x=20.0, radius=0.3):
    """A through slot in four level layers that turn 0.25 mm off the wood, the last time at each end 0.5 mm off it."""
    near, far = HALF_WIDTH + radius + 0.25, HALF_WIDTH + radius + 0.5
    lines = [f"G0 X{number(x)} Y{number(-near)}", "G0 Z0.5"]
    for layer, end in enumerate((near, -near, far, -far), start=1):
        lines += [f"G1 Z{number(-BITE * layer)} F100.0", f"G1 Y{number(end)} F400.0"]
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def laps(x=20.0, radius=0.25, off=0.05, depth=-1.9):
    """The same slot by a narrower cutter: up along one wall and down along the other, layer by layer.

    Three laps; two of the near side alone, in the next lap two of the far side.  Each turns where its floor is met.
    """
    far, met = HALF_WIDTH + radius + 0.5, {4: 7.2, 5: 17.5}
    ways = [way for layer in (1, 2, 3) for way in ((-far, far, layer, layer), (far, -far, layer, layer))]
    ways += [way for layer in (4, 5) for way in ((-far, -met[layer], layer, layer), (-met[layer], -far, layer, layer))]
    ways += [(-far, far, 6, 4)]
    ways += [way for layer in (4, 5) for way in ((far, met[layer], 6, layer), (met[layer], far, 6, layer + 1))]
    lines = [f"G0 X{number(x + off)} Y{number(-far)}", "G0 Z0.5"]
    for start, end, near_layer, far_layer in [*ways, (far, -far, 6, 6)]:
        for y in _between(start, end):
            z = max(-BITE * (near_layer if y < 0 else far_layer), depth - fall(max(abs(y) - radius, 0.0)))
            lane = off if start < end else -off
            lines.append(f"G1 X{number(x + lane)} Y{number(y)} Z{number(z)} F{400.0 if y != start else 100.0}")
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def plunged(x=30.0, radius=0.3, ends=18.0, layers=3, ramp=0.0):
    """A stopped slot in whole layers: at its ends a little back, down, to the end again, and across."""
    low, high = -(ends - radius), ends - radius
    lines = [f"G0 X{number(x)} Y{number(low)}", "G0 Z0.5", f"G1 Z{number(-BITE)} F100.0", f"G1 Y{number(high)} F400.0"]
    for layer in range(2, layers + 1):
        end = high if layer % 2 == 0 else low
        way = -1 if end > 0 else 1
        place = end + way * 0.4 * radius
        lines += [f"G1 Y{number(place)}", f"G1 Y{number(place + way * ramp)} Z{number(-BITE * layer)} F100.0"]
        lines += [f"G1 Y{number(end)} F400.0", f"G1 Y{number(-end)}"]
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def _between(start, end):
    """Places from one to another, at whole millimetres between them."""
    low, high = sorted((start, end))
    inner = [place for place in range(-30, 31) if low < place < high]
    places = [low, *inner, high]
    assert all(after > before for before, after in pairwise(places))
    return places if start < end else places[::-1]
