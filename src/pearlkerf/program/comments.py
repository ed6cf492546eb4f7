"""Comments: long sentences broken into lines."""

import textwrap
from collections.abc import Iterator

from pearlkerf.setups.plain import harmless


def comment_lines(sentence: str, room: int) -> Iterator[str]:
    """Break our own sentence into bracketed comments of at most ``room`` characters.

    Continuations begin with "- ", so that none can be taken for a line of its own meaning.
    """
    for line in textwrap.wrap(harmless(sentence), room - 2, subsequent_indent="- ", break_on_hyphens=False):
        yield f"({line})"
