"""What the drawings of plans share: texts of people in SVG."""

from html import escape


def safe(text: str) -> str:
    """Return a text as it may stand in XML: escaped, and without signs that XML has no place for (XML 1.0, 2.2)."""
    return escape("".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text))
