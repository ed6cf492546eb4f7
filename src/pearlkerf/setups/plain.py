"""Text of people made plain: the letters that a comment may have, and no meaning of its own."""

import re
import unicodedata
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
