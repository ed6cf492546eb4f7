"""The boards of a folder: read, saved whole and never over what somebody else wrote meanwhile, copied, renamed.

A board is a file of the folder itself that ends in .toml and is no machine's profile.  Its job lies beside it in a
folder of its own: wren.toml, wren-job.
"""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from pearlkerf.bench.wrong import CannotBe
from pearlkerf.files.beside import BesideIn
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import MadeFrom, recorded
from pearlkerf.files.toml_tables import MOST_BYTES
from pearlkerf.files.whole import NotAsItWas, alone_in, read_file, replace_file
from pearlkerf.layout.drawings import Drawings

if TYPE_CHECKING:
    from pearlkerf.way import Look

ENDING: Final = ".toml"
OWN: Final = "./"  # before the name of a profile of the folder, as a command names it
JOB: Final = "-job"
PIECES: Final = "-pieces"
INLAY_COUPON: Final = "-inlay-coupon"
SHELL: Final = "-shell"  # photographs of its blanks
# what is called after a board goes with it when it gets another name
BESIDE: Final = (JOB, PIECES, SHELL, INLAY_COUPON, "-coupon", "-calibration", "-strip")
NOTEBOOK: Final = "fits"  # the notebook of fits, which is no board
DRY_RUN: Final = "dry-run.html"
LONGEST_NAME: Final = 80  # characters
OF_NO_NAME: Final = frozenset('/\\:*?"<>|')
OF_A_PROFILE: Final = ("cutter", "spindle", "travel", "motion")
BOM: Final = b"\xef\xbb\xbf"

Made = Literal["", "made", "changed"]


@dataclass(frozen=True, slots=True)
class Held:
    """What a file holds: its text, with plain line ends and no mark before it, and a digest of its bytes."""

    text: str
    digest: str


class ChangedMeanwhile(Exception):
    """A board was written by somebody else since it was read; ``now`` is what it holds, None where it is gone."""

    def __init__(self, now: Held | None) -> None:
        self.now = now
        super().__init__()


@dataclass(frozen=True, slots=True)
class Shelf:
    """The boards of a folder; ``drawings`` are those of the boards at hand, kept from one stroke to the next."""

    folder: Path
    drawings: Drawings = field(default_factory=Drawings, compare=False, repr=False)

    def look(self, text: bytes | str, name: str) -> "Look":
        """Look at a text as at the board of this name, whose drawings lie in the folder."""
        from pearlkerf import way

        return way.look(text, BesideIn(self.folder), f"{name}{ENDING}", self.drawings)

    def names(self) -> list[str]:
        """Give the boards' names, in order."""
        found = [path.stem for path in self.folder.glob(f"*{ENDING}") if path.is_file() and is_name(path.stem)]
        return sorted(name for name in found if name != NOTEBOOK and not self.is_profile(name))

    def is_profile(self, name: str) -> bool:
        """Say whether a file of the folder is a machine's profile, and no board."""
        try:
            top = tomllib.loads(self.bytes_of(name).decode("utf-8"))
        except (OSError, ValueError, RecursionError, CannotBe):
            return False
        return "board" not in top and "scale" not in top and any(key in top for key in OF_A_PROFILE)

    def path(self, name: str) -> Path:
        """Give a board's file; raises CannotBe for a name that is none, or that leads out of the folder."""
        if not is_name(name):
            raise CannotBe("That is no name of a board: letters, figures and spaces make one.")
        path = self.folder / f"{name}{ENDING}"
        if path.resolve().parent != self.folder.resolve():
            raise CannotBe("That leads out of the folder.", 403)
        return path

    def job_folder(self, name: str) -> Path:
        """Give the folder of a board's job."""
        return self.path(name).with_name(f"{name}{JOB}")

    def bytes_of(self, name: str) -> bytes:
        """Give a board's file as it is, at most one byte more than a board file may have; raises OSError."""
        return read_file(self.path(name), MOST_BYTES)

    def read(self, name: str) -> Held:
        """Read a board; raises OSError, and CannotBe where it is too long, or no text."""
        return held(self.bytes_of(name))

    def save(self, name: str, text: str, as_read: str) -> Held:
        """Save a board whose file still has the digest ``as_read``; line ends and mark stay as they are in the file.

        Raises ChangedMeanwhile, with the file as it is, or OSError.
        """
        return self._put(name, text, lambda now: now is not None and digest(now) == as_read)

    def begin(self, name: str, text: str) -> Held:
        """Save a new board; raises CannotBe where one has this name, OSError."""
        try:
            return self._put(name, text, lambda now: now is None)
        except ChangedMeanwhile:
            raise CannotBe(f"There is a {name}{ENDING} already: choose another name.", 409) from None

    def _put(self, name: str, text: str, may_replace: Callable[[bytes | None], bool]) -> Held:
        path = self.path(name)
        try:  # the bytes follow what is there; should that change meanwhile, nothing is replaced
            data = _like(path.read_bytes() if path.exists() else None, text)
            replace_file(path, data, may_replace)
        except NotAsItWas as fault:
            raise ChangedMeanwhile(None if fault.now is None else held(fault.now)) from None
        return held(data)

    def has_notebook(self) -> bool:
        """Say whether there is a notebook of fits."""
        return self.path(NOTEBOOK).is_file()

    def notebook(self) -> Held:
        """Read the notebook of fits; raises as ``read`` does."""
        return self.read(NOTEBOOK)

    def keep_notebook(self, text: str, held: Held | None) -> None:
        """Save the notebook of fits, begun or as it was read; raises as ``begin`` and ``save`` do."""
        if held is None:
            self.begin(NOTEBOOK, text)
        else:
            self.save(NOTEBOOK, text, held.digest)

    def copy(self, name: str, to: str) -> Held:
        """Copy a board under another name; raises as ``read`` and ``begin`` do."""
        return self.begin(to, self.read(name).text)

    def rename(self, name: str, to: str) -> None:
        """Rename a board, and its folders with it; raises CannotBe where one of the names is taken, OSError."""
        old, new = self.path(name), self.path(to)
        folders = [(old.with_name(f"{name}{of}"), new.with_name(f"{to}{of}")) for of in BESIDE]
        there = [(one, other) for one, other in folders if one.is_dir()]
        with alone_in(self.folder):
            if new.exists() or any(other.exists() for _, other in there):
                raise CannotBe(f"There is a {to} already: choose another name.", 409)
            old.rename(new)
            for one, other in there:
                one.rename(other)

    def folder_of(self, name: str, of: str) -> Path:
        """Give a folder that is called after a board; raises CannotBe for one that leads out of the folder."""
        folder = self.path(name).with_name(f"{name}{of}")
        if folder.resolve().parent != self.folder.resolve():
            raise CannotBe("That leads out of the folder.", 403)
        return folder

    def made(self, name: str, board: bytes) -> Made:
        """Say whether a board's job was made, and whether its file was changed since."""
        return made_of(recorded(self.job_folder(name)), board)


