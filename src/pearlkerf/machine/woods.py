"""Woods by how they take a small cutter: hardness, whether the grain leads a point astray, what their dust does.

Hardness is Janka side hardness in newtons, from memory; sheets of one wood differ by a tenth and more.
Three classes decide the chip: "dense" (ebony and its like: hard, dulls cutters, burns), "hard" (maple,
walnut), and "banded" (wenge, oak: hard, with softer bands).  Three kinds of grain decide what a
drill's point does: "even" holds it, in "coarse" (wide vessels) and "banded" wood it slides to the
softer side.  What has a source says so; all else is from memory (common practice, no source).
"""

from dataclasses import dataclass
from typing import Final, Literal

WoodClass = Literal["dense", "hard", "banded"]
Grain = Literal["even", "coarse", "banded"]


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood: its class, hardness in newtons, its grain, what its dust does (a sentence, or nothing), and sources."""

    name: str
    of: WoodClass
    hardness_n: int
    grain: Grain
    dust: str = ""
    source: str = "from memory"

    @property
    def leads_astray(self) -> bool:
        """Say whether the grain leads a drill's point away from where it was set."""
        return self.grain != "even"


# UK Parliament, written answers of 2 August 1978, "Furniture-making (wood dust)", names these woods among the harmful
NAMED: Final = "its dust is named among the harmful ones (UK Parliament, written answers, 2 August 1978)"
# HSE, information sheet WIS30: once sensitised, tiny amounts may set off a reaction
SENSITISES: Final = f"{NAMED}; once sensitised, tiny amounts set off a reaction (HSE, WIS30)"
ROSEWOODS: Final = (
    "rosewood is the name of many species, and of their dusts it is said: once sensitised, tiny amounts set off a "
    "reaction (HSE, WIS30)"
)
# ITTO species sheets: wenge has vessels of 200 micrometres and more, few, and thick bands of soft parenchyma; ebony
# (Diospyros crassiflora) 100 to 150 micrometres, more, and no bands
ANATOMY: Final = "grain from the ITTO species sheets; hardness from memory"
# oak and ash have their wide vessels in one band of every ring (Record, "The Mechanical Properties of Wood", 1914)
RINGS: Final = "grain from Record, The Mechanical Properties of Wood; hardness from memory"
SPLINTERS: Final = "its dust irritates and sensitises, its splinters fester (from memory)"
IRRITATES: Final = "its dust irritates skin and airways (from memory)"

_TABLE: Final = (
    Wood("ebony", "dense", 13700, "even", SENSITISES, ANATOMY),
    Wood("rosewood", "dense", 10900, "even", ROSEWOODS),
    Wood("cocobolo", "dense", 13100, "even", SENSITISES),
    Wood("blackwood", "dense", 16300, "even", SENSITISES),
    Wood("grenadilla", "dense", 16300, "even", SENSITISES),
    Wood("pau ferro", "dense", 8700, "even", IRRITATES),
    Wood("padauk", "dense", 8800, "coarse", IRRITATES),
    Wood("bubinga", "dense", 10700, "even", IRRITATES),
    Wood("ziricote", "dense", 8800, "even", IRRITATES),
    Wood("katalox", "dense", 16300, "even"),
    Wood("snakewood", "dense", 16900, "even", IRRITATES),
    Wood("ipe", "dense", 15600, "even", IRRITATES),
    Wood("wenge", "banded", 8600, "banded", SPLINTERS, ANATOMY),
    Wood("zebrano", "banded", 8200, "banded", IRRITATES),
    Wood("zebrawood", "banded", 8200, "banded", IRRITATES),
    Wood("oak", "banded", 5700, "banded", "", RINGS),
    Wood("ash", "banded", 5900, "banded", "", RINGS),
    Wood("maple", "hard", 6500, "even"),
    Wood("walnut", "hard", 4500, "coarse"),
    Wood("beech", "hard", 6500, "even"),
    Wood("pear", "hard", 7400, "even"),
    Wood("cherry", "hard", 4200, "even"),
    Wood("mahogany", "hard", 3600, "coarse", IRRITATES),
    Wood("birch", "hard", 5600, "even"),
    Wood("boxwood", "hard", 12600, "even", IRRITATES),
)
WOODS: Final[dict[str, Wood]] = {wood.name: wood for wood in _TABLE}


def find_wood(wood: str) -> Wood | None:
    """Give what is known of a wood, by name, in any case and with words before or after it; None if nothing is.

    >>> find_wood("Macassar Ebony").hardness_n, find_wood("Wenge").leads_astray, find_wood("plywood")
    (13700, True, None)
    """
    words = " ".join("".join(sign if sign.isalpha() else " " for sign in wood.lower()).split())
    padded = f" {words} "
    return next((of for name, of in WOODS.items() if f" {name} " in padded), None)


def wood_class(wood: str) -> WoodClass | None:
    """Give the class of a wood; None if it is unknown.

    >>> wood_class("Macassar Ebony"), wood_class("flamed maple (torrefied)"), wood_class("plywood")
    ('dense', 'hard', None)
    """
    found = find_wood(wood)
    return None if found is None else found.of


def leads_astray(wood: str) -> bool:
    """Say whether a wood leads a drill's point astray; of an unknown one that is assumed."""
    found = find_wood(wood)
    return found is None or found.leads_astray


def say_wood(wood: str) -> str:
    """Say what is known of a wood, in a sentence.

    >>> say_wood("wenge")[:58]
    'wenge: banded wood, about 8600 N hard, its grain is banded'
    """
    found = find_wood(wood)
    if found is None:
        return f"{wood or 'a wood without a name'}: not in the table, cut as cautiously as any, a point may wander"
    point = "leads a point astray" if found.leads_astray else "holds a point"
    told = f"{found.name}: {found.of} wood, about {found.hardness_n} N hard, its grain is {found.grain} and {point}"
    return f"{told} ({found.source})"
