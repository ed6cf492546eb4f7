"""What a slender mill bears: the force on its teeth, how far it bends, how near it is to breaking.

       ___
      |   |  collet         F  acts at the tip across the feed, the mean of two or more teeth in a full slot
      |___|                 L  free length: from the collet, or from the shank, to the tip
        |                   d  core: 0.8 of the diameter, what the flutes leave
        |  L
     F -|->                 bending  F L^3 / (3 E I),  I = pi d^4 / 64
        |                   stress   M / W,  M = peak force times its arm,  W = pi d^3 / 32

The force on a tooth, for each mm of depth, is  q = Kc h + Ke : a chip of thickness h, and the edge itself.
The shape is the fracture model of wood cutting (Hlaskova, Orlowski et al., BioResources 13(3), 6171); its
figures for dense wood across the grain, and the stiffness of the carbide, are from memory.
"""

import math
from dataclasses import dataclass
from typing import Final

# force of the chip, N/mm2, and of a sharp edge, N/mm, in dense wood across the grain; from memory, no open figures
# for ebony were found. A worn edge doubles the second
CHIP_FORCE_N_MM2: Final = 60.0
EDGE_FORCE_N_MM: Final = 2.0
# cemented carbide, N/mm2; from memory (580 000 is met too)
STIFFNESS_N_MM2: Final = 600_000.0
CORE: Final = 0.8
# how far a mill may bend on the mean, mm, and be stressed at most, N/mm2 (MPa), by figures that the tables choose
USUAL_BEND_MM: Final = 0.010
USUAL_STRESS_MPA: Final = 250.0
# beyond these a maker's own figures are refused, unless named as meant
MOST_BEND_MM: Final = 0.050
MOST_STRESS_MPA: Final = 600.0


@dataclass(frozen=True, slots=True)
class Load:
    """What a mill bears in a full slot: mean force across the feed (N), bending (mm), stress (MPa)."""

    force_n: float
    bend_mm: float
    stress_mpa: float


@dataclass(frozen=True, slots=True)
class Slender:
    """A mill as a bending beam: its diameter, its free length (mm), its teeth."""

    diameter_mm: float
    length_mm: float
    flutes: int

    @property
    def _core_mm(self) -> float:
        return CORE * self.diameter_mm

    def load(self, bite_mm: float, chip_mm: float) -> Load:
        """Give what it bears at a depth of cut and a chip.

            F = z a (Kc f / 4 + Ke / pi)     mean of z teeth over a turn in a full slot
            P = a (Kc f + Ke)                peak of one tooth, half the depth above the tip

        >>> load = Slender(0.58, 4.5, 2).load(0.197, 0.0048)
        >>> round(load.force_n, 2), round(load.bend_mm * 1000, 1), round(load.stress_mpa)
        (0.28, 6.2, 202)
        """
        inertia = math.pi * self._core_mm**4 / 64
        force = self.flutes * bite_mm * (CHIP_FORCE_N_MM2 * chip_mm / 4 + EDGE_FORCE_N_MM / math.pi)
        peak = bite_mm * (CHIP_FORCE_N_MM2 * chip_mm + EDGE_FORCE_N_MM)
        arm = max(self.length_mm - bite_mm / 2, 0.0)
        return Load(
            force,
            force * self.length_mm**3 / (3 * STIFFNESS_N_MM2 * inertia),
            peak * arm / (math.pi * self._core_mm**3 / 32),
        )

    def most_by_bend_mm(self, chip_mm: float, bend_mm: float = USUAL_BEND_MM) -> float:
        """Give the depth of cut at which it bends so far: the force grows in proportion to it."""
        return bend_mm / self.load(1.0, chip_mm).bend_mm

    def most_by_stress_mm(self, chip_mm: float, stress_mpa: float = USUAL_STRESS_MPA) -> float:
        """Give the least depth of cut at which it is stressed so much; inf where no depth stresses it so.

        The arm shortens by half the depth: a (L - a / 2) = S, so that a = L - sqrt(L^2 - 2 S).
        """
        share = stress_mpa * math.pi * self._core_mm**3 / 32 / (CHIP_FORCE_N_MM2 * chip_mm + EDGE_FORCE_N_MM)
        left = self.length_mm**2 - 2 * share
        return self.length_mm - math.sqrt(left) if left > 0 else math.inf
