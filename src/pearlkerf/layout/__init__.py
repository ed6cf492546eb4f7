"""Where things go on the finished board: frets, outline, slots, dots."""
