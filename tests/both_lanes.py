"""The reader's two lanes beside each other: every text that a test reads goes through both, and they must agree.

The slow lane, word by word, is the specification; the quick one, pages of lines at a time, must give the
same motions to the last bit, the same events and comments, or the same refusal.  Of a long text that is one
which was read before, with some lines changed, only head, end and what lies about the change are read again.
"""

from contextlib import contextmanager
from unittest import mock

import numpy as np

from pearlkerf.reading import plain, reader
from pearlkerf.reading.controller import Controller
from pearlkerf.reading.motions import Finding, Reading, UnreadableProgram

LONGEST_TEXT = 400_000  # bytes: beyond it the slow lane takes more than a second
# lines at the head and the end of a text, and about a change, that are read again
ABOUT, FEW = 60, 400
HEAD = 200  # bytes by which a text is known again
_read = reader._read


def outcome(text: bytes, like: Controller) -> Reading | Finding:
    """Read a text with a fresh controller like this one."""
    unit = "ms" if like.dwell_scale != 1.0 else "s"
    try:
        return _read(text, Controller(like.at, unit))
    except UnreadableProgram as refusal:
        return refusal.finding


def word_by_word(text: bytes, like: Controller) -> Reading | Finding:
    """Read a text in the slow lane only."""
    with mock.patch.object(plain.PlainLines, "read", lambda lines, index, *_: index):
        return outcome(text, like)


def in_pages(text: bytes, like: Controller, page_bytes: int = plain.PAGE_BYTES) -> Reading | Finding:
    """Read a text with the quick lane wherever it will, however short the run."""
    with mock.patch.object(plain, "SHORTEST_RUN", 1), mock.patch.object(plain, "PAGE_BYTES", page_bytes):
        return outcome(text, like)


def hold_alike(slow: Reading | Finding, quick: Reading | Finding) -> None:
    """Fail where two outcomes differ in anything."""
    if isinstance(slow, Finding) or isinstance(quick, Finding):
        assert slow == quick
        return
    for name in slow.motions.__slots__:
        one, other = getattr(slow.motions, name), getattr(quick.motions, name)
        assert one.dtype == other.dtype, name
        assert np.array_equal(one, other, equal_nan=one.dtype.kind == "f"), name
    for name in ("events", "comments", "lines", "stated", "ended"):
        assert getattr(slow, name) == getattr(quick, name), name


def about_the_change(lines: list[bytes], before: list[bytes]) -> list[bytes]:
    """Give the lines that differ from those read before, with some about them, the head and the end."""
    most = min(len(lines), len(before))
    head = next((n for n in range(most) if lines[n] != before[n]), most)
    tail = next((n for n in range(most - head) if lines[-1 - n] != before[-1 - n]), most - head)
    if head + tail <= most / 2:
        return lines  # another text
    first = max(head - ABOUT, ABOUT)
    last = max(min(len(lines) - tail + ABOUT, len(lines) - ABOUT), first)
    return [*lines[:ABOUT], *lines[first:last], *lines[-ABOUT:]]


@contextmanager
def every_text_in_both():
    """Read each text in both lanes while this lasts, once."""
    seen: set[tuple] = set()
    whole: dict[bytes, list[bytes]] = {}  # of texts that begin alike, the one that was read as a whole

    def both(text: bytes, controller: Controller) -> Reading:
        key = (hash(text), repr(controller.at), controller.dwell_scale)
        if len(text) <= LONGEST_TEXT and key not in seen:
            seen.add(key)
            lines = text.split(b"\n")
            part = lines if len(lines) <= FEW else about_the_change(lines, whole.get(text[:HEAD], []))
            if part is lines:
                whole[text[:HEAD]] = lines
            part = b"\n".join(part)
            hold_alike(word_by_word(part, controller), in_pages(part, controller))
        return _read(text, controller)

    with mock.patch.object(reader, "_read", both):
        yield
