"""What a program claims in its comments."""

import pytest
from reading import read

from pearlkerf.reading.header import Header, ScrapClaim, read_headers, read_scrap_claim


def headers(text):
    return read_headers(read(text), "a.nc")


def test_lines_that_name_setup_cutter_and_features():
    found, findings = headers(
        "(a maker of boards)\n(setup=face cutter=1 cuts=frets 1-3 7)\n(setup=face cutter=1 cuts=face dots 12)\n"
        "G21\n(setup=edge cutter=24 cuts=side dots 3-3)\n(setup=face cutter=2)\n"
    )
    assert findings == ()
    assert found == (
        Header(2, "face", 1, frozenset({("frets", 1), ("frets", 2), ("frets", 3), ("frets", 7)})),
        Header(3, "face", 1, frozenset({("face dots", 12)})),
        Header(5, "edge", 24, frozenset({("side dots", 3)})),
        Header(6, "face", 2, frozenset()),
    )


@pytest.mark.parametrize(
    "comment",
    [
        "setup=face", "setup=face cutter=", "setup=face cutter=one", "setup = face cutter=1", "SETUP=face cutter=1",
        "setup=face cutter=1 cuts=", "setup=face cutter=1 cuts=frets", "setup=face cutter=1 cuts=frets 1,2",
        "setup=face cutter=1 cuts=dots 1", "setup=face cutter=1 cuts=frets 1- 3", "setup=face cutter=1 cuts=frets 1 x",
        "setup=face  cutter=1", "setup=face cutter=1 cuts=frets 1234", "setup=face cutter=-1", "setup=face cutter=1.0",
    ],
)  # fmt: skip
def test_a_line_that_means_to_be_one_and_is_none_is_a_finding(comment):
    found, findings = headers(f"G21\n({comment})")
    assert found == ()
    assert [(finding.rule, finding.file, finding.line) for finding in findings] == [(1, "a.nc", 2)]
    assert "(setup=face cutter=1 cuts=frets 1-7 9 12)" in findings[0].message


def test_blanks_at_the_ends_mean_nothing():
    assert headers("( setup=face cutter=1 )")[0] == (Header(1, "face", 1, frozenset()),)


def test_a_range_that_runs_backward_is_a_finding():
    found, findings = headers("(setup=face cutter=1 cuts=frets 7-1 9)")
    assert found[0].cuts == {("frets", 9)}
    assert "7-1" in findings[0].message


@pytest.mark.parametrize(
    "comment", ["scrap=1x2", "scrap=1x2x3x4", "scrap = 1x2x3", "SCRAP=1x2x3", "steps=1/2", "steps=a/b/c", "scrap=1/2/3",
                "steps=1x2x3", "scrap=", "scrap=1.00000x2x3"]
)  # fmt: skip
def test_a_claim_of_scrap_that_cannot_be_read_is_a_finding(comment):
    found, findings = headers(f"G21\n({comment})\n(setup=face cutter=1)")
    assert len(found) == 1
    assert [(finding.rule, finding.line) for finding in findings] == [(1, 2)]
    assert "(scrap=200.000x40.000x6.500)" in findings[0].message


def test_scrap_is_read_as_it_is_claimed_before_the_first_section():
    first = b"N1 (scrap=200.000x40.000x6.500)\nN2 ( steps=-0.0500/0.1000/0.0250 )\n"
    assert read_scrap_claim(first + b"(setup=coupon cutter=3 cuts=frets 1)\n(scrap=1x1x1)") == ScrapClaim(
        "coupon", 3, (200.0, 40.0, 6.5), (-0.05, 0.1, 0.025)
    )
    assert read_scrap_claim(b"(setup=face-2 cutter=1)\xff") == ScrapClaim("face-2", 1)
    assert read_scrap_claim(first) is None
    assert headers(first.decode())[1] == ()


def test_other_comments_claim_nothing():
    assert headers("(the setup=face cutter=1)\n(cutter=1)\n()") == ((), ())
