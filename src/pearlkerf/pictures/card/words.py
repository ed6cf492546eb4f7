"""The job card's standing words: boxes to tick, notes on gluing and levelling, cautions."""

from typing import Final

PRECEDENCE: Final = (
    "These are reminders, not advice for your workplace. Local law, the machine's manual, the data sheets of glue "
    "and material, and qualified professionals take precedence."
)

# what is done before every start (common practice, no source)
CLEAR: Final = (
    "Clamps, screws and fence clear of every path, traverses jogged above the highest of them. Dust extraction on. "
    "Eyes, ears and lungs protected; hands and sleeves outside the guarded area."
)
RADIUSED: Final = "The face is crowned: Z zeroed on the crown line, the crown line level within 0.1 mm."
PIN: Final = (
    "A pointed pin in the collet, no thicker than the cutter's shank. The spindle stays off: disconnect it before the "
    "first start. Z zeroed with its point where Z0 is told."
)
AT_STOPS: Final = "at each look whether the tip stands over its place. If one is wrong, cut nothing."
ZERO_HIGH: Final = "Set the zero of Z 20 mm higher, or as far as the travel goes."
ZERO_BACK: Final = "Set Z zero back: touch it off once more, on the same spot."
TOUCH_OFF: Final = "In the collet, the spindle disconnected while hands are there. Z zeroed with it where Z0 is told."
TOUCH_OFF_THIN: Final = (
    "It breaks at a touch: spindle still, down by 0.01 mm at a time onto a slip of thin paper until it just drags, "
    "then Z is the paper's thickness. Never a plate or a probe that it runs into."
)
WATCH_SCRAP: Final = "A hand on the stop for the first cut."
WATCH_PIECES: Final = "A hand on the stop for the first piece."
WATCH: Final = "A hand on the stop for the first slot or hole, which was tried in scrap."
NO_JOG: Final = (
    'Many small controllers cannot jog while a program stops (M0). Where yours cannot, say cutter_change = "file" in '
    "the profile and make the programs anew: one for each cutter."
)


def in_the_air(file: str) -> str:
    """Say how a program is looked at in the air."""
    return f"Run {file}, a hand on the stop: watch its first places, then stop it. It cuts nothing so high."


def pointing_run(stops: int, minutes: int) -> str:
    """Say what shows every place in less time."""
    return f"Surer: a pointing run, made with --pointing. It shows all {stops} places, spindle off, in {minutes} min."


def at_the_stop(cutter: str) -> str:
    """Say what is done where a program stops for another cutter."""
    return f"At the stop: {cutter} in the collet, Z zeroed with it on the same spot, then start again."


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
