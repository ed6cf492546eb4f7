"""Every tolerance and distance of the toolpath, with its unit and reason."""

import math
from typing import Final

# chords of a followed floor stay this near to it; the proof allows 0.01 mm in all
FLOOR_CHORD_MM: Final = 0.0035
# passes above the floor run along chords that hang this far below an even share at most: a shaving that the next lacks
ROUGH_CHORD_MM: Final = 0.05
# through slots run past the wood by the cutter's radius and this much
OVERRUN_MM: Final = 0.5
# where they leave it aslant, they run on until the whole cutter is so far off the wood; so far off it turns before the
# last stroke
LEAST_OVERRUN_MM: Final = 0.25
# feeds begin and rapids end this far above the wood: more than a board is out of flat
ABOVE_MM: Final = 0.5
# a boring helix starts this far above the wood, so that its first turn meets the wood gradually
HELIX_START_MM: Final = 0.1
# steepest helix and ramp (common practice, no source: flat centre-cutting mills take 3 degrees in hard woods)
STEEPEST_DEG: Final = 3.0
# a stroke turns in the wood so many radii beyond where it has met the floor, before the next goes below it: by then
# the whole tip, and what the proof counts as not yet cut behind it, has come away from where that is deeper
TURN_WITHIN: Final = 2.5
# from a stopped slot's end a tip goes back so many radii before it goes down: where it stands, nothing is freshly cut
BACK_WITHIN: Final = 0.4
# neighbouring side passes and boring rings overlap: step over at most this part of the cutter's diameter
STEP_OVER: Final = 0.8
# a bit that may wander starts with so much of its point's length, at so much of its feed, never less than this depth
SPOT_SHARE: Final = 0.5
SPOT_FEED: Final = 0.5
LEAST_SPOT_MM: Final = 0.2
# how long a drill dwells at the floor: two turns, and never more than a scorching 0.2 s
DWELL_TURNS: Final = 2.0
LONGEST_DWELL_S: Final = 0.2
# an arc of a helix: a third of a turn, never more than 120 degrees
ARCS_PER_TURN: Final = 3
# chords of stopped slots' end loops
LOOP_CHORD_MM: Final = 0.002
# positions leave so much of the travel: both ends are rounded, by half of 0.0001 in, and the proof adds to arcs
POSITIONS_ROOM_MM: Final = 0.01
# no tip goes so far beyond its feature's own width along X: the approach, and how it leaves the wood
QUITE_ENOUGH_ROOM_MM: Final = 5.0
# a shank stays so far above a crowned top: more than the proof's steps along it add
CLEAR_OF_CROWN_MM: Final = 0.05
# a crowned top is compared at places of the tip so near that it rises less than 0.0001 mm between them
CROWN_STEP_MM: Final = 0.25
# limits compare with this much forgiveness for binary fractions
ROUNDING_MM: Final = 1e-6
# whole numbers of passes, steps, turns and arcs forgive binary fractions by so much of one
WHOLE_ROUNDING: Final = 1e-6
# the ring along the wall keeps its radius and this much more, mm: so that rounding to 0.001 mm never digs
WALL_LEAST_MM: Final = 0.0008
WALL_MOST_MM: Final = 0.0042
WALL_MIDDLE_MM: Final = (WALL_LEAST_MM + WALL_MOST_MM) / 2
# what is left of that band for making chords longer, mm; and for arcs, whose centres are rounded as well as their ends
LONGER_CHORD_MM: Final = 0.0014
LONGER_ARC_MM: Final = 0.0008
# chords are halved until they lie so near to the band's middle, at these shares of their length, mm
HALVED_CHORD_MM: Final = 0.0002
MOST_HALVINGS: Final = 24
# and no more where both halves together are so many times as long as the whole
MOST_ABOUT: Final = 1.5
LOOKED_AT: Final = (0.25, 0.5, 0.75)
# across the end of a place that is only a hair wider than the cutter a ring goes on this far at most, mm: as much as
# straightening before an erosion takes off such an end
MOST_AHEAD_MM: Final = 0.03
# a chord that comes too near a corner of the wall between these is halved so often at most
MOST_MENDED: Final = 8
# a point in a corner comes to both its walls by being put to one and the other
MOST_PUTS: Final = 40
PUT_MM: Final = 1e-5
# the first steps of an erosion, as shares of it: one step of a rough wall would cross itself everywhere
GRADED_STEPS: Final = (0.04, 0.26, 0.7)
# walls and rings are straightened before they are eroded farther, by this share of the erosion and at most so much, mm
STRAIGHT_SHARE: Final = 0.025
MOST_STRAIGHT_MM: Final = 0.01
# chords of a quarter circle: no wall is kept by them
RING_QUARTER: Final = 8
# less than this is no ring, mm2
NO_RING_MM2: Final = 1e-6
# arcs along a ring: none of a smaller radius, whose centre drowns in rounding, none nearly straight, none of more
# than a third of a turn, and what is between two points, so that a round takes three
LEAST_ARC_MM: Final = 0.05
MOST_ARC_MM: Final = 500.0
MOST_ARC_RAD: Final = math.radians(126.0)
# corners of all rings but the wall's are rounded by such a part of the cutter's radius. With a stepover that is less
# than the radius, so that the ring about it cuts what a rounded one leaves
ROUNDED: Final = 0.15
# all rings but the wall's are drawn so near to where they should run, mm, and nearer for thin cutters: such a part of
# the radius
CLEARING_WITHIN_MM: Final = 0.01
CLEARING_SHARE: Final = 0.02
# a helix is so wide, as a part of the cutter's radius, so that no post stays in its midst; a narrower one than the
# second part has no room for chips: the cutter goes down along a ring instead
HELIX_SHARE: Final = 0.8
LEAST_HELIX: Final = 0.3
# the midst of a part is found to such a part of the radius
MIDDLE_SHARE: Final = 0.05
# a ring of no more corners than these is begun at one, if that lies little farther than its nearest place: by such a
# part of the radius
FEW_CORNERS: Final = 12
NEAR_CORNER: Final = 0.35
# so many steps before it is closed a ring is left for the one outside it
SLANT: Final = 2.0
# and only where a ring inside it has gone beside all that is left out, so near, as a part of the cutter's radius: a
# stepover, and what its rounded corners add; else what that ring's missing ends leave would stay
BESIDE_WHAT_IS_LEFT: Final = 0.95
# rings so many steps from each other at most lie beside each other
BESIDE: Final = 1.5
# a corner turns by more than 20 degrees, or is where a straight line ends, so many times as long as what follows
SHARP_COS: Final = math.cos(math.radians(20.0))
UNLIKE_LENGTHS: Final = 8.0
# where a wider cutter has been, a finishing one begins and ends so far from the wood that is left, mm
CLEAR_OF_LEFT_MM: Final = 0.1
# a ring runs along a wall where it is nowhere farther off it than its cutter's radius and this much, mm
ALONG_WALL_MM: Final = 0.02
