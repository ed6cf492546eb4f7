"""The page's written parts: what the proof says, how the board lies, the table of cuts, keys, cautions.

They stand in the page itself, so that they can be read, printed and spoken without any script.
"""

from collections.abc import Sequence
from html import escape
from typing import Final

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit, figure_in
from pearlkerf.pictures.page.cuts import Cut
from pearlkerf.pictures.page.data import starts_s
from pearlkerf.pictures.page.model import DryRun, ProgramRun
from pearlkerf.pictures.page.sketch import draw_sketch
from pearlkerf.pictures.setup import draw_players_view, draw_setup
from pearlkerf.reading.motions import Finding
from pearlkerf.setups.model import Setup
from pearlkerf.setups.words import sentences

# rows of the table of cuts for each program; a page for reading, not an archive
MOST_ROWS: Final = 400

KEYS: Final = (
    ("Space", "watch, or pause"),
    ("← →", "one block back, one block on"),
    ("Shift ← →", "the cut before, the next cut"),
    ("Home End", "the start, the end of the program"),
    ("1 2 3 4", "plan, edge, end, free view"),
    ("+ − 0", "closer, farther, the whole board"),
    ("F", "keep the cutter in the picture"),
    ("L", "show or hide the lines"),
    ("Arrow keys on the picture", "turn it, or move it"),
    ("Up, Down on the program", "choose a line; its move is shown at once"),
)

CAUTIONS: Final = (
    "A picture is no promise: it knows nothing of a clamp that no file describes, of a crooked blank, of a cutter that "
    "slips. First look at every place with the pointing run, a pointed pin in the collet and the spindle off, then cut "
    "the first slot or hole in scrap, a hand on the stop.",
    "Guards closed, eyes and ears protected, no gloves or loose sleeves near the cutter.",
    "Dust of wood and of shell harms the lungs: extract it at the source and wear a mask made for it.",
    "Switch the spindle off and disconnect it before a cutter is changed by hand.",
    "Local rules, the manual of the machine and licensed practice come first.",
)


