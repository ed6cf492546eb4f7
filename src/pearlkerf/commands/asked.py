"""What several commands make of their options, once the board is read whose unit bare numbers have."""

from dataclasses import replace

import click

from pearlkerf.commands.options import usage
from pearlkerf.jobs.pieces import SETUPS, Wish, tried_in, usual_steps
from pearlkerf.setups.asked import asked_length_mm, asked_mark, asked_scrap, asked_steps
from pearlkerf.setups.drilling_strip import OPTION
from pearlkerf.setups.lying import Mark
from pearlkerf.way import Look

Texts = tuple[str | None, str | None, str | None]


def marks_option(at: tuple[str, ...], look: Look) -> tuple[Mark, ...]:
    """Give the marks of ``--at``."""
    with usage(look.unit):
        return tuple(asked_mark(text, look.unit) for text in at)


def height_option(text: str | None, pointing: bool, look: Look) -> float | None:
    """Give the height of the tip over the wood, mm, None where none is said."""
    if text is None:
        return None
    if not pointing:
        raise click.UsageError("--point-height goes with --pointing")
    with usage(look.unit):
        return asked_length_mm(text, "--point-height", look.unit)


def wish_option(wish: Wish, scrap: str | None, steps: Texts, look: Look) -> Wish:
    """Give the piece that is wanted, of the size of ``--scrap``, in steps of size."""
    with usage(look.unit):
        size = None if scrap is None else asked_scrap(scrap, look.unit)
        return replace(wish, scrap=size, steps=asked_steps(steps, look.unit, usual_steps(wish.kind)))


def strip_option(strip: str | None, look: Look) -> Wish:
    """Give the drilling strip that is wanted, of the size of ``--strip``."""
    with usage(look.unit):
        return Wish("strip", None if strip is None else asked_scrap(strip, look.unit, OPTION))


def named_wish(
    setup: str | None, described: tuple[str | None, Texts, str | None], cutter: int | None, look: Look
) -> Wish | None:
    """Give the piece that ``--setup`` names, ``described`` by its scrap, steps and what it tries; None for no piece."""
    scrap, steps, tries = described
    wish = None if setup is None else tried_in(setup, tries or "")
    if wish is not None:
        return wish_option(replace(wish, cutter=cutter), scrap, steps, look)
    if described != (None, (None, None, None), None):
        raise click.UsageError(f"--scrap, sizes and --tries go with --setup {' or --setup '.join(SETUPS)}")
    return None
