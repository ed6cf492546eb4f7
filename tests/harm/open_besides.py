"""What is found by another rule, not told, or changed at stops: names, taken out as proof and programs learn it."""

# refused, but not by a rule that says what is wrong
OTHERWISE: frozenset[str] = frozenset()

# proved, and not a word of what is not claimed
PARTS_UNTOLD = frozenset({})

# programs in which what is left at a stop changes what is cut
STOPS = frozenset({})
