"""The JSON Schema of the wire: what the decoder accepts, said exactly. Used by the list of faults and by the OpenAPI document.

msgspec writes a Decimal as a text only, but reads a number as well; an amount of money is put right here, once, for both.
"""

from collections.abc import Iterable
from typing import Any

import msgspec

MOST_MONEY = 1_000_000_000
MONEY_PATTERN = r"^[0-9]{1,10}(\.[0-9]{1,4})?$"
_AMOUNT = "An amount as a text: “1250.00”; with no more decimals than its currency has (ISO 4217), and no marks for thousands."
_MONEY = [
    {"type": "number", "minimum": 0, "maximum": MOST_MONEY},
    {"type": "string", "minLength": 1, "maxLength": 15, "pattern": MONEY_PATTERN, "description": _AMOUNT},
]


def wire_schema(kind: Any) -> dict[str, Any]:
    """Return the JSON Schema of a wire type, with its parts under ``$defs``."""
    schema: dict[str, Any] = msgspec.json.schema(kind)
    _put_right(schema)
    return schema


def wire_components(kinds: Iterable[Any]) -> dict[str, Any]:
    """Return the JSON Schemas of several types as components of an OpenAPI document, by name."""
    _, components = msgspec.json.schema_components(kinds, ref_template="#/components/schemas/{name}")
    _put_right(components)
    return components


def _put_right(node: Any) -> None:
    """Replace every amount of money, and lists of a fixed length by what every reader of such documents understands, in place."""
    if isinstance(node, dict):
        if node.get("items") is False and (first := node.get("prefixItems")):  # its length is bounded beside it
            del node["items"]
            if all(one == first[0] for one in first):
                node["items"] = node.pop("prefixItems")[0]
        if node.get("format") == "decimal":
            del node["format"], node["type"]
            node["anyOf"] = [dict(way) for way in _MONEY]
            return
        if "anyOf" in node:
            node["anyOf"] = [way for one in node["anyOf"] for way in _ways(one)]
        for value in node.values():
            _put_right(value)
    elif isinstance(node, list):
        for value in node:
            _put_right(value)


def _ways(one: Any) -> list[Any]:
    return [dict(way) for way in _MONEY] if isinstance(one, dict) and one.get("format") == "decimal" else [one]
