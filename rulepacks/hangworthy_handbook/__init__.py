"""Formulas that two packs or more need. This is no pack: it registers no hook, and holds numbers in, numbers out."""
