"""What is found by another rule, not told, or changed at stops: names, taken out as proof and programs learn it."""

# refused, but not by a rule that says what is wrong
OTHERWISE = frozenset(
    {
        # 11: lengths that move by themselves, path control
        "G43 with a move sideways",
        # 12: a saw's start, and hands near the cutter
        "saw: the speed after the start",
    }
)

# of profiles with keys that the reader does not know
AHEAD = frozenset(
    {
        # 11: lengths that move by themselves, path control
        "exact path forgotten",
        "exact path given up for arcs",
        "exact stop for exact path",
    }
)

# proved, and not a word of what is not claimed
PARTS_UNTOLD = frozenset({})

# programs in which what is left at a stop changes what is cut
STOPS = frozenset({})
