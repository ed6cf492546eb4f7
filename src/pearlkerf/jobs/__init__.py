"""A board on a machine: the one room in which makers, reader and proof meet, step by step as ``way.py`` tells."""
