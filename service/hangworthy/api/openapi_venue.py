"""The schema of a venue as PUT takes it: what its TOML file holds, as JSON; quantities may be texts with their unit."""

from typing import Any

from hangworthy.api.operation_parts import NAME, schema
from hangworthy.venues.reader import MOST_DAYS, MOST_ENTRIES

Json = dict[str, Any]
_QUANTITY = {"anyOf": [{"type": "number"}, {"type": "string"}]}


def venue_content(made: Json) -> Json:
    """Return the components; ``made`` are those of the parts that a venue shares with its answers."""
    wall, frame = made["WallConditions"], made["StockFrame"]
    measures = {name: dict(_QUANTITY) for name in frame["properties"] if name.endswith("_mm")}
    return {
        "VenueContent": {
            "type": "object",
            "description": "A venue: what is left out is as the packs have it by default. The service counts the versions itself.",
            "additionalProperties": False,
            "properties": {
                "name": {**NAME, "description": "The same as in the address; it may be left out."},
                "title": {"type": "string", "minLength": 1, "maxLength": 200},
                "packs": {"type": "array", "minItems": 1, "items": {"type": "string", "minLength": 1}, "uniqueItems": True},
                "limits": {
                    "type": "object", "additionalProperties": schema("Override"), "description": "By full name, each with the reason."
                },
                "guard": schema("Guard"),
                "conditions": schema("WallConditions"),
                "walls": _entries("NamedWall"),
                "frames": _entries("FrameContent"),
                "rates": _entries("ExchangeRate"),
                "retention_days": {
                    "type": "integer", "minimum": 1, "maximum": MOST_DAYS, "description": "How long works' facts are kept in the history."
                },
            },
        },
        "NamedWall": {
            **wall, "title": "NamedWall", "description": "A wall, by its name.",
            "properties": {"name": NAME, **wall["properties"]}, "required": ["name"],
        },
        "FrameContent": {
            **frame, "title": "FrameContent", "description": "A stock frame.", "properties": {**frame["properties"], **measures}
        },
    }  # fmt: skip


def _entries(name: str) -> Json:
    return {"type": "array", "maxItems": MOST_ENTRIES, "items": schema(name)}
