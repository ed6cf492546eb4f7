"""What a blank that is bowed on the machine does to slots and dots, in a board's own figures.

zero __________________________________ Z 0      where wood stands high, all is cut too deep below its top,
     ‾‾‾‾--....______....--‾‾‾‾                   where it lies low too shallow: Z is zeroed in one place alone
"""

from collections.abc import Iterator
from typing import Final

from pearlkerf.files.lengths import as_written
from pearlkerf.layout.model import Layout

# a bow that a straightedge shows at once, and a clamp at each end does not press out (common practice, no source)
BOW_MM: Final = 0.3


def bowed(layout: Layout) -> tuple[str, ...]:
    """Say what a bow of BOW_MM does to this board's slots and dots, low places first; nothing where it has neither.

    Nothing either of a board that is radiused before: there the crown line is what lies level.
    """
    if layout.board.state == "radiused":
        return ()
    low, high = list(_low(layout)), list(_high(layout))
    if not low:
        return ()
    return (
        f"where the blank lies {BOW_MM:.1f} mm lower than where Z is zeroed, {' and '.join(low)}",
        f"where it stands {BOW_MM:.1f} mm higher, {' and '.join(high)}",
    )


def _low(layout: Layout) -> Iterator[str]:
    slots, dots = layout.board.fret_slots, layout.board.face_dots
    if slots is not None and layout.slots and slots.state == "to cut":
        seats = "" if slots.tang_depth_mm is None or slots.depth_mm - BOW_MM >= slots.tang_depth_mm else (
            f", too shallow for a tang of {as_written(slots.tang_depth_mm)}")  # fmt: skip
        yield f"slots end {slots.depth_mm - BOW_MM:.2f} mm deep in place of {as_written(slots.depth_mm)}{seats}"
    if dots is not None and layout.face_dots:
        stand = dots.proud_mm + BOW_MM
        left = dots.thinnest_mm - stand
        proud = f"{stand:.2f} mm proud in place of {as_written(dots.proud_mm)}"
        levelled = f"levelled they are {left:.2f} mm thick" if left > 0 else "levelled nothing is left of them"
        yield f"dots stand {proud}, {levelled}"


def _high(layout: Layout) -> Iterator[str]:
    slots, dots = layout.board.fret_slots, layout.board.face_dots
    if slots is not None and layout.slots and slots.state == "to cut":
        left = [row.wood_left_mm for row in layout.fret_rows if row.wood_left_mm is not None]
        yield f"slots leave {min(left) - BOW_MM:.2f} mm of wood below them in place of {min(left):.2f} mm"
    if dots is not None and layout.face_dots:
        by = dots.proud_mm - BOW_MM
        where = f"{-by:.2f} mm below the finished face, hollows to be filled" if by < 0 else f"{by:.2f} mm proud alone"
        yield f"dots end {where}"
