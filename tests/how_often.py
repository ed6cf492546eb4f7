"""How many examples tests draw that are dear: few by themselves; PEARLKERF_EXAMPLES=500 has each draw so many."""

import os

EXAMPLES = int(os.environ.get("PEARLKERF_EXAMPLES", "0"))
