"""Damage that somebody thought up: edits by hand, macros, other programs' habits, words left out or put in.

Each kind takes a random generator and the lines of a program, and gives the damaged lines, or None where the
program has nothing of that kind; its name begins with the kind of harm that it may do (some do none):

    1 what is unknown   2 other zeros   3 cutters' lengths   4 bed and clamps   5 words for people
    6 scorching         7 claims        8 words and bytes that controllers take differently
"""

import random

from generator import damage
from line_edits import Change
from thought_motion import (
    beside_the_board,
    blind_move,
    deeper_end,
    half_a_place,
    lost_mode,
    lost_rise,
    low_traverse,
    many_dwells,
    mode_anywhere,
    mode_at_a_stop,
    other_change,
    other_dwell,
    other_length,
    other_zero,
    slower,
    tiny_moves,
)
from thought_talk import (
    bare_stop,
    contrary_words,
    exchanged_words,
    lost_claim,
    lost_cuts,
    lost_section,
    lost_words,
    nothing_cut,
    odd_byte,
    odd_word,
    other_figure_told,
    other_speed,
    words_elsewhere,
)

THOUGHT: dict[str, Change] = {
    "1 lost rise": lost_rise, "1 blind move": blind_move, "1 mode at a stop": mode_at_a_stop,
    "1 mode anywhere": mode_anywhere, "1 lost mode": lost_mode, "1 half a place": half_a_place,
    "2 other zero": other_zero,
    "3 other length": other_length, "3 other change": other_change,
    "4 beside the board": beside_the_board, "4 low traverse": low_traverse, "4 deeper end": deeper_end,
    "5 lost words": lost_words, "5 contrary words": contrary_words, "5 other figure": other_figure_told,
    "5 words elsewhere": words_elsewhere, "5 words exchanged": exchanged_words, "5 bare stop": bare_stop,
    "6 slower": slower, "6 many dwells": many_dwells, "6 tiny moves": tiny_moves, "6 other dwell": other_dwell,
    "7 lost cuts": lost_cuts, "7 lost claim": lost_claim, "7 nothing cut": nothing_cut, "7 lost section": lost_section,
    "8 odd word": odd_word, "8 other speed": other_speed, "8 odd byte": odd_byte,
}  # fmt: skip


def thought_damage(text: bytes, seed: str) -> tuple[str, bytes] | None:
    """Damage a program as somebody thought it up; the same seed gives the same damage."""
    draw = random.Random(f"thought {seed}")
    kind = draw.choice(sorted(THOUGHT))
    lines = text.decode("ascii").split("\n")[:-1]
    damaged = THOUGHT[kind](draw, lines)
    if damaged is None or damaged == lines:
        return None
    return kind, ("\n".join(damaged) + "\n").encode("latin-1")


def any_damage(text: bytes, seed: str) -> tuple[str, bytes] | None:
    """Damage a program: as often by chance as by thought."""
    by_chance = random.Random(f"chance or thought {seed}").random() < 0.5
    return damage(text, seed) if by_chance else thought_damage(text, seed)
