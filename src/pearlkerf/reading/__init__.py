"""From a program's bytes to motions, events, claims and time, written from the standard."""
