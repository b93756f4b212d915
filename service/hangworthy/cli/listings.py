"""What is installed and in force, as plain data: for JSON as it stands, and for tables."""

import inspect
from typing import Any

from hangworthy.engine.catalogue import Catalogue, Installed
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.signature import Entry


def packs_listed(catalogue: Catalogue) -> dict[str, Any]:
    """Return the packs with their rules, and the faults with the distribution they came from."""
    return {"packs": [_pack(catalogue, one) for one in catalogue.installed], "faults": list(catalogue.faults)}


def _pack(catalogue: Catalogue, one: Installed) -> dict[str, Any]:
    return {
        "name": one.pack.name,
        "version": one.pack.version,
        "title": one.pack.title,
        "distribution": one.distribution,
        "fingerprint": one.fingerprint,
        "rules": [_rule(entry) for entry in catalogue.entries if entry.pack is one.pack],
    }


def _rule(entry: Entry) -> dict[str, Any]:
    rule = entry.rule
    return {"code": entry.code, "by": rule.by, "question": rule.question, "effects": [*rule.effects], "due": rule.due}


def limits_listed(ruleset: Ruleset) -> list[dict[str, Any]]:
    """Return every limit in force at the ruleset's venue, by full name."""
    declared = {f"{one.pack.name}.{name}": spec for one in ruleset.catalogue.installed for name, spec in one.pack.limits.declared.items()}
    return [
        {
            "name": name,
            "value": used.value,
            "unit": used.unit,
            "default": declared[name].default,
            "minimum": declared[name].lo,
            "maximum": declared[name].hi,
            "meaning": declared[name].doc,
            "source": used.source,
            "reason": used.reason,
        }
        for name, used in sorted(ruleset.limits.items())
    ]


def rule_explained(catalogue: Catalogue, code: str) -> list[dict[str, Any]]:
    """Return all that a rule says of itself, once per way of measuring; nothing when there is no such rule."""
    return [_explained(entry) for entry in catalogue.entries if entry.code == code]


def _explained(entry: Entry) -> dict[str, Any]:
    rule, declared = entry.rule, entry.pack.limits.declared
    first, _, rest = inspect.cleandoc(rule.function.__doc__ or "").partition("\n")
    return {
        **_rule(entry),
        "pack": entry.pack.name,
        "pack_version": entry.pack.version,
        "question": first.strip(),
        "explanation": rest.strip(),
        "facts": [slot.pointer for slot in entry.slots],
        "limits": [
            {"name": f"{entry.pack.name}.{name}", "default": spec.default, "unit": spec.unit, "meaning": spec.doc, "source": spec.source}
            for name, spec in ((name, declared[name]) for name in rule.uses)
        ],
        "source": rule.source,
        "cautions": list(rule.cautions),
    }
