"""Modal groups of NISTIR 6556, table 4, and what one line may hold of them."""

from typing import Final, NamedTuple

from pearlkerf.proof.words import Word, refuse, whole

MOTION: Final = "motion"
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
    **dict.fromkeys((840, 850, 860, 870, 880, 890), "this canned cycle"),
}
GROUP_OF_M: Final[dict[int, str]] = {
    **dict.fromkeys((0, 1, 2, 30, 60), "stop"),
    6: "cutter change",
    **dict.fromkeys((3, 4, 5), "spindle"),
    7: "mist",
    **dict.fromkeys((8, 9), "coolant"),
    **dict.fromkeys((48, 49), "overrides"),
}


class Block(NamedTuple):
    """One line in order: G codes by group (times ten), M codes by group, the other words by letter."""

    g: dict[str, int]
    m: dict[str, int]
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
    others: dict[str, Word] = {}
    for word in words:
        if word.letter == "G":
            code = whole(Word("G", word.value * 10, word.column), number)
            _put(g, _group_of_g(code, word, number), code, word, number)
        elif word.letter == "M":
            code = whole(word, number)
            if code not in GROUP_OF_M:
                raise refuse(f"M{word.value:g} is not in the language (section 3.6)", number, word.column)
            _put(m, GROUP_OF_M[code], code, word, number)
        elif word.letter in others:
            raise refuse(f"the word {word.letter} stands twice on one line (section 3.3.5)", number, word.column)
        else:
            others[word.letter] = word
    return Block(g, m, others, words[0].column if words else 1)


def _group_of_g(code: int, word: Word, number: int) -> str:
    if code not in GROUP_OF_G:
        raise refuse(f"G{word.value:g} is not in the language (section 3.5)", number, word.column)
    if code in NOT_READ:
        raise refuse(
            f"G{word.value:g}, {NOT_READ[code]}, is not read here, so nothing can be proved", number, word.column
        )
    return GROUP_OF_G[code]


def _put(into: dict[str, int], group: str, code: int, word: Word, number: int) -> None:
    if group in into:
        raise refuse(f"two {word.letter} codes of one kind ({group}) on one line (section 3.3.5)", number, word.column)
    into[group] = code
