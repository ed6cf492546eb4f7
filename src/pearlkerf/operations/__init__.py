"""How each feature is cut: which cutter, which strategy, which depths, in which order."""
