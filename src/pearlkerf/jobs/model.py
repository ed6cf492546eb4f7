"""A job: a board, its carrier or a piece on scrap, on one machine, with the motion that cuts it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit
from pearlkerf.machine.model import Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.program.write import Program
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.drilling_strip import DrillingStrip
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.toolpath.moves import Toolpath

if TYPE_CHECKING:
    from pearlkerf.setups.inlay_coupons import InlayCoupon


@dataclass(frozen=True, slots=True)
class Piece:
    """What is cut in a board's place: a coupon, of one inlay or others, a calibration piece or a drilling strip.

    ``left_out`` is what is not cut of it.
    """

    of: "Coupon | InlayCoupon | Calibration | DrillingStrip"
    left_out: tuple[Problem, ...]

    @property
    def setups(self) -> tuple[Setup, ...]:
        """Give its setups: of scrap, and of an inlay's coupon that of the blanks from which its pieces are cut."""
        pieces = getattr(self.of, "pieces", None)
        return (self.of.setup,) if pieces is None else (self.of.setup, pieces)


@dataclass(frozen=True, slots=True)
class Job:
    """A board on a machine: how it is cut, and the motion that cuts it.

    ``piece`` is what is cut in the board's place, on scrap.  ``asked`` is what was asked for beyond the
    board, as plain data, as the job's record keeps it.
    """

    clampings: Clampings
    machine: Machine
    workplans: tuple[Workplan, ...]
    toolpaths: tuple[Toolpath, ...]
    piece: Piece | None = None
    asked: Mapping[str, object] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """What the board is called."""
        return self.clampings.layout.board.title

    @property
    def unit(self) -> Unit:
        """What people are told of it in."""
        return self.clampings.layout.board.unit

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What the maker should be told, of the board and of the way that it is cut, each once."""
        left_out = self.piece.left_out if self.piece else ()
        of_plans = (warning for each in self.workplans for warning in each.warnings)
        return tuple(dict.fromkeys([*left_out, *self.clampings.warnings, *of_plans]))


@dataclass(frozen=True, slots=True)
class Made:
    """The programs of a job, and what they were made from: the board file's text, the profile's, the files beside."""

    job: Job
    programs: tuple[Program, ...]
    board: bytes
    profile: bytes
    beside: Mapping[str, bytes] = field(default_factory=dict)
