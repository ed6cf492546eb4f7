"""What a coupon tries: the board's own cutters, in the sizes that they make; and what each cutter really makes."""

from dataclasses import replace

import pytest

from makers import POCKET_MILL, SIDE_MILL, SLOT_MILL, a_board, a_layout, a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import plan_job
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.choose import choose
from pearlkerf.operations.trials import calibration_cutter, trials
from pearlkerf.operations.widths import true_widths
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.steps import Steps

THIN_MILL = Cutter(4, "end mill", 0.4, 2, 3.0)
DOT_BIT = Cutter(5, "brad point", 6.0, 2, 12.0, point_length_mm=1.0)
STEPS = Steps()


def tried(*cutters: Cutter, **board: object) -> tuple[dict[str, tuple[int, tuple[float, ...]]], str]:
    found, left_out = trials(clamped(**board), a_machine(*cutters), STEPS)
    sizes = {trial.group: (trial.cutter.number, tuple(round(size, 6) for size in trial.sizes_mm)) for trial in found}
    return sizes, " ".join(problem.found for problem in left_out)


def test_a_feature_that_names_its_cutter_is_cut_by_that_one_or_not_at_all() -> None:
    setup = clamped().setups[0]
    twin = replace(SLOT_MILL, number=7, diameter_mm=0.59)
    for feature in setup.features:
        by_width = choose(feature, setup, (SLOT_MILL, POCKET_MILL, twin))
        named = choose(replace(feature, cutter=7), setup, (SLOT_MILL, POCKET_MILL, twin))
        assert named[0] == twin and by_width[0] != twin  # type: ignore[index]
        assert hasattr(choose(replace(feature, cutter=9), setup, (SLOT_MILL, POCKET_MILL)), "found")


def test_mills_that_leave_room_make_every_size() -> None:
    sizes, left_out = tried(THIN_MILL, POCKET_MILL, SIDE_MILL)
    assert left_out == ""
    assert sizes == {
        "face dots": (2, (5.95, 5.975, 6.0, 6.025, 6.05, 6.075, 6.1)),
        "frets": (4, (0.53, 0.555, 0.58, 0.605, 0.63, 0.655, 0.68)),
        "side dots": (3, (1.95, 1.975, 2.0, 2.025, 2.05, 2.075, 2.1)),
    }


def test_a_slot_mill_and_a_bit_make_their_own_width_only() -> None:
    sizes, left_out = tried(SLOT_MILL, DOT_BIT, SIDE_MILL)
    assert sizes["frets"] == (1, (0.58,)) and sizes["face dots"] == (5, (6.0,))
    assert "slots of 0.530, 0.555, 0.605, 0.630, 0.655, 0.680 mm are left out: cutter 1" in left_out
    assert (
        "pockets of 5.950, 5.975, 6.025, 6.050, 6.075, 6.100 mm are left out: cutter 5, brad point 6.000 mm" in left_out
    )


def test_a_size_that_would_need_another_strategy_is_left_out() -> None:
    """A side mill of 1.92 mm bores 2.025 mm and more; 2.000 mm has no orbit left, and 1.925 would be a plunge."""
    narrow = replace(SIDE_MILL, diameter_mm=1.92)
    dots = replace(a_board().side_dots, diameter_mm=2.05)
    sizes, left_out = tried(POCKET_MILL, narrow, side_dots=dots, fret_slots=None)
    assert sizes["side dots"] == (3, (2.025, 2.05, 2.075, 2.1, 2.125, 2.15))
    assert "side holes of 2.000 mm are left out: cutter 3" in left_out


def test_steps_count_from_the_dot_and_the_tang_whatever_the_fit_is_now() -> None:
    board = a_board()
    fitted = {"face_dots": replace(board.face_dots, fit_mm=0.075), "fret_slots": replace(board.fret_slots, fit_mm=0.03)}
    sizes, _ = tried(THIN_MILL, POCKET_MILL, SIDE_MILL, **fitted)
    assert sizes["face dots"][1][2] == 6.0 and sizes["frets"][1][2] == 0.58


def test_depths_are_those_of_the_board() -> None:
    layout = a_layout()
    found, _ = trials(set_up(layout), a_machine(), STEPS)
    depths = {trial.group: trial.depth_mm for trial in found}
    assert depths["face dots"] == pytest.approx(max(-hole.floor_mm for hole in layout.face_dots))
    assert depths["frets"] == pytest.approx(2.2)  # 2.0 mm below the finished face, 0.2 mm crown allowance
    assert depths["side dots"] == pytest.approx(3.0)


def test_a_calibration_piece_takes_the_boards_widest_mill_or_the_one_asked_for() -> None:
    setting, wide = clamped(), Cutter(8, "end mill", 6.35, 2, 20.0, plunges=False)
    assert calibration_cutter(setting, a_machine(SLOT_MILL, POCKET_MILL, SIDE_MILL, wide), None) == POCKET_MILL
    assert calibration_cutter(setting, a_machine(SLOT_MILL, POCKET_MILL, SIDE_MILL, wide), 8) == wide
    assert calibration_cutter(setting, a_machine(SLOT_MILL, DOT_BIT), 5) == DOT_BIT
    with pytest.raises(Refusal, match="cutter 6"):
        calibration_cutter(setting, a_machine(SLOT_MILL, Cutter(6, "ball", 3.0, 2, 9.0)), 6)


def test_true_widths_say_what_runout_adds_and_what_the_path_allows_for() -> None:
    """Diameter + runout (total indicator reading): 0.58 + 0.02 = 0.60 mm, derived; walls are laid by the diameter."""
    runs_out = [replace(cutter, runout_mm=0.02) for cutter in (SLOT_MILL, POCKET_MILL, SIDE_MILL)]
    widths = true_widths(plan_job(clamped(), a_machine(*runs_out)).workplans)
    by_group = {width.group: width for width in widths}
    assert by_group["frets"].makes_mm == pytest.approx(0.60)
    assert by_group["face dots"].makes_mm == pytest.approx(6.02)
    assert "makes its own width (full width)" in str(by_group["frets"])
    assert "path runs 1.500 mm off the middle (bore), which allows for 3.000 mm" in str(by_group["face dots"])
    assert "fit less 0.020 mm" in str(by_group["face dots"])
    true = true_widths(plan_job(clamped(), a_machine()).workplans)
    assert all(width.makes_mm == pytest.approx(width.wanted_mm) and "than wanted" not in str(width) for width in true)
