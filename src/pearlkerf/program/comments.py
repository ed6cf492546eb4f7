"""Comments: text from people made harmless, and long sentences broken into lines."""

import re
import textwrap
import unicodedata
from collections.abc import Iterator
from typing import Final

# brackets and line ends would end the comment and become code; some controllers obey other signs at once
FORBIDDEN: Final = re.compile(r"[^A-Za-z0-9 .,\-+=/]")
# a comment that begins like this is shown to the operator as a message (NISTIR 6556, section 3.3.4)
MESSAGE: Final = re.compile(r"^\s*m\s*s\s*g\s*,", re.IGNORECASE)


def harmless(text: str) -> str:
    """Give a text with only A-Z a-z 0-9 space . , - + = / left, accents taken off, no leading "msg,".

    >>> harmless("x) G0 Z-50 (")
    'x G0 Z-50'
    >>> harmless("MSG, now"), harmless("Élan é 2")
    ('now', 'Elan e 2')
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    plain = " ".join(FORBIDDEN.sub(" ", plain).split())
    while MESSAGE.match(plain):
        plain = MESSAGE.sub("", plain).strip()
    return plain


def of_people(text: str) -> str:
    """Give what people wrote so that no comment can take a meaning from it: harmless, no claim, no line that goes on.

    >>> of_people("setup = mine"), of_people("- jaw=left")
    ('setup mine', 'jaw left')
    """
    return " ".join(harmless(text).replace("=", " ").lstrip(" -").split())


def comment_lines(sentence: str, room: int) -> Iterator[str]:
    """Break our own sentence into bracketed comments of at most ``room`` characters.

    Continuations begin with "- ", so that none can be taken for a line of its own meaning.
    """
    for line in textwrap.wrap(harmless(sentence), room - 2, subsequent_indent="- ", break_on_hyphens=False):
        yield f"({line})"
