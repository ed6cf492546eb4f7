"""A board as it will be, for the bench page: from above, its edge, and cut across at a fret."""
