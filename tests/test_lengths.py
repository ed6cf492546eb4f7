"""Written lengths: exact where they are right, refused with a hint where they are not."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.files.lengths import LengthError, parse_length_mm

# One inch is 25.4 mm exactly (International Yard and Pound Agreement, 1959); a thou is a thousandth of it.
EXACT_MM = [
    ("6 mm", 6.0),
    ("6mm", 6.0),
    (" 6.35 mm ", 6.35),
    ("2.5 cm", 25.0),
    ("1/64 in", 0.396875),
    ("25 1/2 in", 647.7),
    ("25-1/2 in", 647.7),
    ("25 1/2in", 647.7),
    ('25 1/2"', 647.7),
    ("23 thou", 0.5842),
    ("0.009 in", 0.2286),
    (".5 in", 12.7),
    ("-0.05 mm", -0.05),
    ("+1/64 in", 0.396875),
    ("-1 1/2 in", -38.1),
    ("0 mm", 0.0),
]


@pytest.mark.parametrize(("text", "expected_mm"), EXACT_MM)
def test_a_written_length_is_exact_whatever_the_files_unit(text: str, expected_mm: float) -> None:
    assert parse_length_mm(text, "mm") == expected_mm
    assert parse_length_mm(text, "in") == expected_mm


@pytest.mark.parametrize(("value", "mm", "inch"), [(6, 6.0, 152.4), (0.023, 0.023, 0.5842), (-0.1, -0.1, -2.54)])
def test_a_bare_number_is_in_the_files_unit(value: float, mm: float, inch: float) -> None:
    assert parse_length_mm(value, "mm") == mm
    assert parse_length_mm(value, "in") == inch


REFUSED = [
    ("6,5 mm", "comma", "6.5 mm"),
    ("1,000.5 mm", "comma", "1.000.5"),
    ("1/0 in", "divides by 0", ""),
    ("25 3/2 in", "less than 1", ""),
    ("6", "no unit", "6 in"),
    ("6.5", "no unit", "quotation marks"),
    ("1/4", "no unit", 'write "1/4 in"'),
    ("6 inn", "unknown unit", '"in"'),
    ("6 inch", "unknown unit", '"in"'),
    ("6 m", "unknown unit", '"mm"'),
    ("6 MM", "unknown unit", '"mm"'),
    ("6″", "unknown unit", '"in"'),
    ("6 parsecs", "unknown unit", ""),
    ("1e3 mm", "exponent", "digits"),
    ("1E-3 in", "exponent", "digits"),
    ("６ mm", "not a length", "plain digits"),
    ("−6 mm", "not a length", "plain digits"),
    ("1⁄4 in", "not a length", "1/4 in"),
    ("½ in", "one sign", 'write "1/2 in"'),
    ('25½"', "one sign", 'write "25 1/2 in"'),
    ("-2¾in", "one sign", 'write "-2 3/4 in"'),
    ("nan mm", "not a length", ""),
    ("inf", "not a length", ""),
    ("--6 mm", "not a length", ""),
    ("6. mm", "not a length", ""),
    ("6 7 mm", "not a length", ""),
    ("25 1/2 3/4 in", "not a length", ""),
    ("6 mm 3", "unknown unit", ""),
    ("", "not a length", ""),
    ("mm", "not a length", ""),
    ("9" * 70 + " mm", "not a length", ""),
    ("999999999 mm", "too large", ""),
    (math.nan, "nan is not a length", ""),
    (math.inf, "inf is not a length", ""),
    (-math.inf, "inf is not a length", ""),
    (1e308, "too large", ""),
    (10**400, "too large", ""),
    (True, "true is not a length", ""),
    (False, "false is not a length", ""),
]


@pytest.mark.parametrize(("value", "found", "hint"), REFUSED, ids=[repr(row[0])[:20] for row in REFUSED])
def test_a_wrong_length_is_refused_with_a_hint(value: int | float | str, found: str, hint: str) -> None:
    with pytest.raises(LengthError) as refused:
        parse_length_mm(value, "in")
    assert found in refused.value.found
    assert hint in refused.value.hint
    assert refused.value.found.isprintable()


def test_a_value_of_another_kind_is_refused() -> None:
    with pytest.raises(LengthError, match="is not a length"):
        parse_length_mm([6], "mm")  # type: ignore[arg-type]


UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(127, 5),
    '"': Fraction(127, 5),
    "thou": Fraction(127, 5000),
}


@st.composite
def written(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A right length by the grammar, and its exact value in mm."""
    whole = draw(st.integers(0, 1500))
    under = draw(st.integers(2, 128))
    over = draw(st.integers(0, under - 1))
    places = draw(st.integers(0, 999_999))
    form, number = draw(
        st.sampled_from(
            [
                (f"{whole}", Fraction(whole)),
                (f"{whole}.{places:06d}", whole + Fraction(places, 1_000_000)),
                (f"{over}/{under}", Fraction(over, under)),
                (f"{whole} {over}/{under}", whole + Fraction(over, under)),
                (f"{whole}-{over}/{under}", whole + Fraction(over, under)),
            ]
        )
    )
    sign = draw(st.sampled_from(["", "-", "+"]))
    unit = draw(st.sampled_from(sorted(UNITS)))
    text = sign + form + draw(st.sampled_from(["", " ", "  "])) + unit
    return text, number * UNITS[unit] * (-1 if sign == "-" else 1)


@given(written())
def test_every_right_length_is_the_nearest_float_to_its_exact_value(case: tuple[str, Fraction]) -> None:
    text, exact_mm = case
    assert parse_length_mm(text, "mm") == float(exact_mm)


@given(written(), st.text("０１５,eE²½x", min_size=1, max_size=2), st.integers(0, 20))
def test_a_foreign_letter_never_slips_into_a_length(case: tuple[str, Fraction], foreign: str, place: int) -> None:
    text = case[0][:place] + foreign + case[0][place:]
    with pytest.raises(LengthError):
        parse_length_mm(text, "mm")


@given(st.one_of(st.text(max_size=30), st.floats(), st.integers()))
def test_any_value_gives_a_finite_length_or_a_length_error(value: str | float | int) -> None:
    try:
        assert math.isfinite(parse_length_mm(value, "in"))
    except LengthError as refused:
        assert refused.found
