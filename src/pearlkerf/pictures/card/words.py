"""The job card's standing words: boxes to tick, notes on gluing and levelling, cautions."""

from typing import Final

PRECEDENCE: Final = (
    "These are reminders, not advice for your workplace. Local law, the machine's manual, the data sheets of glue "
    "and material, and qualified professionals take precedence."
)

BEFORE_FACE: Final = (
    "Blank flat: five touched points (corners and middle) agree within 0.1 mm.",
    "Nut end at the left, playing face up, centre line along X.",
)
BEFORE_EDGE: Final = (
    "Bass edge up; packed level: the first and the last dot's places touch off within 0.1 mm.",
    "Held square and firm over its whole length, against a fence.",
)
BEFORE_EVERY: Final = (
    "Right program, right cutter, Z zeroed with this cutter.",
    "Clamps, screws and fence clear of every path; traverses jogged above the highest of them.",
    "Run once with the spindle off, zero set high above the work: the tip stops over the right places.",
    "Dust extraction on. Eyes, ears and lungs protected; hands and sleeves outside the guarded area.",
)
BEFORE_RADIUSED: Final = "The face is crowned: Z zeroed on the crown line, the crown line level within 0.1 mm."

GLUING: Final = (
    "Try a dot and a piece of fretwire in the coupon first; the size that fits goes into the board file.",
    "Blow out and vacuum every pocket. Dry fit: each dot must reach the floor and lie as far down as the table says.",
    "Small dots are easier to place in order on a strip of clear tape, tacky side up; lift them one by one.",
    "Thin cyanoacrylate wicks into a gap by itself, a drop at the rim is enough. It also runs along slots and into "
    "pale end grain: seal such wood first, and use gel or epoxy where the gap is wider than about 0.1 mm.",
    "Side dots: push the rod home, let the glue set, trim close, then level with the edge.",
    "Let the glue harden before levelling. Level and radius with a block until the dots are flush everywhere, and no "
    "further than the allowance that the depths were computed with.",
)

CAUTIONS: Final = (
    (
        "Wood dust",
        "is classed as carcinogenic to humans (IARC vol. 100C). Limits differ by country and change; many bodies "
        "recommend about 1 mg/m³ or as low as practicable. Rosewood, ebony and others can sensitise: stop and seek "
        "medical advice if you cough, wheeze or get a rash.",
    ),
    (
        "Shell dust",
        "has made the lungs of sawyers ill (Eur Respir J 1997;10:780-786). Cut and sand shell wet, or with extraction "
        "at the source, and wear suitable respiratory protection. Its chips are sharp: brush, never wipe by hand.",
    ),
    (
        "Celluloid",
        "catches fire easily and burns fiercely with poisonous smoke: sharp cutters, no long dwell, chips cleared at "
        "once, no flame, spark or heat near it; store and discard it as its data sheet says.",
    ),
    (
        "Machine",
        "Keep hands outside the guarded area whenever the spindle or the axes can move. Disconnect it before changing "
        "a cutter by hand. Know where the stop is; never leave it running alone.",
    ),
    (
        "Cutters",
        "Small cutters break and fly: keep the guard closed and your eyes protected. Never exceed the speed marked "
        "on a saw.",
    ),
    (
        "Cyanoacrylate",
        "bonds skin and eyes within seconds; ventilate. Heat from sanding or cutting cured glue gives irritating "
        "fumes.",
    ),
    (
        "Protected species",
        "Some rosewoods, ebonies and shells are listed by CITES. Check the current appendices with your authority "
        "before you buy or ship.",
    ),
)
