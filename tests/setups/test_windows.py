"""The fewest windows for features on a short travel, held against every way to place them."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.setups.windows import Mark, Window, windows_by_marks, windows_by_pitch

Reach = tuple[float, float]
reaches_of_boards = st.lists(
    st.tuples(st.integers(0, 60), st.integers(1, 6)).map(lambda pair: (float(pair[0]), float(sum(pair)))),
    min_size=1,
    max_size=7,
)


def held(reach: Reach, low: float, travel: float) -> bool:
    return low <= reach[0] and reach[1] <= low + travel


def fewest_by_pitch(reaches: list[Reach], travel: float, pitch: int) -> int | None:
    """Try every left end (whole numbers suffice: all figures are) and every set of whole pitches."""
    best = None
    for left in range(-int(travel), 1):
        steps = range((60 - left) // pitch + 1)
        for count in range(1, len(reaches) + 1):
            if best is not None and count >= best:
                break
            for some in combinations(steps, count):
                if all(any(held(each, left + n * pitch, travel) for n in some) for each in reaches):
                    best = count
                    break
    return best


def fewest_by_marks(reaches: list[Reach], travel: float, marks: list[Mark]) -> int | None:
    """Try windows at every whole number, in every order, whatever they hold, until all is held."""
    everything = frozenset(range(len(reaches)))
    states = {frozenset[int]()}
    for count in range(1, len(reaches) + 1):
        following = set()
        for done in states:
            there = [mark.x_mm for mark in marks if mark.member is None or mark.member in done]
            for low in range(-int(travel), 67):
                if any(low <= x <= low + travel for x in there):
                    following.add(done | {n for n, each in enumerate(reaches) if held(each, low, travel)})
        if everything in following:
            return count
        if following == states:
            return None
        states = following
    return None


def hold_together(windows: tuple[Window, ...], reaches: list[Reach], travel: float) -> None:
    assert sorted(member for window in windows for member in window.members) == list(range(len(reaches)))
    for window in windows:
        low = min(reaches[member][0] for member in window.members)
        assert all(reaches[member][1] <= low + travel for member in window.members)


@given(reaches_of_boards, st.integers(12, 40), st.integers(2, 6))
def test_windows_by_pitch_are_the_fewest_that_there_can_be(reaches: list[Reach], travel: int, pitch: int) -> None:
    windows = windows_by_pitch(reaches, travel, pitch)
    assert len(windows) == fewest_by_pitch(reaches, travel, pitch)
    hold_together(windows, reaches, travel)
    lows = [min(reaches[m][0] for m in window.members) - window.steps * pitch for window in windows]
    highs = [max(reaches[m][1] for m in window.members) - window.steps * pitch for window in windows]
    assert max(0.0, *highs) - min(0.0, *lows) <= travel  # one zero for all of them


@given(reaches_of_boards, st.integers(8, 40), st.sets(st.integers(0, 6)), st.integers(0, 20))
def test_windows_by_marks_are_the_fewest_that_there_can_be(
    reaches: list[Reach], travel: int, slots: set[int], sawn: int
) -> None:
    middles = [Mark((low + high) // 2, n) for n, (low, high) in enumerate(reaches) if n in slots]
    marks = [Mark(0.0), Mark(float(sawn)), *middles]
    windows = windows_by_marks(reaches, travel, marks)
    assert (len(windows) or None) == fewest_by_marks(reaches, travel, marks)
    if windows:
        hold_together(windows, reaches, travel)


@given(reaches_of_boards, st.integers(8, 40), st.sets(st.integers(0, 6)))
def test_every_window_holds_a_mark_that_is_there_by_then(reaches: list[Reach], travel: int, slots: set[int]) -> None:
    marks = [Mark(0.0), *(Mark(low, n) for n, (low, _) in enumerate(reaches) if n in slots)]
    done: set[int] = set()
    for window in windows_by_marks(reaches, travel, marks):
        mark = marks[window.mark]
        assert mark.member is None or mark.member in done
        places = [mark.x_mm, *(place for member in window.members for place in reaches[member])]
        assert max(places) - min(places) <= travel
        done |= set(window.members)


def test_what_no_window_can_hold_has_none() -> None:
    assert windows_by_pitch([(0.0, 20.0)], 10.0, 5.0) == ()
    assert windows_by_marks([(0.0, 20.0)], 10.0, [Mark(0.0)]) == ()
    assert windows_by_marks([(3.0, 5.0), (40.0, 42.0)], 10.0, [Mark(0.0)]) == ()  # no slot to go on from
    assert windows_by_pitch([(3.0, 7.0), (8.5, 12.5)], 5.0, 100.0) == ()  # one pitch carries it past


def test_the_board_stays_where_it_is_zeroed_if_that_serves() -> None:
    assert windows_by_pitch([(50.0, 52.0), (95.0, 97.0)], 100.0, 25.0) == (Window((0, 1)),)


def test_errors_of_zeroing_do_not_add_up_where_an_earlier_mark_serves() -> None:
    marks = [Mark(0.0), Mark(5.0, 0), Mark(12.0, 1)]
    first, second = windows_by_marks([(4.0, 6.0), (11.0, 13.0), (14.0, 16.0)], 15.0, marks)
    assert (first.members, first.mark) == ((0, 1), 0)
    assert (second.members, second.mark) == ((2,), 1)  # not the later slot, which would serve as well


def test_the_nut_corner_is_a_zero_wherever_it_serves() -> None:
    """Two windows do either way: on the nut end and on a slot, or on two slots, which find X less surely."""
    reaches = [(10.0, 12.0), (20.0, 22.0), (30.0, 32.0)]
    windows = windows_by_marks(reaches, 15.0, [Mark(0.0), Mark(9.0), Mark(19.0)])
    assert [(window.mark, window.members) for window in windows] == [(0, (0,)), (2, (1, 2))]


def test_the_nut_corner_is_left_where_it_would_ask_for_one_more_window() -> None:
    reaches = [(3.0, 5.0), (12.0, 14.0), (20.0, 22.0)]
    windows = windows_by_marks(reaches, 12.0, [Mark(0.0), Mark(2.5), Mark(24.5)])
    assert [(window.mark, window.members) for window in windows] == [(1, (0, 1)), (2, (2,))]
