"""Outlines from drawings, type and shapes, to regions in millimetres."""
