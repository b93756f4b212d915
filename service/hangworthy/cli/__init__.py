"""The command line. Each command imports what it needs when it runs, so that ``check`` starts fast."""

from hangworthy.cli.commands import main

__all__ = ["main"]
