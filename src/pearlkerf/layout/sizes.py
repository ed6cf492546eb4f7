"""What a board asks of a group: the size that its fit is added to, and that fit; inlays have a gap each instead."""

from pearlkerf.board.model import Board
from pearlkerf.layout.groups import GROUPS


def size_asked_mm(board: Board, group: str) -> float:
    """Give the width or diameter that a board asks for, before its fit is added; the board has such features.

    >>> from pearlkerf.board.model import FaceDots, Scale
    >>> board = Board("", Scale(650, 20), 460.0, 52.0, 62.0, 6.0, face_dots=FaceDots((3,), 6.0, 1.5, 1.5, fit_mm=0.05))
    >>> size_asked_mm(board, "face dots"), fit_asked_mm(board, "face dots")
    (6.0, 0.05)
    """
    key = GROUPS[group].size_key.partition(".")[2]
    return float(getattr(getattr(board, GROUPS[group].table), f"{key}_mm"))


def fit_asked_mm(board: Board, group: str) -> float:
    """Give the fit that a board adds to a group's size; the board has such features."""
    return float(getattr(board, GROUPS[group].table).fit_mm)
