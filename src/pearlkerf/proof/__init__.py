"""An independent reading of a program, held against the setup and the machine."""
