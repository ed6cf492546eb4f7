"""What a browser says of the small drawings: where their lines run, how long they are, what they enclose.

Run it to write browser_numbers.json again, with a Chromium on the path:

    PYTHONPATH=tests python tests/outlines/browser_numbers.py

For every element with an id, in mm from the page's upper left corner, y down: the corners of its box
(getBBox) and, of shapes, POINTS places along its line (getPointAtLength), the length of its line
where it is sized alike in all directions (getTotalLength), and which of GRID by GRID places over its
box it is filled at (isPointInFill), all moved by getScreenCTM.
"""

import base64
import json
from pathlib import Path
from typing import Any

from svg_drawings import DRAWINGS

NUMBERS = Path(__file__).with_name("browser_numbers.json")
POINTS = 24
GRID = 12
ASK = """([count, grid]) => {
  const mm = 25.4 / 96, found = {};
  const round = value => Math.round(value * 1e5) / 1e5;
  for (const element of document.documentElement.querySelectorAll('[id]')) {
    if (!element.getScreenCTM || !element.getClientRects().length) continue;
    const by = element.getScreenCTM(), box = element.getBBox();
    const there = point => { const p = point.matrixTransform(by); return [round(p.x * mm), round(p.y * mm)]; };
    const corner = (i, j) => new DOMPoint(box.x + box.width * i, box.y + box.height * j);
    const said = { box: [[0, 0], [1, 0], [1, 1], [0, 1]].map(([i, j]) => there(corner(i, j))) };
    if (element.getTotalLength) {
      const whole = element.getTotalLength(), places = [...Array(count + 1).keys()];
      said.points = places.map(n => there(element.getPointAtLength(whole * n / count)));
      const across = Math.hypot(by.a, by.b), down = Math.hypot(by.c, by.d), turned = by.a * by.c + by.b * by.d;
      if (Math.abs(across - down) + Math.abs(turned) < 1e-5) said.length = round(whole * across * mm);
      const cells = [...Array(grid * grid).keys()].map(
        n => corner((n % grid + 0.5) / grid, (Math.floor(n / grid) + 0.5) / grid));
      said.grid = cells.map(there);
      said.filled = cells.map(point => element.isPointInFill(point) ? 1 : 0).join('');
    }
    found[element.id] = said;
  }
  return found;
}"""


def ask_browser(drawings: dict[str, str]) -> dict[str, Any]:
    """Give what a browser says of drawings, by their names."""
    from playwrights import a_browser

    with a_browser(["--no-sandbox"]) as browser:
        page = browser.new_page()
        found = {}
        for name, text in drawings.items():
            page.goto("data:image/svg+xml;base64," + base64.b64encode(text.encode()).decode())
            found[name] = page.evaluate(ASK, [POINTS, GRID])
    return found


if __name__ == "__main__":
    NUMBERS.write_text(json.dumps(ask_browser(DRAWINGS), separators=(",", ":")) + "\n", encoding="utf-8")
