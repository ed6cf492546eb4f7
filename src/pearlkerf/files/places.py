"""Places of pieces written into the text of a board file: all else stays as its maker wrote it, comments too."""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from pearlkerf.files.lengths import Unit

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
        rows = [_row(place, unit) for place in added]
        array = tomlkit.array()
        for row in (*plain.get("place", ()), *rows):
            inline = tomlkit.inline_table()
            inline.update(row)
            array.append(inline)
        array.multiline(multiline=True)
        table["place"] = array
        plain["place"] = [*plain.get("place", ()), *rows]
    new = tomlkit.dumps(document)
    if tomllib.loads(new) != data:
        raise ValueError("its [[inlay_blank]] tables are written so that no place can be added")
    return new


def _row(place: Place, unit: Unit) -> dict[str, Any]:
    piece, blank, (x, y), turn = place
    at: list[Any] = [x, y] if unit == "mm" else [f"{x:g} mm", f"{y:g} mm"]
    return {"piece": piece, "blank": blank, "at": at, "turn": int(turn) if turn == int(turn) else turn}
