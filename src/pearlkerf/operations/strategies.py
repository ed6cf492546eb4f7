"""How a cutter may take a feature: each strategy once, with what is to be known of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from pearlkerf.operations.model import Strategy
from pearlkerf.operations.tolerances import HOLE_CUTTER_MATCH_MM, SLOT_CUTTER_MATCH_MM


@dataclass(frozen=True, slots=True)
class Taking:
    """Why a strategy is taken, said of the cutter; whether the cutter then makes its own width and no other.

    Otherwise its path runs off the middle, and can allow for the cutter's width.  What it cuts may have no width
    that one could say (``tells_width``).
    """

    why: str
    own_width: bool
    tells_width: bool = True


STRATEGIES: Final[Mapping[Strategy, Taking]] = MappingProxyType(
    {
        "plunge": Taking(
            f"it has their diameter, within {HOLE_CUTTER_MATCH_MM} mm, and goes straight down", own_width=True
        ),
        "spotted plunge": Taking(
            "it has their diameter, its point goes in a little first, slowly, as this wood leads it astray",
            own_width=True,
        ),
        "bore": Taking("a helix inside the wall, as no cutter has their diameter", own_width=False),
        "full width": Taking(f"it is as wide as they are, within {SLOT_CUTTER_MATCH_MM} mm", own_width=True),
        "side passes": Taking(
            "wall by wall, as none is as wide as they are and it is the widest that goes in", own_width=False
        ),
        "sawn": Taking(
            f"its kerf is as wide as they are, within {SLOT_CUTTER_MATCH_MM} mm, and they go through both edges",
            own_width=True,
        ),
        "ring by ring": Taking("in rings from their midst to their walls", own_width=False, tells_width=False),
        "where there is room": Taking(
            "in rings, where it has room: wider than what follows it there", own_width=False, tells_width=False
        ),
        "what is left": Taking(
            "where a wider one has not come, from what that has cleared", own_width=False, tells_width=False
        ),
        "round it": Taking(
            "round each piece, along its waste first, along the piece last", own_width=False, tells_width=False
        ),
    }
)
