"""Where the cutter's tip goes."""
