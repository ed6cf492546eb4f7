"""What a program tells people, read plainly: speeds and cutters at its stops, the cutters in its head."""

import re

# comment lines that a sentence is broken into
BROKEN = re.compile(r"\)\n(?:N\d+ )?\(- ")
STOP = re.compile(r"\(([^()\n]*)\)\n(?:N\d+ )?M0\b")
HEAD = re.compile(r"^(?:N\d+ )?\((cutter \d+, [^()\n]* rpm),", re.MULTILINE)


def stops(text: bytes) -> list[str]:
    """What is said right before each stop."""
    return STOP.findall(_joined(text))


def head(text: bytes) -> list[str]:
    """What is said of cutters up to their speeds."""
    return HEAD.findall(_joined(text))


def speeds(messages: list[str]) -> list[float]:
    """The speeds, rpm, that messages name."""
    return [float(found) for message in messages for found in re.findall(r"(\d+) rpm", message)]


def cutters(messages: list[str]) -> list[str]:
    """The cutters that messages name."""
    return [found for message in messages for found in re.findall(r"to (cutter \d+)", message)]


def _joined(text: bytes) -> str:
    return BROKEN.sub(" ", text.decode("latin-1"))
