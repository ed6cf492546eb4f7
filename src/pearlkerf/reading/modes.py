"""Modal groups of NISTIR 6556, section 3.4, table 4, and what one line may hold of them."""

from collections.abc import Mapping
from typing import Final, NamedTuple

from pearlkerf.reading.words import Word, refuse, whole

# G codes are kept as ten times their number: 592 is G59.2
MOTION: Final = "motion"
CYCLES: Final = (810, 820, 830)
ARCS: Final = (20, 30)
STRAIGHT: Final = (0, 10)
CANCEL: Final = 800
DWELL: Final = 40
HOMES: Final = (280, 300)
MACHINE_AXES: Final = 530
SHIFT: Final = 920
UNSHIFT: Final = (921, 922)

GROUP_OF_G: Final[dict[int, str]] = {
    **dict.fromkeys((0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890), MOTION),
    **dict.fromkeys((170, 180, 190), "plane"),
    **dict.fromkeys((900, 910), "distance"),
    **dict.fromkeys((930, 940), "feed mode"),
    **dict.fromkeys((200, 210), "units"),
    **dict.fromkeys((400, 410, 420), "radius compensation"),
    **dict.fromkeys((430, 490), "length offset"),
    **dict.fromkeys((980, 990), "return level"),
    **dict.fromkeys((540, 550, 560, 570, 580, 590, 591, 592, 593), "work offset"),
    **dict.fromkeys((610, 611, 640), "path"),
    **dict.fromkeys((40, 100, 280, 300, 530, 920, 921, 922, 923), "once"),
}
NOT_READ: Final[dict[int, str]] = {
    382: "probing",
    410: "cutter radius compensation",
    420: "cutter radius compensation",
    930: "inverse time feed",
    100: "setting coordinate systems",
    923: "shifting zero by what an earlier program left",
    **dict.fromkeys((840, 850, 860, 870, 880, 890), "this canned cycle"),
}
GROUP_OF_M: Final[dict[int, str]] = {
    **dict.fromkeys((0, 1, 2, 30, 60), "stop"),
    6: "cutter change",
    **dict.fromkeys((3, 4, 5), "spindle"),
    **dict.fromkeys((7, 8, 9), "coolant"),
    **dict.fromkeys((48, 49), "overrides"),
}
# section 3.4: "M7 and M8 may be active at the same time"
MIST_AND_FLOOD: Final = (7, 8)
# section 3.3.5
MOST_M_WORDS: Final = 4


class Block(NamedTuple):
    """One line in order: G codes by group (times ten), M codes by group, coolant, the other words by letter."""

    g: dict[str, int]
    m: dict[str, int]
    coolant: tuple[int, ...]
    words: dict[str, Word]
    column: int


def code_name(code: int) -> str:
    """Give a G code's name from ten times its number.

    >>> code_name(10), code_name(922)
    ('G1', 'G92.2')
    """
    return f"G{code // 10}" + (f".{code % 10}" if code % 10 else "")


def sort_words(words: list[Word], number: int) -> Block:
    """Sort a line's words; refuse two of one group or letter, and codes that are unknown or not read."""
    g: dict[str, int] = {}
    m: dict[str, int] = {}
    coolant: tuple[int, ...] = ()
    others: dict[str, Word] = {}
    for word in words:
        if word.letter == "G":
            code = whole(Word("G", word.value * 10, word.column), number)
            g[_free(_group_of_g(code, word, number), g, word, number)] = code
        elif word.letter == "M":
            code = whole(word, number)
            group = _group_of_m(code, word, number)
            if len(m) + max(len(coolant) - 1, 0) == MOST_M_WORDS:
                raise refuse(f"more than {MOST_M_WORDS} M words on one line (section 3.3.5)", number, word.column)
            together = group == "coolant" and sorted((*coolant, code)) == list(MIST_AND_FLOOD)
            m[group if together else _free(group, m, word, number)] = code
            coolant += (code,) if group == "coolant" else ()
        elif word.letter in others:
            raise refuse(f"the word {word.letter} stands twice on one line (section 3.3.5)", number, word.column)
        else:
            others[word.letter] = word
    return Block(g, m, coolant, others, words[0].column if words else 1)


def _group_of_m(code: int, word: Word, number: int) -> str:
    if code not in GROUP_OF_M:
        raise refuse(f"M{word.value:g} is not in the language (section 3.6)", number, word.column)
    return GROUP_OF_M[code]


def _group_of_g(code: int, word: Word, number: int) -> str:
    if code not in GROUP_OF_G:
        raise refuse(f"G{word.value:g} is not in the language (section 3.5)", number, word.column)
    if code in NOT_READ:
        raise refuse(
            f"G{word.value:g}, {NOT_READ[code]}, is not read here, so nothing can be proved", number, word.column
        )
    return GROUP_OF_G[code]


def _free(group: str, taken: Mapping[str, int], word: Word, number: int) -> str:
    """Give the group of a code, of which a line has no other."""
    if group in taken:
        raise refuse(f"two {word.letter} codes of one kind ({group}) on one line (section 3.3.5)", number, word.column)
    return group
