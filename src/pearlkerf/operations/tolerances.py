"""Every tolerance and allowance of the makers, with its unit and reason."""

from typing import Final

# a cutter this near to a slot's width counts as equal to it: 0.01 mm a wall, half the fit step of fretwire
SLOT_CUTTER_MATCH_MM: Final = 0.02
# a mill wider than a slot by no more than this may do, if the slot is made as wide: a coupon tells
A_HAIR_MM: Final = 0.05
# a bit this near to a hole's diameter drills it: a wall then lies within half of the 0.01 mm that dots are held to
HOLE_CUTTER_MATCH_MM: Final = 0.01
# a boring cutter above this part of the hole's diameter leaves no room for chips (common practice, no source)
ROOMY_BORE: Final = 0.9
# the least orbit of a boring cutter: below it the path drowns in the least step of an inch program (0.0025 mm)
LEAST_ORBIT_MM: Final = 0.05
# wood that must stay below a drill's point, as below any pocket
WOOD_LEFT_MM: Final = 1.5
# the least feed that a program says in its last digit; no cutter crawls so on purpose
LEAST_FEED_MM_MIN: Final = 0.1
# limits compare with this much forgiveness for binary fractions
ROUNDING_MM: Final = 1e-6
# a difference between a slot's width and what its cutter makes that the maker should hear of
WORTH_A_WORD_MM: Final = 0.004
# a saw's blade begins and ends a pass this far clear of the wood
RUN_OUT_MM: Final = 1.0
# what turns beside a saw's blade stays this far above the wood: more than a board is out of flat
FLANGE_ABOVE_MM: Final = 0.5
# a slot whose ends lie this far apart along the board is straight across it for a saw: half of what a wall may be off
SAW_SLANT_MM: Final = 0.005
# every feature is approached from this far short of it in X and in Y, so that backlash lies on one side
APPROACH_MM: Final = 1.0
# a mill whose runout is so many times its chip is told of: one of its edges takes three chips, the other none
RUBS: Final = 2.0
# a blade goes down no more steeply than this, along a crown's floor: far more than any fingerboard's edge asks for
STEEPEST_SAWN_DEG: Final = 25.0
# the floor of a cone differs by so much at most from one wall of a kerf to the other; the proof allows 0.01 mm in all
SAW_CONE_MM: Final = 0.005
# the same for a mill, whose flat follows the higher wall: the middle is then shallower by half of it
MILL_CONE_MM: Final = 0.01
# the same where a slot slants under a crown, which falls from wall to wall: so much is taken, and told of
MILL_SLANT_MM: Final = 0.04
# neighbouring rings of a pocket lie so far apart, as a part of the cutter's radius: 0.4 of its diameter. Less than the
# radius, so that a ring cuts all that the next leaves
STEP_INWARD: Final = 0.8
# how much room a cutter wants in a pocket beyond its radius, as rings keep a hair from its walls, and how much farther
# than it comes counts as reached, mm: all of it less than the hundredth that may be left
UNREACHED_MM: Final = 0.004
# less than this is nothing left, mm2; chords of a quarter circle where pockets are tried
LEFT_MM2: Final = 1e-5
RING_QUARTER: Final = 128
# a wide cutter that goes first leaves out where its middle has no more room than such a part of its radius: it goes
# round no corner without turning
ROOMY: Final = 0.05
# and is not taken where so much of its radius, mm, decides whether it gets through
PINCH_MM: Final = 0.02
# what a change of cutters takes, s, and what a wider cutter must save in a pocket (common practice, no source)
CHANGE_S: Final = 90.0
WORTH_IT_S: Final = 5.0
