"""Plans: which work goes where, and when."""
