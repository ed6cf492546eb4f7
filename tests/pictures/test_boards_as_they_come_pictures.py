"""Bound, measured and trimmed boards on paper, on the card and on the page; what their setups say."""

from test_card_pdf import card_pages

from makers import a_layout, a_machine, clamped
from pearlkerf.board.model import Binding, Blank, FretSlots
from pearlkerf.layout.model import Layout
from pearlkerf.operations.plan import plan
from pearlkerf.pictures.card.rows import card_rows
from pearlkerf.pictures.drawing import Line, Path, Text
from pearlkerf.pictures.paper.template import draw_layout
from pearlkerf.pictures.setup import draw_setup
from pearlkerf.setups.positions import zero_marks
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.words import sentences

PLACES = tuple(632.0 * (1 - 2 ** (-n / 12)) + 0.1 * (-1) ** n for n in range(1, 21))
TRIMMED = Blank(66.0, 8.0, 7.0, "both", 1.2, 0.8)


def texts(layout: Layout) -> list[str]:
    return [thing.text for thing in draw_layout(layout).things if isinstance(thing, Text)]


def test_paper_shows_where_the_binding_ends() -> None:
    lines = draw_layout(a_layout(binding=Binding(1.6, "after"))).of("binding")
    assert len(lines) == 2
    for line in lines:
        assert isinstance(line, Line)
        # 1.6 mm square to the edge, whose angle is atan of half of 12.05 mm in 448 mm
        lean = (1 + (6.025 / 448.0) ** 2) ** 0.5
        assert abs(abs(line.start[1]) - (44.45 / 2 - 1.6 * lean)) < 1e-9
        assert abs(abs(line.end[1]) - (56.5 / 2 - 1.6 * lean)) < 1e-9
    assert not draw_layout(a_layout()).of("binding")


def test_paper_says_of_places_that_they_were_measured() -> None:
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, state="already cut", measured_mm=PLACES))
    labels = [text for text in texts(layout) if " mm " in text and "in" in text and text[0].isdigit()]
    assert len(labels) == 20
    assert all(text.endswith("measured") for text in labels)
    assert f"12   {PLACES[11]:.3f} mm" in " / ".join(labels)
    assert not any("measured" in text for text in texts(a_layout()))


def test_paper_shows_trims_beside_the_boards_ends() -> None:
    layout = a_layout(blank=TRIMMED)
    assert {"trim at the nut end", "trim at the bridge end"} < set(texts(layout))
    corners = [{round(x, 6) for x, _ in thing.corners} for thing in draw_layout(layout).of("slots")
               if isinstance(thing, Path)]  # fmt: skip
    assert {-0.8, 0.0} in corners
    assert {448.0, 448.8} in corners


def test_the_card_says_how_to_measure_trims() -> None:
    rows = [(row.how, row.figure) for row in card_rows(clamped(blank=TRIMMED)).measures if "trim" in row.what]
    assert rows == [("from wall to wall, those toward the board", "448.00 mm"), ("depth on the centre line", "1.20 mm")]
    at_nut = Blank(66.0, 8.0, 0.0, "nut", 1.2, 0.8)
    (length, _) = [row for row in card_rows(clamped(blank=at_nut)).measures if "trim" in row.what]
    assert "other end" in length.how
    waste = Blank(66.0, 8.0, 7.0, "nut", 1.2, 0.8)  # the bridge end is nowhere yet
    assert len([row for row in card_rows(clamped(blank=waste)).measures if "trim" in row.what]) == 1


def test_the_card_says_to_nip_the_tangs_of_a_bound_board() -> None:
    assert "Nip the tang back" in " ".join(card_pages(clamped(binding=Binding(1.6, "after"))))
    assert "Nip the tang back" not in " ".join(card_pages(clamped()))


def test_trims_are_named_in_the_pictures_not_numbered_as_frets() -> None:
    sawn = FretSlots(0.58, 2.0, state="already cut")
    bare = clamped(blank=TRIMMED, face_dots=None, fret_slots=sawn).setups[0]
    shown = [thing.text for thing in draw_setup(bare).things if isinstance(thing, Text)]
    assert shown.count("trim") == 2
    assert not {"1", "2"} & set(shown)
    fretted = draw_setup(clamped(blank=TRIMMED, face_dots=None).setups[0])
    assert {"1", "2", "trim"} <= {thing.text for thing in fretted.things if isinstance(thing, Text)}


def test_setups_say_what_the_edges_are_and_what_comes_first() -> None:
    face, edge = (sentences(setup) for setup in clamped(binding=Binding(1.6, "after")).setups)
    assert "the core is cut to its outline" in face
    # half a width square to the centre line loses 1.6 mm over the cosine of the edge's angle
    assert "the core inside it is 41.25 mm wide at the nut end and 53.30 mm at the bridge end" in face
    assert edge[0] == "glue the binding on and scrape it flush first, before this setup"
    stopped = FretSlots(0.58, 2.0, ends="stopped")
    face, edge = (sentences(setup) for setup in clamped(binding=Binding(1.6, "before"), fret_slots=stopped).setups)
    assert "the binding, 1.60 mm thick, is on both edges, the slots stop inside it" in face
    assert not any("glue the binding on" in sentence for sentence in edge)
    blank = sentences(clamped(binding=Binding(1.6, "after"), blank=TRIMMED).setups[1])
    assert [sentence.partition(" ")[0] for sentence in blank[:2]] == ["cut", "glue"]


def test_a_trims_width_is_nothing_to_try_fretwire_in() -> None:
    alone = a_layout(blank=Blank(66.0, 8.0, 7.0, "both", 1.2, 0.59),
                     fret_slots=FretSlots(0.58, 2.0, state="already cut"))  # fmt: skip
    for each, told in ((alone, False), (a_layout(fret_slots=FretSlots(0.59, 2.0)), True)):
        warnings = plan(set_up(each).setups[0], a_machine()).warnings
        assert any("fretwire" in problem.hint for problem in warnings) is told, warnings


def test_slots_that_end_in_a_binding_are_no_zero_on_the_edge() -> None:
    bound, bare = a_layout(binding=Binding(1.6, "after")), a_layout()
    assert [mark.datum.slot for mark in zero_marks(bound, set_up(bound).setups[1])] == [""]
    assert len(zero_marks(bare, set_up(bare).setups[1])) == 21
