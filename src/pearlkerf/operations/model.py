"""How features are cut: operations with their cutter and figures, in the order to run."""

from dataclasses import dataclass
from typing import Literal

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Feature
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.setups.model import Setup

Strategy = Literal[
    "plunge",
    "spotted plunge",
    "bore",
    "full width",
    "side passes",
    "sawn",
    "ring by ring",
    "where there is room",
    "what is left",
    "round it",
]


@dataclass(frozen=True, slots=True)
class Operation:
    """One feature and the strategy that cuts it; where a wider cutter has been in it before, that cutter."""

    feature: Feature
    strategy: Strategy
    after: Cutter | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """All that one cutter does in a setup, in order."""

    cutter: Cutter
    figures: CuttingFigures
    operations: tuple[Operation, ...]
    notes: tuple[str, ...] = ()  # what people must know before it runs
    why: tuple[str, ...] = ()  # why this cutter and these strategies, in sentences


@dataclass(frozen=True, slots=True)
class Workplan:
    """A setup with its stages in the order to run, and what the maker should be told."""

    setup: Setup
    machine: Machine
    stages: tuple[Stage, ...]
    warnings: tuple[Problem, ...]
