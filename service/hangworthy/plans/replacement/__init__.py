"""Replacements: which works could hang in the place of one that drops out, the best first, and why the others could not."""
