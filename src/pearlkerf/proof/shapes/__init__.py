"""What a feature answers: what leaves it, what is left of it, where its bites are counted; one module for each kind."""
