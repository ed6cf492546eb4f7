"""The groups of features: what makers and programs call them, where they are cut, by which drills, how they are tried.

A group is a row of GROUPS, and nothing else: whoever must know something of one looks here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from pearlkerf.machine.model import CutterKind

# a twist drill's conical floor cannot seat a dot of the face; a brad point's lips leave it flat
FLAT_FLOORS: Final[tuple[CutterKind, ...]] = ("end mill", "brad point")
ANY_FLOORS: Final[tuple[CutterKind, ...]] = (*FLAT_FLOORS, "twist drill")


@dataclass(frozen=True, slots=True)
class Trying:
    """How a fit coupon tries a group: what one of them is called there, and how people try it, in sentences."""

    noun: str
    how: str
    key: str = "fit"  # what is written into the board file


@dataclass(frozen=True, slots=True)
class Group:
    """One group of features.

    ``size_key`` is where a file says its width or diameter; ``drills`` are the kinds of cutters that may
    go straight down in it, the best first, none of a group of slots.
    """

    name: str  # of many, as programs claim them and `--only` takes them
    one: str  # of one
    setup: str  # the setup's kind in which it is cut; "" on scrap alone
    size_key: str
    drills: tuple[CutterKind, ...] = ()
    holds_wire: bool = False
    trying: Trying | None = None  # None: a fit coupon does not try it
    in_turn: bool = False  # cut in the order in which it is laid out, each by its one cutter
    also: tuple[str, ...] = ()  # what else `--only` takes for it

    @property
    def words(self) -> tuple[str, ...]:
        """All that people may call it."""
        return self.name, self.one, *self.also

    @property
    def table(self) -> str:
        """The table of the file that asks for it: "face_dots" of "face_dots.diameter"."""
        return self.size_key.partition(".")[0]


INLAYS: Final = "inlays"
# in the order in which they are told and tried: dots come before slots
_ROWS: Final = (
    Group(
        "face dots", "face dot", "face", "face_dots.diameter", FLAT_FLOORS,
        trying=Trying("pocket", "Try dots of shell from the smallest pocket up. The first that a dot enters by the "
                      "thumb alone and sinks into to the floor is the one; glue wants no more room."),
    ),
    Group(
        INLAYS, "inlay", "face", "inlay",
        trying=Trying("inlay pocket", "Try the piece in the pockets from the smallest gap up. The first that it enters "
                      "by the fingers alone and sinks into to the floor is the one; glue wants no more room.", "gap"),
    ),
    Group(
        "frets", "fret", "face", "fret_slots.width", holds_wire=True,
        trying=Trying("slot", "Press or tap in a piece of fretwire as you will on the board. The tang goes in without "
                      "spreading the wood, its barbs hold, and the crown seats along the whole slot."),
    ),
    Group("trims", "trim", "face", "blank.trim_width"),
    Group(
        "side dots", "side dot", "edge", "side_dots.diameter", ANY_FLOORS,
        trying=Trying("side hole", "Push in the rod from the smallest hole up: the first that takes it by the fingers "
                      "alone, to the floor, is the one."),
    ),
    Group(
        "treble side dots", "treble side dot", "treble", "side_dots.diameter", ANY_FLOORS,
        trying=Trying("side hole", "Push in the rod from the smallest hole up: the first that takes it by the fingers "
                      "alone, to the floor, is the one."),
    ),
    Group("pieces", "piece", "pieces", "inlay_blank", in_turn=True),
    Group("marks", "mark", "", "cutter", ANY_FLOORS),
    Group("guide holes", "guide hole", "strip", "side_dots.diameter", ANY_FLOORS),
    Group("dowels", "dowel hole", "carrier", "carrier.dowel", ANY_FLOORS, also=("dowel holes",)),
)  # fmt: skip

GROUPS: Final[Mapping[str, Group]] = MappingProxyType({row.name: row for row in _ROWS})
TRIED: Final = tuple(row.name for row in _ROWS if row.trying is not None)
# what people call groups, and which they then mean
NAMED: Final[Mapping[str, str]] = MappingProxyType({word: row.name for row in _ROWS for word in row.words})


def trying(group: str) -> Trying:
    """Give how a coupon tries a group; raises KeyError for a group that none tries."""
    found = GROUPS[group].trying
    if found is None:
        raise KeyError(group)
    return found
