"""What harm is, in figures."""

HARM = 0.02  # mm beyond a wall, below a floor, left uncut, of wood under a rapid
SAFE = 0.008  # mm: the proof allows 0.01, and is stricter by its own bounds
LIFTED = 1.0  # mm above the wood: less is not up
ROUNDING = 1e-6  # mm of binary fractions
SLOW = 0.2  # of the profile's feed: what goes slower rubs and scorches
MOMENT = 1.0  # s of rubbing in wood that burn it; from memory: thin cutters in ebony smoke within a second or two
STAND, STANDS = 0.2, 0.25  # s in one place: the most that does nothing, and what scorches
SKIN = 0.02  # mm: who stands no deeper in the wood only touches it
PLACE = 0.05  # mm about a point that are one place to a turning cutter


class Harm(Exception):
    """The program does harm."""
