"""How features are laid on the machine: the one place that knows which kind has which shape."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.proof.shapes.channel import ChannelShape
from pearlkerf.proof.shapes.hole import HoleShape
from pearlkerf.proof.shapes.pocket import PocketShape
from pearlkerf.proof.shapes.shape import Shape
from pearlkerf.proof.shapes.slot import SlotShape
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Setup

# by the kind of feature
LAYS: Final[Mapping[str, Callable[[Any, Setup, Wood], Shape]]] = MappingProxyType(
    {"channel": ChannelShape.of, "hole": HoleShape.of, "pocket": PocketShape.of, "slot": SlotShape.of}
)


def lay_features(setup: Setup, wood: Wood) -> tuple[Shape, ...]:
    """Lay every feature of a setup on the machine."""
    return tuple(LAYS[feature.kind](feature, setup, wood) for feature in setup.features)
