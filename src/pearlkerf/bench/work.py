"""An order carried out in a process of its own, which can be stopped at any moment without harm.

Takes {"folder": …, "order": …} on its standard input, and says on its output, a line of JSON each, what is begun
("doing"), and at last what became of it: "done", "proposed", "refused", "not_proved", "in_the_way" or "fault".

    python -m pearlkerf.bench.work
"""

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from pearlkerf import way
from pearlkerf.bench.orders import Order, machine_path, plan_order
from pearlkerf.bench.shelf import ENDING
from pearlkerf.errors import Refusal
from pearlkerf.files.saving import InTheWay
from pearlkerf.jobs.model import Job
from pearlkerf.machine.reader import read_machine, read_profile_bytes


def carry_out(folder: Path, order: Order, force: bool, tell: way.Tell) -> dict[str, Any]:
    """Make and save what is ordered, and give what became of it."""
    try:
        if order.kind == "nest":
            return {"proposed": _proposed(folder, order, tell)}
        look, job = plan_order(folder, order, tell)
        tell("writing the programs")
        made = way.make(job, look.read.text, read_profile_bytes(machine_path(folder, order.machine)), look.read.files)
        saved = way.save(made, folder / order.folder, force=force, tell=tell)
    except Refusal as refusal:
        return {"refused": [asdict(each) for each in refusal.problems]}
    except way.NotProved as failed:
        return {"not_proved": [asdict(each) for each in failed.verdict.findings]}
    except way.SizesOff as off:
        return {"not_proved": [{"message": str(each)} for each in off.off]}
    except InTheWay as blocked:
        return {"in_the_way": list(blocked.files)}
    except OSError as fault:
        return {"fault": f"{Path(str(fault.filename or folder)).name}: {fault.strerror or fault}"}
    return {"done": _done(job, saved, look)}


def _proposed(folder: Path, order: Order, tell: way.Tell) -> list[dict[str, Any]]:
    """Look for a closer packing, and give the places that it would have; nothing is saved."""
    tell("reading and laying out")
    look = way.look_at(folder / f"{order.name}{ENDING}")
    look.right()
    tell("looking for a closer packing")
    found = way.nest(look, read_machine(machine_path(folder, order.machine)), order.seconds)
    return [
        {"material": each.asked.material, "pieces": len(each.asked.pieces), "laid": len(each.boxes),
         "blanks": len({laid.blank for laid in each.boxes}),
         "closer": None if each.closer is None else len({laid.blank for laid in each.closer}),
         "added": [{"piece": laid.piece, "blank": laid.blank, "at": laid.at, "turn": laid.turn_deg}
                   for laid in each.added]}
        for each in found
    ]  # fmt: skip


def _done(job: Job, saved: way.Saved, look: way.Look) -> dict[str, Any]:
    """Give what was saved: files, what the proof says, the sizes of a piece as read back."""
    verdict = saved.verdict
    return {
        "files": list(saved.files),
        "removed": list(saved.stale),
        "kept": list(saved.kept),
        "notes": list(verdict.notes),
        "figures": [{"name": name, "value": value, "unit": unit} for name, value, unit in verdict.figures],
        "warnings": [asdict(each) for each in look.warnings_of(job)],
        "sizes": [asdict(each) for each in saved.sizes],
    }


def main() -> None:
    """Carry out the order that stands on the standard input."""
    asked = json.load(sys.stdin)
    order = asked["order"]
    lists = {name: tuple(order[name]) for name in ("only", "at", "steps")}

    told = carry_out(Path(asked["folder"]), Order(**{**order, **lists}), asked["force"] is True, _tell)
    _say(told)


def _tell(doing: str) -> None:
    _say({"doing": doing})


def _say(told: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(told) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
