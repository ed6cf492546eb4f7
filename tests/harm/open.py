"""Harm that passes the proof: names of rows, taken out as proof and programs learn it."""

# proved, though they do harm or write what no profile allows
PASSED: frozenset[str] = frozenset()
