"""How features are named by number: "frets 1-7 9 12"."""

from collections.abc import Iterator, Sequence
from itertools import pairwise


def in_ranges(numbers: Sequence[int]) -> Iterator[str]:
    """Give ascending numbers as ranges; nothing for none.

    >>> " ".join(in_ranges([1, 2, 3, 7, 9, 10]))
    '1-3 7 9-10'
    """
    begins = [n for n, number in enumerate(numbers) if n == 0 or number != numbers[n - 1] + 1]
    for begin, end in pairwise([*begins, len(numbers)]):
        first, last = numbers[begin], numbers[end - 1]
        yield f"{first}" if first == last else f"{first}-{last}"


def nearest_word(word: str, right: Sequence[str]) -> str:
    """Give the right word nearest to a wrong one, however far it is; nothing where there is no right one.

    >>> nearest_word("face dost", ["frets", "face dots", "side dots"])
    'face dots'
    """
    from difflib import get_close_matches  # only mistakes need it

    return next(iter(get_close_matches(word.lower()[:80], right, n=1, cutoff=0.0)), "")
