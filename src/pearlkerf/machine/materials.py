"""What pieces of inlays are cut from that is no wood: what the tables know, and what a cutter must state itself.

All of it is from memory (common practice, no source); that the dust of shell harms has one.
"""

from typing import Final, Literal

from pearlkerf.machine.woods import wood_class

Kind = Literal["wood", "shell", "metal"]
# cut by shell's own figures; bone and horn are softer, and no figures of theirs are known
_SHELLS: Final = ("mother of pearl", "pearl", "nacre", "abalone", "paua", "shell", "bone", "horn")
_METALS: Final = ("brass", "bronze", "copper", "silver", "nickel silver", "gold", "aluminium", "aluminum", "steel")
# of 26 people who sawed nacre 6 had an inflammation of the lungs by its dust, which went on in some (Eur Respir J 1997;
# 10: 780-786)
SHELL_DUST: Final = (
    "the dust of shell and bone inflames lungs, cut it wet or with extraction at the cutter",
    "wear a mask that is made for such dust, never leave the machine unattended",
)


def kind_of(material: str) -> Kind | None:
    """Give what kind a material is, by name, in any case and with words before or after it; None if nothing is known.

    >>> kind_of("White Mother-of-Pearl"), kind_of("ebony"), kind_of("sheet brass"), kind_of("resin")
    ('shell', 'wood', 'metal', None)
    """
    words = " ".join("".join(sign if sign.isalpha() else " " for sign in material.lower()).split())
    if any(f" {name} " in f" {words} " for name in _SHELLS):
        return "shell"
    if any(f" {name} " in f" {words} " for name in _METALS):
        return "metal"
    return "wood" if wood_class(material) else None
