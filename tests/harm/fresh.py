"""Fresh programs to edit: boards, shops (shipped profiles and changes of them), and a job made once for each.

Everything goes the way of the command line, as a maker would, so that nothing here knows the inside of the
project; board and machine are read once for all edits of a job's programs.
"""

import re
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner, Result
from edits import Text, text_of

from pageless import without_pages
from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.commands.asked import marks_option
from pearlkerf.commands.prove import prove
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import Assumed
from pearlkerf.reading.motions import ProgramText

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "tests" / "golden" / "short-board.toml"
EXAMPLES = ROOT / "examples"
HELD = """
[[holding]]
name = "clamp at the nut"
x = [-40, -12]
y = [-20, 20]
above_wood = 5

[[holding]]
name = "fence"
x = [0, 90]
y = [-60, -32]
above_bed = 2
"""


@dataclass(frozen=True)
class Shop:
    """A machine: a shipped profile, with lines of its own."""

    name: str
    profile: str
    changes: tuple[tuple[str, str], ...] = ()  # patterns, each found once or more, and what comes in their place

    def toml(self) -> str:
        """Give the profile's text."""
        text = (ROOT / "machine_profiles" / f"{self.profile}.toml").read_text(encoding="utf-8")
        for pattern, new in self.changes:
            text, count = re.subn(pattern, new, text, flags=re.MULTILINE)
            if not count:
                raise RuntimeError(f"{self.name}: no {pattern!r} in {self.profile}")
        return text


@dataclass(frozen=True)
class Fresh:
    """A program of a job: which board in which shop, and which program of what is written."""

    board: str  # "short", "short held", or an example's name
    shop: Shop
    program: str  # a pattern that one file's name fits
    options: tuple[str, ...] = ()  # of the command that makes it
    command: str = "cut"
    said: tuple[str, ...] = ()  # to ``prove``, besides

    @property
    def job(self) -> tuple:
        """What is made in one go."""
        return self.board, self.shop, self.options, self.command


@dataclass(frozen=True)
class Proof:
    """What ``prove`` said of a program."""

    proved: bool
    rules: frozenset[int]  # of what was found
    messages: tuple[str, ...]


@dataclass(frozen=True)
class Held:
    """What the command ``prove`` holds programs against."""

    look: way.Look
    machine: Machine
    said: Assumed


def board_text(name: str) -> str:
    """Give the text of a board's file."""
    if name.startswith("short"):
        return SHORT.read_text(encoding="utf-8") + (HELD if name == "short held" else "")
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def run(*arguments: object) -> Result:
    """Give what a command says."""
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


class Bench:
    """Makes jobs in a folder of its own, each once, and proves what became of their programs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.jobs: dict[tuple, Path] = {}
        self.held: dict[tuple, Held] = {}
        self.tries = 0

    def job(self, fresh: Fresh) -> Path:
        """Give the folder that holds board.toml, the profile and the job."""
        if fresh.job not in self.jobs:
            self.tries += 1
            folder = self.folder / f"job-{self.tries}"
            folder.mkdir()
            (folder / "board.toml").write_text(board_text(fresh.board), encoding="utf-8")
            (folder / f"{fresh.shop.name}.toml").write_text(fresh.shop.toml(), encoding="utf-8")
            with without_pages():
                made = run(fresh.command, folder / "board.toml", "-m", folder / f"{fresh.shop.name}.toml",
                           "-o", folder / "job", *fresh.options)  # fmt: skip
            if made.exit_code:
                raise RuntimeError(f"{fresh.job} is not made: {made.stderr}")
            self.jobs[fresh.job] = folder
        return self.jobs[fresh.job]

    def program(self, fresh: Fresh) -> Path:
        """Give the file of the fresh program."""
        files = [path for path in (self.job(fresh) / "job").iterdir() if re.search(fresh.program, path.name)]
        if len(files) != 1:
            raise RuntimeError(f"{len(files)} programs fit {fresh.program!r} in {fresh.job}")
        return files[0]

    def text(self, fresh: Fresh) -> Text:
        """Give the fresh program as a text to be edited."""
        limit = re.search(r"^line_limit = (\d+)", fresh.shop.toml(), re.MULTILINE)
        return text_of(self.program(fresh).read_bytes(), int(limit[1]) if limit else 70)

    def prove(self, fresh: Fresh, program: bytes) -> Proof:
        """Hold an edited program against its board and shop, as the command does."""
        against = self._against(fresh)
        text = ProgramText(self.program(fresh).name, program)
        verdict = way.prove(against.look, against.machine, [text], against.said).verdict
        found = verdict.findings
        return Proof(verdict.proved, frozenset(each.rule for each in found),
                     tuple(f"{each.message} (rule {each.rule})" for each in found))  # fmt: skip

    def _against(self, fresh: Fresh) -> Held:
        """Give what the command would make of its options, once for each that are alike."""
        key = fresh.job, fresh.said
        if key not in self.held:
            folder, program = self.job(fresh), self.program(fresh)
            asked = (program, folder / "board.toml", "-m", folder / f"{fresh.shop.name}.toml", *fresh.said)
            options = prove.make_context("prove", [str(each) for each in asked]).params
            look = way.look_at(options["board"])
            look = way.as_measured(look, marks_option(options["at"], look))
            said = Assumed(options["setup"], options["cutters"])
            self.held[key] = Held(look, read_machine(options["machine_name"]), said)
        return self.held[key]

    def words(self, fresh: Fresh, program: bytes) -> tuple[int, str]:
        """Give the exit code and the words for people."""
        folder = self.job(fresh)
        self.tries += 1
        tried = folder / f"try-{self.tries}"
        tried.mkdir()
        file = tried / self.program(fresh).name
        file.write_bytes(program)
        result = run("prove", file, folder / "board.toml", "-m", folder / f"{fresh.shop.name}.toml", *fresh.said)
        return result.exit_code, result.output