def clock(seconds: float) -> str:
    """Write a time as minutes and seconds.

    >>> clock(83.4), clock(3700)
    ('1:23', '1:01:40')
    """
    whole = round(seconds)
    hours, minutes = divmod(whole // 60, 60)
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"


def stamp(run: DryRun) -> str:
    """Say in a word or two how the proof ended."""
    if run.findings:
        count = len(run.findings)
        return f'<p class="stamp bad">Not proved: {count} finding{"" if count == 1 else "s"}</p>'
    if run.held == "shown alone":
        return '<p class="stamp plain">Shown, not proved</p>'
    return '<p class="stamp good">Proved</p>'


def findings(run: DryRun) -> str:
    """List what the proof holds against the programs; each can be gone to."""
    if not run.findings:
        return ""
    items = "".join(_finding(number, finding) for number, finding in enumerate(run.findings))
    return (
        '<section class="sheet findings" aria-labelledby="findings-title">'
        '<h2 id="findings-title">What is wrong</h2>'
        "<p>Do not cut with these programs. Each line leads to its place.</p>"
        f'<ol tabindex="0" aria-labelledby="findings-title">{items}</ol></section>'
    )


def _finding(number: int, finding: Finding) -> str:
    place = " ".join(part for part in (finding.file, f"line {finding.line}" if finding.line else "") if part)
    return (
        f'<li><button type="button" data-finding="{number}">{escape(place or "the whole job")}</button> '
        f"<span>{escape(finding.message)} (rule {finding.rule})</span></li>"
    )


def proof(run: DryRun) -> str:
    """Say what was proved, with the figures that it found."""
    if run.held == "shown alone":
        words = "The program was read and is shown as it moves. It was not held against a board or a machine."
    elif run.findings:
        words = "The programs were read back from their text and held against the board and the machine, and failed."
    else:
        words = (
            "The programs were read back from their text and held against the board and the machine: "
            "nothing is cut outside a slot or a dot, nothing deeper, nothing is left out, no rapid meets wood, "
            "and speeds, feeds, bites and travel are within what machine and cutters bear."
        )
    return (
        '<section class="sheet" aria-labelledby="proof-title"><h2 id="proof-title">What the proof says</h2>'
        f"<p>{words}</p>{_figures(run)}</section>"
    )


def _figures(run: DryRun) -> str:
    if not run.figures:
        return ""
    rows = "".join(
        f'<tr><th scope="row">{escape(name)}</th><td class="figure">{escape(_figure(value, unit, run.unit))}</td></tr>'
        for name, value, unit in run.figures
    )
    return f"<table><caption>Figures found</caption><tbody>{rows}</tbody></table>"


def _figure(value: float, unit: str, told: Unit) -> str:
    return f"{figure_in(value, told, 3)} {told}" if unit == "mm" else f"{value:.3f} {unit}"


def lying(run: DryRun) -> str:
    """Show every setup: its picture, and the sentences on how the board lies and how far cuts run out of it."""
    parts = "".join(_how_it_lies(setup, run.run_outs.get(setup.name, ()), run.unit) for setup in run.setups)
    if not parts:
        return ""
    return (
        '<section class="sheet wide" aria-labelledby="lying-title"><h2 id="lying-title">How the board lies</h2>'
        f"{parts}</section>"
    )


def _how_it_lies(setup: Setup, run_out: Sequence[str], unit: Unit) -> str:
    told = (*sentences(setup, unit=unit), *(in_unit(each, unit) for each in run_out))
    lines = "".join(f"<li>{escape(each[:1].upper() + each[1:])}</li>" for each in told)
    return (
        f"<h3>{escape(setup.name.capitalize())} setup</h3>"
        f'<div class="sketches">{_sketches(setup)}</div><ul>{lines}</ul>'
    )


def _sketches(setup: Setup) -> str:
    drawings = [draw_setup(setup)]
    if setup.kind == "edge":
        drawings.append(draw_players_view(setup.stock.outline, setup.features))
    return "".join(map(draw_sketch, drawings))


def inlays(run: DryRun) -> str:
    """Say what the cutters make of the drawings of inlays, and what is left to the hand."""
    if not run.inlays:
        return ""
    told = "".join(
        f"<h3>{escape(each.name)}</h3><ul>"
        f"{''.join(f'<li>{escape(in_unit(words, run.unit))}</li>' for words in each.told)}</ul>"
        for each in run.inlays
    )
    return (
        '<section class="sheet wide" aria-labelledby="inlays-title"><h2 id="inlays-title">Inlays, and what the cutters '
        f"make of their drawings</h2>{_assembled(run)}{told}</section>"
    )


def _assembled(run: DryRun) -> str:
    return "" if run.assembled is None else f'<div class="sketches">{draw_sketch(run.assembled)}</div>'


def cut_tables(run: DryRun, cuts: tuple[tuple[Cut, ...], ...]) -> str:
    """Give the cuts of every program as a table: the run in words."""
    tables = "".join(
        _cut_table(number, program, of_program, run.unit)
        for number, (program, of_program) in enumerate(zip(run.programs, cuts, strict=True))
        if of_program
    )
    if not tables:
        return ""
    return (
        '<section class="sheet wide" aria-labelledby="cuts-title"><h2 id="cuts-title">The cuts, in order</h2>'
        f"{tables}</section>"
    )


def _cut_table(number: int, program: ProgramRun, cuts: tuple[Cut, ...], unit: Unit) -> str:
    assert program.reading is not None
    starts, lines = starts_s(program), program.reading.motions.line
    sign = 1.0 if program.points else -1.0
    rows = "".join(
        f'<tr><th scope="row"><button type="button" data-program="{number}" data-cut="{index}">'
        f"{escape(cut.name)}</button></th>"
        f'<td class="figure">{lines[cut.first]}–{lines[cut.last]}</td>'
        f'<td class="figure">{figure_in(sign * cut.lowest_mm, unit, 3)}</td>'
        f'<td class="figure">{clock(starts[cut.first])}</td>'
        f'<td class="figure">{clock(starts[cut.last + 1] - starts[cut.first])}</td></tr>'
        for index, cut in enumerate(cuts[:MOST_ROWS])
    )
    what, height = ("Cut", f"Deepest, {unit} below zero")
    caption = escape(program.program.file)
    if program.points:
        what, height = "Place shown", f"Tip, {unit} above zero"
        caption += ", a pointing run: the spindle stays off, nothing is cut, it stops over each place"
    more = f"<p>and {len(cuts) - MOST_ROWS} more, in the picture</p>" if len(cuts) > MOST_ROWS else ""
    return (
        f'<div class="scroll" tabindex="0" role="group" aria-label="{escape(program.program.file)}">'
        f"<table><caption>{caption}</caption><thead><tr>"
        f'<th scope="col">{what}</th><th scope="col">Lines</th><th scope="col">{height}</th>'
        '<th scope="col">Begins</th><th scope="col">Takes</th>'
        f"</tr></thead><tbody>{rows}</tbody></table></div>{more}"
    )


def keys() -> str:
    """List the keys."""
    rows = "".join(f"<div><dt><kbd>{escape(key)}</kbd></dt><dd>{escape(what)}</dd></div>" for key, what in KEYS)
    return (
        '<section class="sheet keys" aria-labelledby="keys-title"><h2 id="keys-title">Keys, mouse and touch</h2>'
        f"<dl>{rows}</dl>"
        "<p>Click a fret or a dot to go to its cut, or any line to go to its move. Drag to turn or to move the "
        "picture; with Shift, or with two fingers, it slides. Click the picture, then turn the wheel to come closer, "
        "or pinch.</p>"
        '<p><label><input type="checkbox" id="single-keys" checked> Use single keys as commands</label></p></section>'
    )


def cautions() -> str:
    """Give the usual cautions."""
    items = "".join(f"<li>{escape(each)}</li>" for each in CAUTIONS)
    return (
        '<section class="sheet" aria-labelledby="cautions-title">'
        f'<h2 id="cautions-title">Before it cuts</h2><ul>{items}</ul></section>'
    )
