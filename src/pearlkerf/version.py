"""The version of this package, for its command line, and its name with it, for the heads of its files."""

from typing import Final

VERSION: Final = "0.1.0"
MAKER: Final = f"Pearlkerf {VERSION}"
