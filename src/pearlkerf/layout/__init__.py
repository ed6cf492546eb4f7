"""Where things go: frets, outline, slots, dots, and the setups that they are cut in."""
