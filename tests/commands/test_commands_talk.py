"""Work that lasts says what it does; short work is silent."""

import re
import time

import pytest

from pearlkerf.commands import talk
from pearlkerf.commands.talk import Steps


@pytest.mark.parametrize(("patience_s", "said"), [(0.01, "proving ...\n"), (60.0, "")])
def test_a_step_that_lasts_says_what_it_does(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], patience_s: float, said: str
) -> None:
    monkeypatch.setattr(talk, "PATIENCE_S", patience_s)
    with Steps(verbose=False) as tell:
        tell("proving")
        time.sleep(0.2)
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", said)


def test_a_step_tells_its_time_where_that_is_wanted(capsys: pytest.CaptureFixture[str]) -> None:
    with Steps(verbose=True) as tell:
        tell("planning")
        tell("proving")
    assert re.fullmatch(r"planning: \d+ ms\nproving: \d+ ms\n", capsys.readouterr().err)
