"""Clampings: what lies on the machine, how it lies and is held; changes of setups between layout and workplan."""
