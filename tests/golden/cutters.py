"""What every mill of every profile does in ebony, beside what it did before bending and stress were reckoned with.

Chip, bite and their bounds are common practice from memory; bending and stress are a beam's (any handbook: one end
fixed, F L^3 / 3 E I), on forces whose shape is Hlaskova, Orlowski et al., BioResources 13(3), 6171, and whose figures,
like the stiffness of carbide, are from memory.
"""

from pearlkerf.machine.cutting import cutting_figures, slender
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.reader import profile_names, read_machine

# diameter: chip a tooth and bite as the first tables had them, by the diameter alone, mm; from memory
BEFORE = {
    0.5: (0.0040, 0.170), 0.58: (0.0048, 0.197), 0.5842: (0.0048, 0.199), 0.8: (0.0065, 0.276), 1.0: (0.0080, 0.350),
    1.190625: (0.0095, 0.439), 2.0: (0.0150, 0.800), 3.0: (0.0250, 1.500), 3.175: (0.0265, 1.588), 6.0: (0.0500, 3.000),
    6.35: (0.0512, 3.175),
}  # fmt: skip
HEAD = "profile cutter diameter free | chip bite bends stressed | before: chip bite bends stressed | held back by"


def row(machine: Machine, cutter: Cutter) -> str:
    """One mill: mm, bending in thousandths of a mm, stress in MPa."""
    figures, beam = cutting_figures(machine, cutter, "ebony"), slender(cutter)
    chip, before = figures.feed_mm_min / figures.speed_rpm / cutter.flutes, BEFORE[cutter.diameter_mm]
    now, then = beam.load(figures.bite_mm, chip), beam.load(before[1], before[0])
    by = next(each for each in figures.sources if " a pass from " in each).partition(" a pass from ")[2]
    cells = [
        f"{machine.name:<20} {cutter.number} {cutter.diameter_mm:6.3f} {beam.length_mm:6.2f}",
        f"{chip:.4f} {figures.bite_mm:.3f} {1000 * now.bend_mm:5.1f} {now.stress_mpa:4.0f}",
        f"{before[0]:.4f} {before[1]:.3f} {1000 * then.bend_mm:5.1f} {then.stress_mpa:4.0f}",
        "diameter" if "diameter" in by else "bending" if "bends" in by else "stress",
    ]
    return " | ".join(cells)


def table() -> list[str]:
    """Every mill of every profile, in order."""
    machines = [read_machine(name) for name in profile_names()]
    mills = [(machine, each) for machine in machines for each in machine.cutters if each.kind == "end mill"]
    return [HEAD, *(row(*each) for each in mills)]
