"""The dry-run page."""
