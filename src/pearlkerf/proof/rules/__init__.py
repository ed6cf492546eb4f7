"""The rules of the proof, one function each: what it proves and within which tolerance."""
