"""What a page in a browser is held to, whoever gives it: it complains of nothing, and keeps the rules of axe-core."""

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Final

AXE: Final = Path(__file__).parent / "pictures" / "axe" / "axe.min.js"
LEVELS: Final = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
# what the browser says of its own drawing without a graphics card
OF_THE_BROWSER: Final = re.compile(r"GPU stall|GL Driver Message|software WebGL|swiftshader", re.IGNORECASE)


def of_the_page(complaints: Iterable[str]) -> list[str]:
    """Give the complaints that are the page's own."""
    return [each for each in complaints if not OF_THE_BROWSER.search(each)]


def rules_broken(page: Any, rules: Sequence[str] = LEVELS, *, more_than: int = 20) -> list[str]:
    """Give what breaks these rules of axe on an open page, of which more than so many must have found something."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("rules => axe.run({ runOnly: rules })", list(rules))
    assert len(found["passes"]) > more_than
    return [f"{each['id']}: {node['html'][:160]}" for each in found["violations"] for node in each["nodes"]]
