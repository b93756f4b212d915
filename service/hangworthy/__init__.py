"""hangworthy: is this artwork fit to hang there, what has to be done first, and why."""

__version__ = "0.1.0"
