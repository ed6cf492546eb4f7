"""The typeface that comes along, for a text that names none."""

from importlib.resources import files
from typing import Final

NAME: Final = "the shipped typeface"


def shipped_face() -> bytes:
    """Give the font file that the PDFs carry too."""
    return (files("pearlkerf") / "pictures" / "typefaces" / "DejaVuSansCondensed.ttf").read_bytes()
