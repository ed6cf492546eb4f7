"""What programs tell people of the machine: the cutter to put in, the speed to set, what to look after, in sentences.

All of them are made here; programs say them, and the proof looks for them in what it reads.
"""

from collections.abc import Mapping
from typing import Final

from pearlkerf.files.inches import in_unit, length_in
from pearlkerf.files.lengths import Unit
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Control, Cutter, Dialect

# which way a saw's teeth or its feed run, in the head and at the blade
_OF_OPERATOR: Final = {"away": "away from the operator", "toward": "toward the operator"}
_OF_YOU: Final = {"away": "away from you", "toward": "toward you"}

ZERO_IN: Final = "zero is set in G54"
ROUNDED: Final = "corners may be rounded by the controller"
# cautions: each in one line of a program, so that they are read
FIRST_IN_SCRAP: Final = "after the dry run, cut the first slot or hole in scrap"
SAFETY: Final = (
    "Dust harms the lungs, extract it and wear a mask made for it",
    "Guards closed, eyes and ears covered, no gloves, a hand on the stop",
    "Clamps clear of every move, jog above the highest of them first",
    "Spindle stopped and disconnected before cutters are changed by hand",
    "Local rules, machine manuals and licensed practice come first",
)
POINTING: Final = (
    "a pointing run, nothing is cut, the spindle stays off, disconnect it before the first start",
    "a pointed pin in the collet shows best, no thicker than the shank of the cutter, Z is zeroed with its point",
    "at each stop look whether the tip stands over its place, then start again",
    "if one place is wrong, cut nothing with these programs",
)

# heights of clamps that people are told a distance for, mm above the wood
CLAMP_HEIGHTS_MM: Final = (0, 5, 10, 20)

# ---- at stops
SPINDLE_STANDS: Final = "switch the spindle off and wait until it stands"
STAYS_OFF: Final = "leave the spindle off, nothing is cut"
ALL_SHOWN: Final = "every place was shown"


def named(cutter: Cutter, unit: Unit = "mm") -> str:
    """Name a cutter: "cutter 2, end mill 3.000 mm"."""
    return f"cutter {cutter.number}, {cutter.kind} {length_in(cutter.diameter_mm, unit)}"


def with_kerf(cutter: Cutter, unit: Unit = "mm") -> str:
    """Name a cutter with the kerf of a saw: "cutter 1, saw 63.000 mm, kerf 0.580 mm"."""
    return named(cutter, unit) + ("" if cutter.kerf_mm is None else f", kerf {length_in(cutter.kerf_mm, unit)}")


def turns(cutter: Cutter, figures: CuttingFigures, deepest_mm: float, unit: Unit = "mm") -> str:
    """Say of a cutter that cuts how it turns and feeds, and how deep its tip comes."""
    told = (
        f", {figures.speed_rpm:.0f} rpm, feed {figures.feed_mm_min:.0f}, plunge {figures.plunge_feed_mm_min:.0f} "
        f"mm/min, {figures.bite_mm:.3f} mm a pass, deepest {deepest_mm:.2f} mm below zero"
    )
    return with_kerf(cutter, unit) + in_unit(told, unit)


def does_not_turn(cutter: Cutter, tip_above_mm: float, unit: Unit = "mm") -> str:
    """Say of the cutter of a pointing run that it does not turn, and how high its tip stops."""
    above = in_unit(f"its tip stops {tip_above_mm:.2f} mm above the wood", unit)
    return f"{with_kerf(cutter, unit)}, does not turn, {above}"


def shown(place: str, tip_above_mm: float, unit: Unit = "mm") -> str:
    """Say at a stop of a pointing run which place the tip stands over, and how high."""
    return f"{place}, {in_unit(f'tip {tip_above_mm:.2f} mm above the wood', unit)}"


def named_cut(name: str, unit: Unit = "mm") -> str:
    """Name a cut before it is made: "fret 7, bass side first", or a piece's "pocket 3, 6.350 mm".

    What people call an inlay stands there too, and claims nothing.

    >>> named_cut("setup=face 3")
    'setup face 3'
    """
    return in_unit(name.replace("=", " "), unit)


def change_to(cutter: Cutter, unit: Unit = "mm") -> str:
    """Say at a stop which cutter comes next."""
    return f"change to {named(cutter, unit)} and zero Z again on the same spot"


def before_start(cutter: Cutter, set_rpm: str = "", control: Control = "hand") -> str:
    """Say at the stop before the spindle starts what people look after, and the speed where they set it.

    Nothing is said where there is neither.  A speed that a controller ignores may burst a blade.
    """
    words = [_of_blade(cutter)] if cutter.kind == "saw" else []
    starts = "hands away, the program starts it" if control == "dial" else "start it, let it run up"
    words += [f"set the spindle to {set_rpm} rpm, {starts}"] if set_rpm else []
    return ", ".join(words)


def _of_blade(cutter: Cutter) -> str:
    teeth = "" if cutter.lowest_teeth is None else f", its lowest teeth run {_OF_YOU[cutter.lowest_teeth]}"
    limit = "" if cutter.speed_limit_rpm is None else f", it bears {cutter.speed_limit_rpm:.0f} turns a minute at most"
    return f"the guard is over the blade{teeth}{limit}, stand out of its plane"


def of_saw(cutter: Cutter) -> tuple[str, str]:
    """Say in the head where a saw is zeroed, which way its teeth and its cuts run, and how fast it may turn."""
    limit, fed = cutter.speed_limit_rpm or 0.0, "away" if cutter.feeds_away else "toward"
    return (
        f"cutter {cutter.number} is a saw across the board, Z 0 is where its lowest point touches the top on the "
        "centre line, X 0 where the middle of its kerf stands over the nut end",
        f"{cutter.sawing} sawing, the lowest teeth run {_OF_OPERATOR[cutter.lowest_teeth or 'toward']}, "
        f"every cut feeds {_OF_OPERATOR[fed]}, never faster than {limit:.0f} rpm",
    )


def room_for_blade(beyond_mm: float, clamps_mm: Mapping[int, float], unit: Unit = "mm") -> str:
    """Say in the head how far a blade runs out, and how far clamps stay off the edge by their height above the wood."""
    higher = ", ".join(f"{far:.1f} mm where {height} mm higher" for height, far in clamps_mm.items() if height)
    return in_unit(
        f"the middle of the blade runs up to {beyond_mm:.1f} mm past each edge, clamps stay off the edge by "
        f"{clamps_mm[0]:.1f} mm where no higher than the wood, {higher}",
        unit,
    )


def under_arbor(above_mm: float, unit: Unit = "mm") -> str:
    """Say in the head how high what stands under a saw's arbor may be."""
    return in_unit(f"nothing under the arbor stands higher than {above_mm:.1f} mm above the wood", unit)


def of_path_control(dialect: Dialect) -> tuple[str, ...]:
    """Say that corners may be rounded, where nothing tells the controller to keep to the path."""
    return (ROUNDED,) if dialect.path_control == "none" else ()
