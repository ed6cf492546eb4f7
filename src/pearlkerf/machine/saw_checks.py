"""Whether what a profile says of a saw goes together.

   arbor lies along X             B blade, F the widest thing beside it
 _____ | | _____
|  F  || B ||   |                 reach <= (B - F) / 2: below that the flange
|_____|| | ||___|                 would ride on the wood
       | |
       |_|  <- kerf
"""

from collections.abc import Iterator

from pearlkerf.errors import Problem
from pearlkerf.machine.tables import CutterTable

# limits compare with this much forgiveness for binary fractions
ROUNDING_MM = 1e-6


def check_saw(key: str, cutter: CutterTable) -> Iterator[Problem]:
    """Give what is wrong with a saw, or with a saw's keys on another cutter; ``key`` is the cutter's."""
    if cutter.kind != "saw":
        yield from _keys_of_a_saw(key, cutter)
        return
    if cutter.speed_limit is None:
        yield Problem(
            "a saw needs its speed limit, it is marked on the blade", "speed_limit = … rpm", "", f"{key}.speed_limit"
        )
    if cutter.kerf is not None:
        yield from _what_cutting_needs(key, cutter)
    yield from _room_beside_the_blade(key, cutter)


def _keys_of_a_saw(key: str, cutter: CutterTable) -> Iterator[Problem]:
    for name in ("kerf", "flange", "arbor", "lowest_teeth"):
        if getattr(cutter, name) is not None:
            hint = f'leave {name} out, or write kind = "saw"'
            yield Problem(f"{name} belongs to a saw, this is of kind {cutter.kind}", "", hint, f"{key}.{name}")


def _what_cutting_needs(key: str, cutter: CutterTable) -> Iterator[Problem]:
    if cutter.flange is None:
        hint = "measure the flanges or nut that clamp the blade"
        yield Problem("a saw that is to cut needs its flange's diameter: the flange must stay above the wood",
                      "flange = … mm", hint, f"{key}.flange")  # fmt: skip
    if cutter.lowest_teeth is None:
        hint = "turn the blade by hand as the spindle turns it, and look which way its lowest teeth go"
        yield Problem("a saw that is to cut needs the way that its lowest teeth run: it decides which way to feed",
                      '"away" (from the operator) or "toward"', hint, f"{key}.lowest_teeth")  # fmt: skip


def _room_beside_the_blade(key: str, cutter: CutterTable) -> Iterator[Problem]:
    for name in ("flange", "arbor"):
        wide = getattr(cutter, name)
        if wide is None:
            continue
        most = (cutter.diameter - wide) / 2
        if most <= 0:
            yield Problem(f"a {name} of {wide:g} mm is as wide as the blade", f"less than {cutter.diameter:g} mm",
                          "measure it across", f"{key}.{name}")  # fmt: skip
        elif cutter.reach > most + ROUNDING_MM:
            found = f"the {name} leaves {most:g} mm of the blade below it, the reach is {cutter.reach:g} mm"
            yield Problem(found, f"at most {most:g} mm", f"write reach = {most:g} or less", f"{key}.reach")
