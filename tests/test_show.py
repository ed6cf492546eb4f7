"""`show` draws any program, and opens an unreadable one with its finding."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from pearlkerf.cli import main


@pytest.mark.parametrize(("text", "code"), [("G21\nG90\nG0 Z5.0\nG0 X1.0 Y1.0\nM2\n", 0), ("G1 X1,5\n", 3)])
def test_show_writes_a_page(tmp_path: Path, text: str, code: int) -> None:
    program = tmp_path / "any.nc"
    program.write_text(text, encoding="ascii")
    result = CliRunner().invoke(main, ["show", str(program)])
    assert result.exit_code == code, result.output
    assert "<html" in (tmp_path / "any.html").read_text(encoding="utf-8")
    assert ("line 1" in result.stderr) == bool(code)
    again = CliRunner().invoke(main, ["show", str(program)])
    assert again.exit_code == 4
