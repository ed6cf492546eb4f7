"""Files beside a board file, which it names: drawings, typefaces.  Whoever reads a board is given a way to them."""

from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final, Protocol

from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_values import WrongValue
from pearlkerf.files.whole import read_file

MOST_BYTES: Final = 4 << 20  # 4 MiB: far more than any drawing of an inlay has
ALLOWED: Final = "the name of a file beside or below the board file"


class FilesBeside(Protocol):
    """From a name that a board file says to the bytes of that file."""

    def __call__(self, name: str) -> bytes:
        """Give the bytes; raises WrongValue where there are none to be had by this name."""


@dataclass(frozen=True, slots=True)
class BesideIn:
    """The files in a folder, and in the folders in it; nothing outside of it, by whatever way."""

    folder: Path

    def __call__(self, name: str) -> bytes:
        """Give the bytes; raises WrongValue for a name that leads out, for what is no file, and for a large one."""
        parts = PurePosixPath(name)
        if not name or parts.is_absolute() or ".." in parts.parts or "\\" in name or ":" in name or "\0" in name:
            raise WrongValue(f"{shown(name)} is not such a name", ALLOWED, "put the file beside the board file")
        path = self.folder / parts
        if not path.resolve().is_relative_to(self.folder.resolve()):
            raise WrongValue(f"{shown(name)} leads out of the folder", ALLOWED, "put the file itself there, not a link")
        try:
            data = read_file(path, MOST_BYTES)
        except OSError as fault:
            raise WrongValue(f"{shown(name)}: {fault.strerror or fault}", ALLOWED) from None
        if len(data) > MOST_BYTES:
            raise WrongValue(f"{shown(name)} has more than {MOST_BYTES} bytes", f"at most {MOST_BYTES} bytes")
        return data


def nothing_beside(name: str) -> bytes:
    """Refuse every name: for the text of a board that lies in no folder."""
    raise WrongValue(f"{shown(name)} cannot be read", "a board file in a folder", "save the board file first")
