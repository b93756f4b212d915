"""The frame plan: which works get which of the few stock frames, and when."""
