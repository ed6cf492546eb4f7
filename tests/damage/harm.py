"""What harm is, in figures."""

HARM = 0.02  # mm beyond a wall, below a floor, left uncut, of wood under a rapid
SAFE = 0.008  # mm: the proof allows 0.01, and is stricter by its own bounds


class Harm(Exception):
    """The program does harm."""