def is_name(name: str) -> bool:
    """Say whether a board may be called so: one plain name, of no more characters than a folder takes.

    >>> is_name("wren, tenor"), is_name("../wren"), is_name(".wren"), is_name("")
    (True, False, False, False)
    """
    plain = bool(name) and len(name) <= LONGEST_NAME and name == name.strip() and not name.startswith((".", "-"))
    return plain and name.isprintable() and not OF_NO_NAME.intersection(name)


def made_of(record: MadeFrom | None, board: bytes) -> Made:
    """Say whether what is recorded was made of a board as it is now."""
    if record is None:
        return ""
    return "made" if record.board_sha256 == digest(board) else "changed"


def own_profile(machine: str) -> str | None:
    """Give the name of a profile of the folder, as a command names it; None for a machine that comes along.

    >>> own_profile("./my router.toml"), own_profile("benchtop-arcs")
    ('my router', None)
    """
    return machine.removeprefix(OWN).removesuffix(ENDING) if machine.startswith(OWN) else None


def held(data: bytes) -> Held:
    """Give what a file's bytes hold; raises CannotBe where that is too long, or no text."""
    if len(data) > MOST_BYTES:
        raise CannotBe(f"A board file has at most {MOST_BYTES} bytes, this one has more.", 422)
    try:
        text = data.removeprefix(BOM).decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise CannotBe("The file is not UTF-8 text: open it in an editor, and save it as UTF-8.", 422) from None
    return Held(text, digest(data))


def _like(now: bytes | None, text: str) -> bytes:
    """Give text as bytes, with line ends and mark as the file has them."""
    old = now or b""
    plain = text.replace("\r\n", "\n")
    if old.count(b"\n") and old.count(b"\r\n") == old.count(b"\n"):
        plain = plain.replace("\n", "\r\n")
    return (BOM if old.startswith(BOM) else b"") + encoded(plain)


def encoded(text: str) -> bytes:
    """Give text as UTF-8; raises CannotBe for half a pair of surrogates."""
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise CannotBe("The text has half a sign in it, which no file can hold.", 422) from None
