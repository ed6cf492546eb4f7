"""Every tolerance of the proof, with its unit and reason."""

from typing import Final

# what a cut may lie outside or below its feature, and what may be left inside it: a tenth of a shaving
CUT_MM: Final = 0.01
# what a cut may lie outside a pocket: an inlay's gap is a few hundredths wide, so that rounding to 0.0001 in and
# what arcs' chords add (ARC_SAGITTA_MM) must fit in, and a wandering of three thousandths must not
POCKET_WALL_MM: Final = 0.0028
# limits compare with this much forgiveness for binary fractions
ROUNDING_MM: Final = 1e-6
# arcs are followed along chords that stay this near to them; every bound is made stricter by as much
ARC_SAGITTA_MM: Final = 0.0005
# an arc of more chords than this has an absurd radius: its bounds then grow stricter instead
MOST_CHORDS: Final = 4096
# a program whose arcs have more chords than this would ask for more memory than a shop's computer has to spare:
# they are followed along fewer, and their bounds grow stricter instead
MOST_CHORDS_OF_ALL: Final = 1_500_000
# discs that stand for a sweep lie so close that the scallops between them are no deeper than this
SCALLOP_MM: Final = 0.0005
# a strip thinner than this, between two lines of a cover, is not divided further: it is left uncut
THINNEST_STRIP_MM: Final = 0.0005
# a cutter this near to a slot's width counts as equal to it: the slot demanded is then as wide as the cutter
SLOT_CUTTER_MATCH_MM: Final = 0.02
# a followed floor is compared at points no further apart than this; between them a bound is added
FLOOR_STEP_MM: Final = 0.5
# a through slot's strip runs on this far beyond the wood, where no other wood stands in it: through the air as far
# as the machine travels, which is for rule 4 to hold
BEYOND_WOOD_MM: Final = 1000.0
# a rapid goes down below the top only where the opening leaves this much round the cutter (0.5 mm on the diameter)
OPENING_MARGIN_MM: Final = 0.25
# through the air a cutter may lie so far beside the feature over which it goes: no clamp stands so near to a cut
AIR_ASIDE_MM: Final = 0.5
# beside the wood it goes no farther than this from where it, or a blade, is just clear of it: an overrun
RUN_OUT_MM: Final = 2.0
# a drill returns to its own hole within this distance
SAME_PLACE_MM: Final = 0.001
# a bite may be deeper than the cutter's by this: heights are rounded, floors are chords
DEEPER_BITE_MM: Final = 0.01
# what is wide above a cutter is held against a crowned top along ways of this length, each as if all as low as its end
REACH_STEP_MM: Final = 0.1
# points of the height map lie this part of the smallest cutter's radius apart: thinner strips do not count
MAP_PITCH: Final = 0.4
# along a slot, whose cutters run lengthwise, this part: wherever a cutter stands, it still covers a point well
SLOT_PITCH: Final = 1.5
# strips of wood thinner than this beside a wall do not count as a bite: a turn may just miss or meet them
WALL_STRIP_MM: Final = 0.02
# short cuts that the map takes as one straight stroke bend no more than this
STROKE_SAGITTA_MM: Final = 0.01
# nor do they turn at once by more than this
SHARP_RAD: Final = 0.5
# what a cutter removed within this part of its radius of way still counts as wood before it
LAG: Final = 0.25
# going down more steeply than this, by one move or by stairs, makes no way: its depth counts as one bite
RAMP_DEG: Final = 30.0
# a move that goes down more steeply than this into wood is a plunge (common practice, no source)
PLUNGE_DEG: Final = 10.0
# NISTIR 6556, section 3.5.3.2: an arc's radii at start and end agree within 0.002 mm, or 0.0002 in (0.00508 mm)
ARC_RADII_MM: Final = {"mm": 0.002, "in": 0.00508}
# least step of the coarsest program of each unit, 0.001 mm or 0.0001 in: what rounding may add to a distance
LEAST_STEP_MM: Final = {"mm": 0.001, "in": 0.00254}
# a cutter that turns in one place longer than this scorches the wood (common practice, no source)
LONGEST_DWELL_S: Final = 0.2
# part of the feed in the figures below which a cutter rubs and burns (common practice, no source)
LEAST_FEED: Final = 0.2
# what stays so near to a place is in one place
ONE_PLACE_MM: Final = 0.05
# and moves that have gone so many times as far within it go to and fro: a small turn at the floor goes ten times as far
TO_AND_FRO: Final = 15.0
# no way through the wood is gone more often than this: to and fro, in lanes a hair apart, and all of it once more
MOST_TIMES: Final = 12
# ways one above the other are two where they lie so far apart
SAME_DEPTH_MM: Final = 0.01
# going down at least so much on each mm of way bores, and does not rub: a third of the usual ramp of 3 degrees
LEAST_DESCENT: Final = 0.0175
# dwells compare within a millisecond: the standard's number is decimal
DWELL_ROUNDING_S: Final = 0.001
# speeds and feeds compare with this relative forgiveness, for conversion between units
RATE_ROUNDING: Final = 1e-6
# a feed may exceed its limit by what an inch program's last digit is worth (0.001 in/min)
FEED_STEP_MM_MIN: Final = 0.0254
# a slower spindle takes more at each turn: by at most this many times the figures', before a small cutter breaks
FEED_PER_TURN: Final = 1.05
# people are told a cutter's diameter to a thousandth of a millimetre
DIAMETER_TOLD_MM: Final = 0.0006
# how deep it goes, to a hundredth, and a step of the program's rounding
DEPTH_TOLD_MM: Final = 0.011
# the room that a saw's blade takes, to a tenth
ROOM_TOLD_MM: Final = 0.1
# how far a board is turned, to a ten-thousandth of a degree: 0.001 mm over its length
TURNED_TOLD_DEG: Final = 0.0001
# and a speed in whole turns, here rounded down, there to the nearest
SPEED_TOLD_RPM: Final = 1.0
# places across the board at which a saw's blade is held against wood and floor lie so near; bounds are added between
BLADE_STEP_MM: Final = 0.25
# what a measured diameter or width of a coupon may differ from the one stated: a fifth of the usual step of size
SIZE_MM: Final = 0.005
# a pointing run's tip stands this near to its place in plan: what a cut may lie off it
POINT_MM: Final = 0.01
# it never comes nearer to the wood than this: more than a blank is out of flat
LEAST_POINT_HEIGHT_MM: Final = 0.2
# its height is stated to a ten-thousandth of a millimetre
HEIGHT_TOLD_MM: Final = 0.0001
# nor does it stop this much higher than stated: no place is shown from far above
POINT_TOO_HIGH_MM: Final = 0.1
# a pointing run comes down at no more than this, mm/min: a hand on the stop is in time (common practice, no source)
POINTING_FEED_MM_MIN: Final = 200.0
# as high over the wood it stops where nothing else is asked, mm
POINTED_ABOVE_MM: Final = 1.0
# part by which the minutes that people are told of a dry run may differ: it may come from the other side
DRY_RUN_TOLD: Final = 0.25
# and whole minutes, one at least
MINUTES_ROUNDED: Final = 1.0
# a piece beside its drawn line, and its gap beside the one asked for: two walls, each within what a ring keeps from
# them, rounding to 0.0001 in, and a hair
FIT_MM: Final = 0.01
# places along an edge at which it is compared; between two of them a gap that bends is off by less than 0.001 mm
FIT_STEP_MM: Final = 0.05
# where a piece ends in a tip between two others, or one and the wall, the gaps beside it become one: so much more than
# two gaps may be there, in so many millimetres of the tip
TIPS_MM: Final = 0.02
TIPS_NEAR_MM: Final = 3.0
# the round edges of what is swept lie so far inside it at most
SWEPT_MM: Final = 0.0002
