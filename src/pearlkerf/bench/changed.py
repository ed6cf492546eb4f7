"""Of what a page shows only what it does not hold already: at a stroke most of a board stays as it was.

    tickets, drawings ─digest─> {digest: part} less those that the page says it has
                         └────> in their places, the digests

Nothing is remembered here between two strokes: the page says what it has, and puts the parts in their places.
"""

import hashlib
import json
from collections.abc import Collection
from typing import Any, Final

DRAWN: Final = ("plan", "edge", "section")
DIGEST_BYTES: Final = 12  # of one page's few parts no two come to the same


def only_new(view: dict[str, Any], has: Collection[str]) -> dict[str, Any]:
    """Give a view whose tickets and drawings are named by their digests, and as "parts" those that a page has not."""
    parts: dict[str, Any] = {}

    def named(part: Any) -> str:
        digest = hashlib.blake2b(json.dumps(part).encode(), digest_size=DIGEST_BYTES).hexdigest()
        parts[digest] = part
        return digest

    tickets, drawings = view["tickets"], view.get("drawings")
    told = {**view, "tickets": None if tickets is None else [named(each) for each in tickets]}
    if drawings is not None:
        told["drawings"] = {**drawings, **{name: named(drawings[name]) for name in DRAWN}}
    return {**told, "parts": {digest: part for digest, part in parts.items() if digest not in has}}
