"""What materials look like in a picture: the layer, and with it the colour, in which a piece of each is drawn."""

from typing import Final

from pearlkerf.machine.materials import kind_of
from pearlkerf.machine.woods import wood_class
from pearlkerf.pictures.drawing import Layer

# words in the names of shells that are not white
_GREEN: Final = ("abalone", "paua")
_BONE: Final = ("bone", "horn", "ivory")


def layer_of(material: str) -> Layer:
    """Give the layer of a material, by its name.

    >>> layer_of("gold mother-of-pearl"), layer_of("abalone"), layer_of("maple"), layer_of("ebony"), layer_of("")
    ('of-pearl', 'of-abalone', 'of-light-wood', 'of-dark-wood', 'of-other')
    """
    name = material.lower()
    match kind_of(material):
        case "shell" if any(word in name for word in _GREEN):
            return "of-abalone"
        case "shell" if any(word in name for word in _BONE):
            return "of-bone"
        case "shell":
            return "of-pearl"
        case "wood":
            return "of-light-wood" if wood_class(material) == "hard" else "of-dark-wood"
        case "metal":
            return "of-metal"
    return "of-other"
