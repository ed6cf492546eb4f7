"""Feeds that no program can say are refused, with what mends them."""

from dataclasses import replace

import pytest

from makers import a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import plan_job
from pearlkerf.machine.model import Spindle

# feed = rpm * flutes * chip load: at 1 rpm some thousandths of a millimetre a minute
CRAWLING = replace(a_machine(), spindle=Spindle(1.0, 1.0))


def test_a_feed_below_the_last_digit_is_refused_with_what_mends_it():
    with pytest.raises(Refusal) as refused:
        plan_job(clamped(), CRAWLING)
    told = [str(problem) for problem in refused.value.problems]
    assert any("cutter 1 would feed at 0.00" in text and "at 1 rpm" in text for text in told), told
    assert all("at least 0.1 mm/min" in text for text in told)


def test_each_way_of_the_hint_mends():
    assert plan_job(clamped(), replace(CRAWLING, spindle=Spindle(1.0, 24000.0)))
    own = [replace(cutter, feed_mm_min=0.2, plunge_feed_mm_min=0.1) for cutter in CRAWLING.cutters]
    assert plan_job(clamped(), replace(CRAWLING, cutters=tuple(own)))
