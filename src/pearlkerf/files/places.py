"""Places of pieces on blanks as a board file says them; all else stays as its maker wrote it, comments too."""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from pearlkerf.files.lengths import Unit

DECIMALS = 6  # of a mm: a place that packing gave is kept as it is, or its cut would come too near
Place = tuple[str, int, tuple[float, float], float]  # piece, blank, where its middle lies (mm), turn (degrees)


def with_places(text: str, places: Mapping[int, Sequence[Place]], unit: Unit) -> str:
    """Give the text of a board file with places added to its [[inlay_blank]] tables, by their indexes, from 0.

    Raises ValueError where the file is written so that they cannot be added.
    """
    import tomlkit

    document = tomlkit.parse(text)
    data = tomllib.loads(text)
    for entry, added in places.items():
        table, plain = document["inlay_blank"][entry], data["inlay_blank"][entry]
        rows = [place_row(place, unit) for place in added]
        if "place" not in table:
            table["place"] = tomlkit.array().multiline(multiline=True)
        for row in rows:
            inline = tomlkit.inline_table()
            inline.update(row)
            table["place"].append(inline)
        plain["place"] = [*plain.get("place", ()), *rows]
    new = tomlkit.dumps(document)
    if tomllib.loads(new) != data:
        raise ValueError("its [[inlay_blank]] tables are written so that no place can be added")
    return new


def place_row(place: Place, unit: Unit) -> dict[str, Any]:
    """Give the place of a piece as a file of a unit says it.

    >>> place_row(("wave 5/3", 1, (12.5, 8.0), 90.0), "mm")
    {'piece': 'wave 5/3', 'blank': 1, 'at': [12.5, 8.0], 'turn': 90}
    >>> place_row(("wave 5/3", 1, (21.730342, 8.0), 7.5), "in")
    {'piece': 'wave 5/3', 'blank': 1, 'at': ['21.730342 mm', '8 mm'], 'turn': 7.5}
    """
    piece, blank, at, turn = place
    return {"piece": piece, "blank": blank, "at": _lengths(at, unit), "turn": int(turn) if turn == int(turn) else turn}


def used_row(blank: int, box_mm: Sequence[float], unit: Unit) -> dict[str, Any]:
    """Give a place of a blank that is gone as a file of a unit says it.

    >>> used_row(2, (0.0, 0.0, 12.0, 25.0), "in")
    {'blank': 2, 'box': ['0 mm', '0 mm', '12 mm', '25 mm']}
    """
    return {"blank": blank, "box": _lengths(box_mm, unit)}


def _lengths(all_mm: Sequence[float], unit: Unit) -> list[Any]:
    """Give lengths as numbers, or each with its unit; to the last decimal that packing has."""
    if unit == "mm":
        return list(all_mm)
    return [f"{each:.{DECIMALS}f}".rstrip("0").rstrip(".") + " mm" for each in all_mm]
