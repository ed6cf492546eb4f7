"""From a board file to a board: everything that is wrong with the file itself, at once."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePath

from pearlkerf.board.fretwire import fretwire_doubts
from pearlkerf.board.inlay_reader import dots_at_odds, read_inlays
from pearlkerf.board.model import (
    Binding,
    Blank,
    Board,
    FaceDots,
    FretSlots,
    Partial,
    Radius,
    Scale,
    SideDots,
    Strings,
    WidthAt,
)
from pearlkerf.board.named_frets import numbers_of, unknown_names
from pearlkerf.board.sizes import sizes_at_odds, sizes_of
from pearlkerf.board.tables import (
    OCTAVE,
    BindingTable,
    BlankTable,
    BoardFileTable,
    FaceDotsTable,
    FretSlotsTable,
    ScaleTable,
    SideDotsTable,
    StringsTable,
)
from pearlkerf.board.usual import Doubts, doubts
from pearlkerf.board.usual_inlays import inlay_doubts
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.beside import BesideIn, FilesBeside, nothing_beside
from pearlkerf.files.lengths import Unit
from pearlkerf.files.toml_keys import several_of
from pearlkerf.files.toml_models import read_model
from pearlkerf.files.toml_tables import MOST_BYTES, Places, read_tables
from pearlkerf.machine.holding import check_holding, holding_of


@dataclass(frozen=True, slots=True)
class BoardFile:
    """A board file as read.

    ``board`` holds as much as could be read, so that the layout can look at it too; None where what
    must be there is missing or wrong.  A file with problems is never cut.  ``doubtful`` are its unusual
    figures.  ``unit`` is that of its bare numbers, None where it cannot be told; ``beside`` reads the
    files that it names, and ``files`` are those that it read, by name.
    """

    board: Board | None
    problems: tuple[Problem, ...]
    places: Places
    file: str
    text: bytes
    unit: Unit | None = None
    beside: FilesBeside = nothing_beside
    doubtful: tuple[Problem, ...] = ()
    files: Mapping[str, bytes] = field(default_factory=dict)


def read_board(path: Path) -> BoardFile:
    """Read a board file, which finds other files in its folder; raises OSError where it cannot be read."""
    with path.open("rb") as file:
        text = file.read(MOST_BYTES + 1)
    return read_board_text(text, str(path), BesideIn(path.parent))


def read_board_text(text: bytes, file: str, beside: FilesBeside = nothing_beside) -> BoardFile:
    """Read the text of a board file that is called ``file`` in what is told of it."""
    try:
        tables = read_tables(text, file, several_of(BoardFileTable))
    except Refusal as refusal:
        return BoardFile(None, refusal.problems, Places(file, {}), file, text)
    written = tables.data.get("unit")
    unit: Unit | None = written if written in ("mm", "in") else None
    read, problems = read_model(BoardFileTable, tables, unit)
    board = None if read is None else _board(read, PurePath(file).stem, unit or "mm")
    found, files = Doubts(), dict[str, bytes]()
    if read is not None:
        inlays = read_inlays(read.inlay, read.inlay_blank, _scale(read.scale), beside)
        files = dict(inlays.files)
        found = inlay_doubts(inlays.every, read.unusual, unit)
        board = board and replace(board, inlays=inlays.inlays, inlay_blanks=inlays.blanks)
        problems += map(tables.places.put, inlays.problems)
        if board is not None and board.face_dots is not None:
            problems += map(tables.places.put, dots_at_odds(board.face_dots, board.inlay_blanks))
        problems += [tables.places.put(problem) for problem in check_holding(read.holding)]
        problems += map(tables.places.put, _at_odds(read, _known_keys(tables.data["board"], problems)))
    if board is not None:
        found = doubts(board, unit).and_then(fretwire_doubts(board, unit)).and_then(found)
    problems += map(tables.places.put, found.refused)
    doubtful = tuple(map(tables.places.put, found.doubtful))
    problems.sort(key=lambda problem: (problem.line or 0, problem.column or 0))
    return BoardFile(board, tuple(problems), tables.places, file, text, unit, beside, doubtful, files)


def _board(read: BoardFileTable, stem: str, unit: Unit) -> Board | None:
    """Give the board; None where its sizes are not known."""
    table, scale = read.board, _scale(read.scale)
    sizes = sizes_of(table, scale)
    if sizes is None:
        return None
    return Board(
        title=stem if read.title is None else read.title,
        scale=scale,
        length_mm=sizes.length_mm,
        nut_width_mm=sizes.nut_width_mm,
        end_width_mm=sizes.end_width_mm,
        thickness_mm=table.thickness,
        radius=Radius(*table.radius),
        state=table.state,
        crown_allowance_mm=table.crown_allowance,
        wood=table.wood,
        hand=table.hand,
        blank=None if read.blank is None else _blank(read.blank),
        binding=None if read.binding is None else Binding(read.binding.thickness, read.binding.put_on),
        fret_slots=None if read.fret_slots is None else _fret_slots(read.fret_slots, read.binding),
        face_dots=None if read.face_dots is None else _face_dots(read.face_dots, scale),
        side_dots=None if read.side_dots is None else _side_dots(read.side_dots, scale),
        holding=holding_of(read.holding),
        unusual=tuple(dict.fromkeys(read.unusual)),
        strings=None if read.strings is None else _strings(read.strings),
        nut=table.nut,
        before_nut_mm=table.before_nut,
        partial=tuple(
            Partial(number, each.strings) for each in read.partial for number in numbers_of([each.fret], scale)
        ),
        width_at=None if table.width_at is None else WidthAt(*table.width_at),
        widths=tuple(table.widths),
        end="slanted" if table.end == "slanted" else "square",
        end_arc_mm=None if isinstance(table.end, str) else table.end,
        unit=unit,
    )


def _known_keys(board: Mapping[str, object], problems: Sequence[Problem]) -> frozenset[str]:
    """Give the keys that [board] has, with those that it has mistyped: each mistake is told once."""
    meant = re.findall(r'did you mean "(\w+)"\?', " ".join(each.hint for each in problems))
    return frozenset((*board, *meant))


def _at_odds(read: BoardFileTable, written: frozenset[str]) -> Iterator[Problem]:
    """Give what of a file's keys does not go together, or is missing; ``written`` are those of [board]."""
    scale = _scale(read.scale)
    yield from unknown_names(read, scale)
    yield from sizes_at_odds(read.board, scale, written)
    ways = [name for name in ("division", "steps", "cents") if getattr(read.scale, name)]
    if len(ways) > 1:
        yield Problem(
            key=f"scale.{ways[-1]}", found=f"the octave is divided by {' and by '.join(ways)}", allowed="one of them",
            hint=f"leave {' or '.join(ways)} out")  # fmt: skip


