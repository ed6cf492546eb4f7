"""The setup pictures: where zero is, which side lies where, and what the player sees."""

import re
from xml.etree import ElementTree

import pytest

from makers import POCKET_MILL, a_layout, a_machine, clamped
from pearlkerf.operations.trials import trials
from pearlkerf.pictures.page.setup import players_view, setup_picture
from pearlkerf.setups.calibration import lay_out_calibration
from pearlkerf.setups.coupons import Steps, lay_out_coupon
from pearlkerf.setups.model import Setup


def a_setup(name: str, hand: str = "right") -> Setup:
    return next(setup for setup in clamped(hand=hand).setups if setup.name == name)


def words(svg: str) -> dict[str, tuple[float, float]]:
    """Every text of a picture with its place."""
    return {
        each.text or "": (float(each.attrib["x"]), float(each.attrib["y"]))
        for each in ElementTree.fromstring(svg).iter("text")
    }


def dots(svg: str) -> list[float]:
    """Where the dots lie, along the picture."""
    return [float(x) for x in re.findall(r'class="dot" cx="([\d.]+)"', svg)]


@pytest.mark.parametrize(("hand", "low"), [("right", "bass side"), ("left", "treble side")])
def test_face_shows_the_nut_at_the_left_and_the_right_side_toward_the_operator(hand: str, low: str) -> None:
    told = words(setup_picture(a_setup("face", hand)))
    high = {"bass side": "treble side", "treble side": "bass side"}[low]
    assert told["nut"][0] < told["bridge"][0]
    assert told[high][1] < told[low][1] < told["the operator stands here"][1]


def test_zero_of_the_face_lies_on_the_centre_line_at_the_nut() -> None:
    svg = setup_picture(a_setup("face"))
    zero = re.search(r'class="zero"><circle cx="([\d.]+)" cy="([\d.]+)"', svg)
    corners = re.search(r'class="wood" points="([^"]+)"', svg)
    assert zero is not None and corners is not None
    points = [tuple(map(float, pair.split(","))) for pair in corners.group(1).split()]
    assert float(zero.group(1)) == min(x for x, _ in points)
    assert float(zero.group(2)) == pytest.approx((min(y for _, y in points) + max(y for _, y in points)) / 2, abs=0.1)


def test_right_handed_player_sees_the_dots_as_the_machine_does() -> None:
    setup = a_setup("edge")
    told = words(players_view(setup))
    assert dots(players_view(setup)) == dots(setup_picture(setup))
    assert told["nut"][0] < told["bridge"][0]
    assert told["playing face"][1] < told["glue face, against the player"][1]


def test_left_handed_player_sees_the_nut_at_the_right_and_the_playing_face_away() -> None:
    setup = a_setup("edge", "left")
    told = words(players_view(setup))
    assert told["nut"][0] > told["bridge"][0]
    assert told["playing face"][1] < told["glue face, against the player"][1]
    turned = [760 - x for x in dots(setup_picture(setup))]
    assert dots(players_view(setup)) == pytest.approx(turned, abs=0.11)


def test_strip_that_is_drawn_taller_says_so() -> None:
    assert any(
        re.fullmatch(r"drawn \d+ times as thick as it is", each) for each in words(players_view(a_setup("edge")))
    )
    assert not any("times as thick" in each for each in words(setup_picture(a_setup("face"))))


def test_face_has_no_players_view() -> None:
    assert players_view(a_setup("face")) == ""


def test_scrap_is_labelled_where_its_parts_lie_and_has_no_nut_and_no_player() -> None:
    tried, _ = trials(clamped(), a_machine(), Steps())
    coupon = lay_out_coupon(a_layout(), tried, Steps(), None)
    calibration = lay_out_calibration(a_layout(), POCKET_MILL, None)
    for setup, names in ((coupon.setup, "1234567"), (calibration.setup, "ABCDE12")):
        svg = setup_picture(setup)
        told = words(svg)
        assert {"left", "right", "near edge", "far edge", *names} <= set(told)
        assert not {"nut", "bridge", "treble side"} & set(told)
        assert players_view(setup) == ""
    told = words(setup_picture(calibration.setup))
    assert told["A"][0] < told["B"][0] < told["C"][0] and told["A"][1] > told["D"][1] > told["E"][1]
