"""The engine: pure functions from a venue's rules and a work's facts to findings. No clock, chance, disk or net."""