def _scale(table: ScaleTable) -> Scale:
    length, treble = table.length
    return Scale(
        length_mm=length,
        frets=table.frets,
        treble_mm=treble,
        square_at=table.square_at,
        division=OCTAVE if table.division is None else table.division,
        steps=tuple(table.steps),
        cents=tuple(table.cents),
        left_out=tuple(table.left_out),
        names=tuple(table.names),
        zero_fret=table.zero_fret,
        behind_zero_mm=table.behind_zero,
        nut_forward_mm=table.nut_forward,
    )


def _strings(table: StringsTable) -> Strings:
    return Strings(table.count, table.spread_at_nut, table.spread_at_bridge)


def _blank(table: BlankTable) -> Blank:
    return Blank(table.width, table.beyond_nut, table.beyond_end, table.trim, table.trim_depth, table.trim_width)


def _fret_slots(table: FretSlotsTable, binding: BindingTable | None) -> FretSlots:
    bound = binding is not None and binding.put_on == "before"
    return FretSlots(
        width_mm=table.width,
        depth_mm=table.depth,
        floor=table.floor,
        ends=table.ends or ("stopped" if bound else "through"),
        margin_mm=table.margin,
        state=table.state,
        fit_mm=table.fit,
        measured_mm=tuple(table.measured),
        tang_mm=table.tang,
        barbs_mm=table.barbs,
        tang_depth_mm=table.tang_depth,
    )


def _face_dots(table: FaceDotsTable, scale: Scale) -> FaceDots:
    return FaceDots(
        frets=numbers_of(table.frets, scale),
        diameter_mm=table.diameter,
        thinnest_mm=table.thickness[0],
        thickest_mm=table.thickness[1],
        double=numbers_of(table.double, scale),
        proud_mm=table.proud,
        fit_mm=table.fit,
        shell_left_mm=table.shell_left,
        spacing_mm=table.spacing,
        across_mm=0.0 if isinstance(table.across, str) else table.across,
        between="bass" if table.across == "bass" else "treble" if table.across == "treble" else "",
        triple=numbers_of(table.triple, scale),
        material=table.material,
    )


def _side_dots(table: SideDotsTable, scale: Scale) -> SideDots:
    return SideDots(
        frets=numbers_of(table.frets, scale),
        diameter_mm=table.diameter,
        depth_mm=table.depth,
        double=numbers_of(table.double, scale),
        height_mm=table.height,
        spacing_mm=table.spacing,
        margin_mm=table.margin,
        fit_mm=table.fit,
        edges=table.edges,
    )
