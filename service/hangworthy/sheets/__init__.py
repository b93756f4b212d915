"""Preparation sheets: what an evaluation means for the artist and for the bench, as a page to read and to print."""
