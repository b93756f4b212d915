"""Migrations of the history's schema, run forward at the start; see :mod:`hangworthy.history.migrations.forward`."""
