"""The tickets of a machine: which tables lie on which, in the order in which a machine is told; and their sums."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.bench.tickets import Tables, Ticket, of_no_ticket, ticket_of

TICKETS: Final = (
    Ticket("machine", "The machine and its travel", ("", "travel")),
    Ticket("cutters", "Cutters", ("cutter",)),
    Ticket("spindle", "Spindle", ("spindle",)),
    Ticket("motion", "How it moves", ("motion",)),
    Ticket("programs", "Its programs", ("program",)),
    Ticket("holding", "What stays on its bed", ("holding",)),
    Ticket("carrier", "A carrier for long boards", ("carrier",)),
)


def machine_tickets(tables: Tables) -> tuple[Ticket, ...]:
    """Give the tickets of a profile with these tables; one that no ticket names has a ticket of its own."""
    return (*TICKETS, *map(ticket_of, of_no_ticket(TICKETS, tables)))


def machine_sum(ticket: Ticket, data: Mapping[str, Any]) -> str:
    """Say what a ticket comes to, in a line; nothing of what is not said."""
    of = SUMS.get(ticket.name)
    held = data.get(ticket.tables[-1])
    if held:
        return of(held) if of else ""
    return "as usual" if ticket.name == "programs" else "none"


def _travel(held: Any) -> str:
    return " × ".join(str(held[axis]) for axis in "xyz" if axis in held) if isinstance(held, Mapping) else ""


def _cutters(held: Any) -> str:
    kinds = [str(each.get("kind", "")) for each in held if isinstance(each, Mapping)] if isinstance(held, list) else []
    return " · ".join(f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds) if kind)


def _spindle(held: Any) -> str:
    speed = held.get("speed") if isinstance(held, Mapping) else None
    return f"{' to '.join(map(str, speed))} rpm" if isinstance(speed, list) else ""


def _programs(held: Any) -> str:
    said = {"arcs": "arcs", "drilling_cycles": "drilling cycles"} if isinstance(held, Mapping) else {}
    return " · ".join([*(word for key, word in said.items() if held.get(key)), str(held.get("cutter_change", ""))])


def _count(held: Any) -> str:
    return str(len(held)) if isinstance(held, list) else ""


SUMS: Final[Mapping[str, Callable[[Any], str]]] = MappingProxyType(
    {"machine": _travel, "cutters": _cutters, "spindle": _spindle, "programs": _programs, "holding": _count}
)
