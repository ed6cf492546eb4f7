"""Cross-checks of inlays: pieces against the radius, wood under the pockets, what the drawing itself says."""

from collections.abc import Callable, Iterator, Mapping

from pearlkerf.board.inlays import Inlay
from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, at_least, down, one_of, up, weigh, wood
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.inlay_parts import InlayPart, Piece
from pearlkerf.layout.inlay_strips import needed_by_strips
from pearlkerf.layout.inlay_walls import INLAY_WALL_CHECKS
from pearlkerf.layout.inlays import depths_mm, thickness_mm
from pearlkerf.layout.limits import FLOOR, PROUDEST_MM, ROUNDING_MM, SHELL
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.tell import touching_places


def tell_drawings(board: Board, regions: Mapping[int, Region]) -> Iterator[Remark]:
    """Tell where a drawing's lines cross themselves, and where its parts touch in a point: no wall can stand there."""
    for inlay in board.inlays:
        found = regions.get(inlay.index)
        if found is None:
            continue
        for places, what, hint in (
            (found.crossings, "its lines cross themselves", "look whether what is filled there is what you mean"),
            (touching_places(found), "its parts touch in a point", "part them there, or let them meet in a line"),
        ):
            if places:
                (x, y), more = places[0], f" and in {len(places) - 1} more places" if len(places) > 1 else ""
                yield Remark("doubtful", Problem(
                    key=inlay.key(inlay.drawn_by), hint=hint,
                    found=f"{what} {x:.2f} mm along and {y:.2f} mm up from the middle of the drawing{more}",
                ))  # fmt: skip


def check_names(laid: Laid) -> Iterator[Remark]:
    """No two pockets are called the same."""
    seen: dict[str, Inlay] = {}
    for part in sorted(laid.inlays, key=lambda part: part.inlay.index):
        other = seen.setdefault(part.pocket.name, part.inlay)
        if other.index != part.inlay.index:
            yield Remark("refused", Problem(
                key=part.inlay.key("name"), found=f'two inlays have a pocket called "{part.pocket.name}"',
                allowed="a name for each", hint="write a name of its own for one of them"))  # fmt: skip


def check_pieces(laid: Laid) -> Iterator[Remark]:
    """Pieces are thick enough to end flush under the radius, and are not sanded thin."""
    pieces = [(part, piece) for part in laid.inlays for piece in part.pieces]
    for inlay in dict.fromkeys(piece.inlay for _, piece in pieces):
        own = [(part, piece) for part, piece in pieces if piece.inlay == inlay]
        part, worst = max(own, key=lambda each: _missing_mm(laid, each[1]))
        if _missing_mm(laid, worst) > ROUNDING_MM:
            yield Remark("refused", _too_thin(laid, part, worst))
        else:
            yield from _thin_after_levelling(laid, own)


def _missing_mm(laid: Laid, piece: Piece) -> float:
    shallowest, deepest = depths_mm(laid.board, piece)
    return shallowest - deepest


def _too_thin(laid: Laid, part: InlayPart, piece: Piece) -> Problem:
    """Tell by how much, and compare what would do: in one part, in strips, or with a floor that follows the face."""
    inlay, thinnest = piece.inlay, thickness_mm(laid.board, piece.inlay)[0]
    needed = thinnest + _missing_mm(laid, piece)
    fall = 0.0 if inlay.floor == "follow" else piece.falls.between_mm
    ways = "" if inlay.floor == "follow" else f", or compare: {needed_by_strips(laid, inlay)}"
    proud = inlay.proud_mm - (needed - thinnest)
    return Problem(
        key=inlay.thickness_key,
        found=f"pieces {thinnest:.2f} mm thick are too thin for {part.pocket.name}: the finished surface falls by "
        f"{fall:.2f} mm under it, {inlay.proud_mm:.2f} mm stands proud and {inlay.shell_left_mm:.2f} mm must be left",
        allowed=f"at least {up(needed)} mm",
        hint=one_of(f"use pieces at least {up(needed)} mm thick",
                    f"set proud to at most {down(proud)} mm" if proud >= 0 else "") + ways,
    )  # fmt: skip


