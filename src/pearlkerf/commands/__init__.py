"""The commands, one module each: the only place that prints, exits, opens output files, and reads the clock."""
