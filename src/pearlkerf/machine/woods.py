"""Woods by how they take a small cutter.  All of it from memory (common practice, no source).

Three classes: "dense" (ebony and its like: hard, dulls cutters, burns), "hard" (maple, walnut), and
"banded" (wenge: as hard as dense, with soft bands that lead a point astray).
"""

from typing import Final, Literal

WoodClass = Literal["dense", "hard", "banded"]

WOODS: Final[dict[str, WoodClass]] = {
    "ebony": "dense",
    "rosewood": "dense",
    "cocobolo": "dense",
    "blackwood": "dense",
    "grenadilla": "dense",
    "pau ferro": "dense",
    "padauk": "dense",
    "bubinga": "dense",
    "ziricote": "dense",
    "katalox": "dense",
    "snakewood": "dense",
    "ipe": "dense",
    "wenge": "banded",
    "zebrano": "banded",
    "zebrawood": "banded",
    "oak": "banded",
    "ash": "banded",
    "maple": "hard",
    "walnut": "hard",
    "beech": "hard",
    "pear": "hard",
    "cherry": "hard",
    "mahogany": "hard",
    "birch": "hard",
    "boxwood": "hard",
}


def wood_class(wood: str) -> WoodClass | None:
    """Give the class of a wood by name, in any case and with words before or after it; None if unknown.

    >>> wood_class("Macassar Ebony"), wood_class("flamed maple (torrefied)"), wood_class("plywood")
    ('dense', 'hard', None)
    """
    words = " ".join("".join(sign if sign.isalpha() else " " for sign in wood.lower()).split())
    padded = f" {words} "
    return next((of for name, of in WOODS.items() if f" {name} " in padded), None)
