"""What of a board a coupon tries, as its programs claim it: some groups of what is cut, or one piece of an inlay."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, cast

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.layout.groups import GROUPS, INLAYS, NAMED, TRIED
from pearlkerf.layout.names import nearest_word
from pearlkerf.setups.model import Clampings

ONLY: Final = "--only"
# between the parts of a claim
APART: Final = "/"
Several = Literal["pockets", "pieces"]
SEVERAL: Final[tuple[Several, ...]] = ("pockets", "pieces")
_ONE_INLAY: Final = re.compile(r"inlay (\d{1,3})/(pockets|pieces)", re.ASCII)


@dataclass(frozen=True, slots=True)
class OfOneInlay:
    """What a coupon of one inlay tries: which, as people call it, or by its pocket's number; and what in steps.

    Nothing said of which, it is the smallest.
    """

    of: str = ""
    number: int | None = None
    several: Several = "pockets"

    def claimed(self, number: int) -> str:
        """Give it as programs claim it.

        >>> OfOneInlay(several="pieces").claimed(3)
        'inlay 3/pieces'
        """
        return f"inlay {number}{APART}{self.several}"


# what is tried where nobody says which
THE_SMALLEST: Final = OfOneInlay()


def claimed_inlay(tries: str) -> OfOneInlay | None:
    """Give the inlay that a claim says is tried; None for one that says groups.

    >>> claimed_inlay("inlay 3/pieces")
    OfOneInlay(of='', number=3, several='pieces')
    """
    found = _ONE_INLAY.fullmatch(tries)
    return None if found is None else OfOneInlay(number=int(found[1]), several=cast(Several, found[2]))


def groups_there(clampings: Clampings) -> tuple[str, ...]:
    """Give the groups of a board that a coupon can try, in the order in which it tries them."""
    there = {feature.group for setup in clampings.setups for feature in setup.features}
    there |= {INLAYS} if clampings.layout.inlays else set()
    return tuple(group for group in TRIED if group in there)


def groups_named(only: Sequence[str], clampings: Clampings) -> tuple[str, ...]:
    """Give the groups that people name, in the order in which a coupon tries them; none where they name none.

    Raises Refusal for every name of what the board does not have, or no coupon tries.
    """
    there = groups_there(clampings)
    named = [(word, NAMED.get(" ".join(word.lower().split()), "")) for word in only]
    problems = [_not_there(word, there) for word, group in named if group not in there]
    if problems:
        raise Refusal(problems)
    wanted = {group for _, group in named}
    return tuple(group for group in there if group in wanted)


def _not_there(word: str, there: Sequence[str]) -> Problem:
    allowed = ", ".join(map(shown, there)) or "nothing: the board has no dots, no inlays and no slots to cut"
    one = NAMED.get(" ".join(word.lower().split()[:-1]), "")
    if not word.strip():
        hint = "name it, or leave the option out"
    elif one in there:
        hint = f"a coupon tries one of them for all: {ONLY} {shown(one)}"
    else:
        near = nearest_word(word, [*there, *(GROUPS[group].one for group in there)])
        hint = f"did you mean {shown(NAMED[near])}?" if near else "leave the option out"
    return Problem(f"there is no {shown(word[:80].strip())} to try on a coupon", allowed, hint, ONLY)
