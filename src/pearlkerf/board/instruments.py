"""What is usual for each kind of instrument: one commented file each in the folder ``families``.

All of it is common practice, no source; a maker puts measured figures in the place of it.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.files.toml_values import nearest

FOLDER: Final = Path(__file__).parent / "families"
OCTAVE: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A bass edge that steps out: so far, along so much, ending so far before a fret; mm."""

    fret: int
    before: float
    long: float
    out: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What is usual for one kind of instrument; lengths in mm, scale and radius as they are spoken of.

    ``face`` is empty where a usual board has dots in its edge only; ``left_out`` are the places of every octave that
    have no fret, and ``names`` what the others are called.
    """

    name: str
    short: tuple[str, ...]
    scale: str
    frets: int
    strings: int
    nut_width: float
    width_at_12: float
    thickness: float
    radius: str
    slot_depth: float
    face: tuple[int, ...]
    side: tuple[int, ...]
    double: tuple[int, ...]
    dot: float
    shell: float
    side_dot: float
    step: Step | None = None
    left_out: tuple[int, ...] = ()
    names: tuple[str, ...] = field(default=())

    def there(self, frets: int) -> tuple[int, ...]:
        """Give the numbers of the frets that are there, up to one.

        >>> INSTRUMENTS["mountain dulcimer"].there(12)
        (2, 4, 5, 7, 9, 10, 11, 12)
        """
        return tuple(n for n in range(1, frets + 1) if (n - 1) % OCTAVE + 1 not in self.left_out)


def _instrument(path: Path) -> Instrument:
    data: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    lists = {key: tuple(value) for key, value in data.items() if isinstance(value, list)}
    step = {"step": Step(**data["step"])} if "step" in data else {}
    return Instrument(**{**data, **lists, **step})


_ALL: Final = tuple(map(_instrument, sorted(FOLDER.glob("*.toml"))))
INSTRUMENTS: Final[Mapping[str, Instrument]] = MappingProxyType({each.name: each for each in _ALL})
_CALLED: Final = {word.lower(): each.name for each in reversed(_ALL) for word in (each.name, *each.short)}


def find_instrument(called: str) -> Instrument | None:
    """Give the instrument that people call so, by its name or a short one; None for one that is not known.

    >>> find_instrument("Steel").name, find_instrument("uke").name, find_instrument("lyre")
    ('steel-string guitar', 'tenor ukulele', None)
    """
    name = _CALLED.get(" ".join(called.lower().split()))
    return None if name is None else INSTRUMENTS[name]


def near_instrument(called: str) -> str:
    """Give the instrument whose name is nearest to a mistyped one, or nothing."""
    near = nearest(called, list(_CALLED))
    return _CALLED[near] if near else ""
