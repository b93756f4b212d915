"""Conditions of a form, said twice: in standard JSON Schema, and as a plain list that a renderer can read."""

from typing import Any

from hangworthy.engine.schema import Schema
from hangworthy.forms.concern import All, Atom, When, in_order

Json = dict[str, Any]
NOT_NULL: Json = {"not": {"type": "null"}}


def listed(when: When) -> list[list[Json]]:
    """Return a condition as a list of which any may hold, each a list of which all must."""
    return [[_listed(atom) for atom in sorted(each, key=_place)] for each in sorted(when, key=in_order)]


def _place(atom: Atom) -> tuple[str, str]:
    return atom.path, str(atom.values)


def _listed(atom: Atom) -> Json:
    fact = {"fact": "/" + atom.path.replace(".", "/")}
    return {**fact, "given": True} if atom.values is None else {**fact, "in": list(atom.values)}


def condition(when: When, schema: Schema) -> Json:
    """Return a condition as a JSON Schema that a work fulfils when it holds."""
    ways = [_all(each, schema) for each in sorted(when, key=in_order)]
    return ways[0] if len(ways) == 1 else {"anyOf": ways}


def _all(each: All, schema: Schema) -> Json:
    made = [at(atom.path, _value(atom, schema), required=True) for atom in sorted(each, key=_place)]
    return made[0] if len(made) == 1 else {"allOf": made}


def _value(atom: Atom, schema: Schema) -> Json:
    if atom.values is None:
        return NOT_NULL
    values = {"enum": list(atom.values)}
    return {"type": "array", "contains": values} if schema.by_path[atom.path].count is not None else values


def at(path: str, value: Json, *, required: bool = False) -> Json:
    """Return the schema of a work of which one fact is as ``value`` says; a section may be missing unless the fact is ``required``."""
    for name in reversed(path.split(".")):
        value = {"type": "object", "properties": {name: value}, "required": [name]} if required else {"properties": {name: value}}
    return value
