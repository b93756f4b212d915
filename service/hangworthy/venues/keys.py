"""Where in a venue a fault is, and the few sentences that say how to write it: a file is TOML, a request is JSON."""

import msgspec

Key = tuple[str | int, ...]
_QUOTED_IN = "limits"  # its keys hold a point, so that TOML wants them in quotes


class Form(msgspec.Struct, frozen=True):
    """How one notation is written, where a sentence has to show it."""

    table: str
    entries: str
    name: str
    packs: str
    limit: str
    size: str
    worth: str


TOML_FORM = Form(
    table="this must be a table; write [{0}] on a line of its own and its keys below.",
    entries="this must be at most {0} tables; write [[{1}]] on a line of its own before each, its keys below.",
    name='this is missing; write name = "…".',
    packs='this must list at least one pack by name, packs = ["…"]; leave it out for every pack.',
    limit="this must be the full name in quotes, with value and reason: "
    '"pack.limit_mm" = { value = "8 mm", reason = "why this venue differs" }.',
    size="this is missing; give the inner size, {0} = 420.",
    worth='this must be a number above 0 in quotes, such as worth = "0.92": what one unit of the first is worth in the second.',
)
JSON_FORM = Form(
    table="this must be an object; leave it out when there is nothing to say.",
    entries="this must be a list of at most {0} objects.",
    name='this is missing; write "name": "…".',
    packs='this must list at least one pack by name, "packs": ["…"]; leave it out for every pack.',
    limit='this must be an object with value and reason: {"value": "8 mm", "reason": "why this venue differs"}.',
    size='this is missing; give the inner size, "{0}": 420.',
    worth='this must be a number above 0 in quotes, such as "worth": "0.92": what one unit of the first is worth in the second.',
)


def toml_key(key: Key) -> str:
    """Return a key as a TOML file would write it."""
    shown = ""
    for place, step in enumerate(key):
        if isinstance(step, int):
            shown += f"[{step}]"
        else:
            shown += f'."{step}"' if place == 1 and key[0] == _QUOTED_IN else f".{step}"
    return shown.removeprefix(".")
