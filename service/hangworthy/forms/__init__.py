"""Forms: what a venue's rules would ask of a work, as one JSON Schema for whoever draws a form. Pure: a ruleset in, a schema out."""

from hangworthy.forms.schema import form_schema

__all__ = ["form_schema"]
