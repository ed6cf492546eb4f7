"""All examples on all profiles, proved once, as cases for damage: one for each setup; some of them with clamps."""

import sys
from functools import cache
from pathlib import Path

from oracle import Case

from pearlkerf.machine.reader import profile_names

sys.path.insert(0, str(Path(__file__).parents[1]))

from example_jobs import example_job, names

HELD = ", held"  # behind an example's name: with the clamps below
HOLDING = """
[[holding]]
name = "clamp at the nut"
x = [-70, -14]
y = [-14, 14]
above_wood = 4

[[holding]]
name = "stop at the front"
x = [90, 170]
y = [-95, -58]
above_wood = 3

[[holding]]
name = "stop at the back"
x = [90, 170]
y = [58, 95]
above_wood = 3

[[holding]]
name = "front jaw"
setup = "edge"
x = [0, 330]
y = [-60, -12]
above_wood = -3

[[holding]]
name = "back jaw"
setup = "edge"
x = [0, 330]
y = [12, 60]
above_wood = -3
"""
INLAID = ", inlaid"  # behind an example's name: with the inlays below
INLAYS = """
[[inlay]]
shape = "star"
frets = [2]
length = 9
width = 9
thickness = 1.3
detail = 2
pieces = "by hand"

[[inlay]]
shape = "diamond"
frets = [4]
length = 10
width = 6
thickness = 1.3
floor = "follow"
detail = 2
pieces = "by hand"

[[inlay]]
shape = "ring"
frets = [6]
length = 12
width = 12
thickness = 1.3
detail = 2
pieces = "by hand"

[[inlay]]
shape = "cat's eye"
frets = [8]
length = 10
width = 5
thickness = 1.3
detail = 2
pieces = "by hand"
"""
DRAWN_EXAMPLES = ("dunlin-initials", "tern-vine")
INLAID_EXAMPLES = ("heron-parlour-guitar", "lantern-classical", "harbour-steel-string")
HELD_EXAMPLES = ("gull-octave-mandolin", "lantern-classical", "skiff-tenor-guitar")


def names_with_held() -> list[tuple[str, str]]:
    """The same, and some of the examples held by clamps that their board file describes."""
    return names() + [(example + HELD, profile) for example in HELD_EXAMPLES for profile in profile_names()]


def names_inlaid() -> list[tuple[str, str]]:
    """The examples that have inlays, and some of the others with some."""
    boards = [*DRAWN_EXAMPLES, *(example + INLAID for example in INLAID_EXAMPLES)]
    return [(board, profile) for board in boards for profile in profile_names()]


@cache
def cases(example: str, profile: str) -> tuple[Case, ...]:
    """The setups of an example on a machine; none where the machine is too small, or its spindle too wide."""
    more = next((text for name, text in ((HELD, HOLDING), (INLAID, INLAYS)) if example.endswith(name)), "")
    made = example_job(example.removesuffix(HELD).removesuffix(INLAID), profile, more)
    if made is None:
        return ()
    job, programs = made
    return tuple(
        Case(f"{example}, {profile}, {setup.name}", setup, job.machine,
             [(program.file, program.text) for program in programs if f"-{setup.name}-" in program.file], (job.title,))
        for setup in job.clampings.setups
    )  # fmt: skip