def _thin_after_levelling(laid: Laid, own: list[tuple[InlayPart, Piece]]) -> Iterator[Remark]:
    def left_mm(each: tuple[InlayPart, Piece]) -> float:
        part, piece = each
        fall = 0.0 if piece.inlay.floor == "follow" else piece.falls.greatest_mm
        return -part.pocket.deepest_mm - laid.board.crown_allowance_mm - fall

    part, piece = min(own, key=left_mm)
    inlay, left = piece.inlay, left_mm((part, piece))
    thinnest, thickest = thickness_mm(laid.board, inlay)
    yield from weigh(left, SHELL, lambda limit_mm: Problem(
        key=inlay.thickness_key,
        found=f"{left:.2f} mm is left of the piece of {part.pocket.name} after levelling, where it is thinnest",
        allowed=f"{SHELL.advised_mm:.2f} mm is advised, thinner shell shows the glue and the wood under it",
        hint=f"use pieces at least {up(thinnest + limit_mm - left)} mm thick",
    ))  # fmt: skip
    if thickest > thinnest and thickest - left > PROUDEST_MM + ROUNDING_MM:
        yield Remark("doubtful", Problem(
            key=inlay.thickness_key,
            found=f"a piece {thickest:.2f} mm thick will stand up to {thickest - left:.2f} mm proud",
            allowed=f"{PROUDEST_MM:.2f} mm is easily levelled",
            hint="sort the pieces by thickness, or level them wet, a little at a time",
        ))  # fmt: skip


def check_shared_floors(laid: Laid) -> Iterator[Remark]:
    """Pieces that share a pocket share its floor."""
    for part in laid.inlays:
        guest = next((each.inlay for each in part.pieces if each.inlay.set_in), None)
        if guest is None:
            continue
        key, host = guest.key("set_in"), guest.set_in
        if len({each.inlay.floor for each in part.pieces}) > 1:
            yield Remark("refused", Problem(
                key=key, found=f"the floor of {guest.called} and that of {host} are one, and not said alike",
                allowed="one floor", hint='write floor = "level" or floor = "follow" for both'))  # fmt: skip
        apart = part.pocket.deepest_mm - part.pocket.shallowest_mm
        if apart > ROUNDING_MM and all(_missing_mm(laid, each) <= ROUNDING_MM for each in part.pieces):
            yield Remark("refused", Problem(
                key=key, found=f"no depth of {part.pocket.name} is right for all pieces in it: one of them asks for "
                f"{apart:.2f} mm less than another",
                allowed="one floor for pieces that share a pocket",
                hint="use materials nearer to each other in thickness, or leave set_in out"))  # fmt: skip


def check_wood_under_inlays(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood under them."""
    for inlay in dict.fromkeys(part.inlay for part in laid.inlays):
        part = max((each for each in laid.inlays if each.inlay == inlay), key=lambda each: each.lowest_mm)
        yield from weigh(laid.board.thickness_mm - part.lowest_mm, FLOOR, _thin_wood(laid, part))


def _thin_wood(laid: Laid, part: InlayPart) -> Callable[[float], Problem]:
    left, inlay = laid.board.thickness_mm - part.lowest_mm, part.inlay

    def thin(limit_mm: float) -> Problem:
        return Problem(
            key=inlay.thickness_key,
            found=f"{wood(left)} stays under {part.pocket.name}, whose pocket ends {part.lowest_mm:.2f} mm below the "
            "top of the blank",
            allowed=at_least(FLOOR),
            hint=f"use pieces thinner by {up(limit_mm - left)} mm, or a blank of at least "
            f"{up(laid.board.thickness_mm + limit_mm - left)} mm",
        )

    return thin


INLAY_CHECKS = (check_names, check_pieces, check_shared_floors, check_wood_under_inlays, *INLAY_WALL_CHECKS)
