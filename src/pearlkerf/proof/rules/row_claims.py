"""Rule 1, the claims of pieces: where each lies, and for which cutters it and its pocket were fitted."""

from collections import Counter
from collections.abc import Iterator

from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import Finding
from pearlkerf.setups.topics import Claim
from pearlkerf.setups.words import told

KEYS = ("row", "place", "fits")


def pieces_lie_as_claimed(run: Run) -> Iterator[Finding]:
    """Prove that the head claims every piece's place and turn, and what pockets and pieces were fitted for, right.

    Each claim of these stands there once, as the setup has it, and no other.
    """
    due = Counter(str(each) for each in told(run.setup) if isinstance(each, Claim) and each.key in KEYS)
    said = Counter(comment.strip() for _, comment in run.reading.comments if comment.strip().startswith(_BEGIN))
    for claim in due - said:
        yield run.finding(1, f"the head does not claim ({claim}); pieces are proved by it")
    for claim in said - due:
        line = next(line for line, comment in run.reading.comments if comment.strip() == claim)
        yield run.finding(1, f"claims ({claim}), which is not so for this board and machine", line)


_BEGIN = tuple(f"{key}=" for key in KEYS)
