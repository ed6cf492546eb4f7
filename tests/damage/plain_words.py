"""Lines of a program as words, for the oracle: what a strict controller would not take is Unreadable."""

import re

PRINTABLE = re.compile(r"[ -~\t]*")
WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
# (section 3.3.2) blanks mean nothing; yet there are controllers for which a number ends at one
TORN = re.compile(r"[\d.+-][ \t]+[\d.]")
GROUPS = {
    "motion": (0, 1, 2, 3, 80, 81, 82, 83), "plane": (17, 18, 19), "distance": (90, 91), "centre": (90.1, 91.1),
    "feed mode": (93, 94, 95), "units": (20, 21), "radius": (40, 41, 42), "length": (43, 49), "return": (98, 99),
    "offset": (54, 55, 56, 57, 58, 59), "path": (61, 64), "once": (4,), "machine axes": (28, 28.1, 30, 30.1, 53),
    "zero": (10, 52, 92, 92.1, 92.2, 92.3),
}  # fmt: skip
GROUP_OF = {code: group for group, codes in GROUPS.items() for code in codes}
M_GROUPS = {0: "stop", 1: "stop", 2: "stop", 30: "stop", 60: "stop", 3: "spindle", 4: "spindle", 5: "spindle",
            6: "change", 7: "mist", 8: "coolant", 9: "coolant", 48: "override", 49: "override"}  # fmt: skip


class Unreadable(Exception):
    """A strict controller stops here."""


def words_of(text: str) -> tuple[list[tuple[str, float, str]], list[str]]:
    """Give the words of a line (letter, value, number as written), and its comments."""
    code, comments, rest = [], [], text
    while rest:
        before, opened, after = rest.partition("(")
        if ")" in before:
            raise Unreadable("a bracket closes that never opened")
        if TORN.search(before):
            raise Unreadable("a blank inside a number")
        code.append(before)
        if not opened:
            break
        inside, closed, rest = after.partition(")")
        if not closed or "(" in inside:
            raise Unreadable("a comment does not close")
        comments.append(inside)
    packed = re.sub(r"[ \t]", "", "".join(code)).upper()
    found, place = [], 0
    while place < len(packed):
        match = WORD.match(packed, place)
        if match is None:
            raise Unreadable("no word")
        found.append((match[1], float(match[2]), match[2]))
        place = match.end()
    return found, comments


def block_of(text: str, line_limit: int):
    """Give a line's G codes and M codes by group, its other words, and its comments."""
    if len(text) > line_limit:
        raise Unreadable("a line too long for the controller")
    if not PRINTABLE.fullmatch(text):
        raise Unreadable("a byte that is no printable character")
    if text.startswith("/"):
        raise Unreadable("block delete")
    found, comments = words_of(text)
    if found and found[0][0] == "N":
        if not re.fullmatch(r"\d{1,5}", found[0][2]):
            raise Unreadable("a line number that is none")
        found = found[1:]
    codes, values = {"G": {}, "M": {}}, {}
    for letter, value, written in found:
        if letter in codes:
            _put_code(codes[letter], letter, value, written)
        elif letter in values:
            raise Unreadable("the same letter twice")
        elif letter in "FSTPHLQRXYZIJK":
            values[letter] = value
        else:
            raise Unreadable(f"the letter {letter} has no meaning")
    return codes["G"], codes["M"], values, comments


def _put_code(codes: dict[str, float], letter: str, value: float, written: str) -> None:
    group = (GROUP_OF if letter == "G" else M_GROUPS).get(value)
    if group is None or written[0] in "+-":
        raise Unreadable(f"{letter}{written} is not known")
    if group in codes:
        raise Unreadable("two codes of one group")
    codes[group] = value
