"""The dry-run page: one HTML file that shows what the programs of a job will do, drawn from the motion read back.

It asks nothing of the network, opens from disk, and runs no script and no style but its own: the
content policy names both by their hashes.
"""

import base64
import hashlib
from html import escape
from importlib.resources import files
from typing import Final

from pearlkerf.files.lengths import Unit
from pearlkerf.pictures.page import parts
from pearlkerf.pictures.page.cuts import find_cuts
from pearlkerf.pictures.page.data import page_data
from pearlkerf.pictures.page.model import DryRun
from pearlkerf.pictures.page.modules import joined, modules_from

ENTRY: Final = "opening.js"  # the script that opens the page; all others are imported from it
STYLES: Final = ("family.css", "viewer.css")  # the bench page has the first of them too
# the field for a diameter that nobody says, as it stands in the bench's elements; by unit its least, most and step
DIAMETER_FIELD: Final = 'Cutter diameter, mm <input type="number" id="diameter" min="0.05" max="200" step="0.01"'
DIAMETERS: Final = {"mm": ("0.05", "200", "0.01"), "in": ("0.002", "8", "0.001")}


def draw_page(run: DryRun) -> str:
    """Draw the dry-run page of a job: one HTML document."""
    style = _style()
    script = joined(modules_from(ENTRY, asset))
    cuts = tuple(find_cuts(program) for program in run.programs)
    title = escape(run.title)
    machine = f", {escape(run.machine)}" if run.machine else ""
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{_policy(script, style)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Dry run: {title}</title>
<style>{style}</style>
</head>
<body>
<a class="skip" href="#bench">Go to the picture</a>
<header class="head">
<div><p class="kicker">Dry run{machine}</p><h1>{title}</h1></div>
{parts.stamp(run)}
</header>
<main>
{parts.findings(run)}
{_bench(run.unit)}
<div class="sheets">
{parts.proof(run)}
{parts.cautions()}
{parts.keys()}
{parts.lying(run)}
{parts.inlays(run)}
{parts.cut_tables(run, cuts)}
</div>
</main>
<script type="application/json" id="run">{page_data(run, cuts)}</script>
<script type="module">{script}</script>
</body>
</html>
"""


def page_policy() -> str:
    """Give the content policy of every page that this version draws, for who serves one."""
    return _policy(joined(modules_from(ENTRY, asset)), _style())


def _bench(unit: Unit) -> str:
    """Give the bench's own elements; the one field for a length is in the page's unit."""
    least, most, step = DIAMETERS[unit]
    mine = f'Cutter diameter, {unit} <input type="number" id="diameter" min="{least}" max="{most}" step="{step}"'
    before, _, after = asset("bench.html").partition(DIAMETER_FIELD)
    return f"{before}{mine}{after}"


def _style() -> str:
    return "".join(map(asset, STYLES))


def _policy(script: str, style: str) -> str:
    return (
        f"default-src 'none'; script-src {_hash(script)}; style-src {_hash(style)}; base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode('ascii')}'"


def asset(name: str) -> str:
    """Give the text of a script, a style sheet, or the bench's own elements."""
    return files("pearlkerf.pictures.page").joinpath("assets", name).read_text(encoding="utf-8")
