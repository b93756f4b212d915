"""Describing: what the catalogue and the venues hold, as answers of the API."""

import functools
import inspect
import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from hangworthy.api import answers
from hangworthy.contract.limits import Limit
from hangworthy.contract.pack import RulePack
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.signature import Entry
from hangworthy.history.canonical import canonical
from hangworthy.history.port import VenueVersion
from hangworthy.venues.content import content_of, read_content


def packs(catalogue: Catalogue) -> answers.PackList:
    """Return the installed packs."""
    return answers.PackList(
        tuple(
            answers.PackAnswer(
                one.pack.name, one.pack.version, one.pack.title, one.fingerprint, one.distribution,
                tuple(sorted({f"{one.pack.name}.{rule.name}" for rule in one.pack.rules})), tuple(sorted(one.pack.sections)),
            )
            for one in catalogue.installed
        )
    )  # fmt: skip


def rules(catalogue: Catalogue) -> dict[str, answers.RuleAnswer]:
    """Return every rule in full, by code."""
    ways: dict[str, list[Entry]] = {}
    for entry in catalogue.entries:
        ways.setdefault(entry.code, []).append(entry)
    return {code: _rule(entries) for code, entries in ways.items()}


def summaries(entries: Iterable[answers.RuleAnswer]) -> answers.RuleList:
    """Return rules in short."""
    return answers.RuleList(
        tuple(
            answers.RuleSummary(
                one.code, one.pack, one.question, one.effects, one.due,
                tuple(dict.fromkeys(need.pointer for way in one.ways for need in way.facts)),
            )
            for one in entries
        )
    )  # fmt: skip


def _rule(entries: list[Entry]) -> answers.RuleAnswer:
    first, pack = entries[0].rule, entries[0].pack
    effects = sorted({effect for entry in entries for effect in entry.rule.effects}, key=lambda effect: effect.rank)
    used = dict.fromkeys(name for entry in entries for name in entry.rule.uses)
    return answers.RuleAnswer(
        code=entries[0].code,
        pack=pack.name,
        pack_version=pack.version,
        question=first.question,
        explanation=_explanation(entries[0]),
        effects=tuple(effects),
        due=min((entry.rule.due for entry in entries), key=lambda stage: stage.rank),
        source=first.source,
        ways=tuple(_way(entry) for entry in entries),
        limits=tuple(_limit(f"{pack.name}.{name}", pack.limits.declared[name]) for name in used),
        cautions=tuple(dict.fromkeys(caution for entry in entries for caution in entry.rule.cautions)),
        cases=_cases(pack, first.name),
    )


def _explanation(entry: Entry) -> str:
    """Return the docstring without the question that it starts with."""
    return inspect.cleandoc(entry.rule.function.__doc__ or "").partition("\n")[2].strip()


def _way(entry: Entry) -> answers.WayAnswer:
    rule = entry.rule
    return answers.WayAnswer(
        facts=tuple(
            answers.FactNeed(slot.pointer, slot.ask.title, slot.ask.prompt, slot.ask.how, slot.unit, optional, tried)
            for slot, optional, tried in zip(entry.slots, entry.optional, entry.tried, strict=True)
        ),
        applies=tuple(
            answers.ConditionAnswer(tuple(slot.pointer for slot in slots), tuple(sorted(allowed, key=str)) if allowed else ())
            for slots, allowed in entry.conditions
        ),
        limits=tuple(f"{entry.pack.name}.{name}" for name in rule.uses),
        measure=rule.words.measure,
        due=rule.due,
        by=rule.by,
        explanation=_explanation(entry),
        over_set=rule.over_set,
        among=tuple(slot.pointer for slot in entry.among),
    )


def _cases(pack: RulePack, rule: str) -> tuple[dict[str, Any], ...]:
    """Return the test cases of one rule as its file states them; a file that cannot be read shows none."""
    try:
        return _stated(pack.cases[rule] if isinstance(pack.cases, Mapping) else (pack.cases / f"{rule}.toml").read_text("utf-8"))
    except (OSError, KeyError, ValueError):
        return ()


# The rules and the document both show them; reading TOML takes longer than all else that is shown. Bounded, though packs are few.
@functools.lru_cache(maxsize=512)
def _stated(text: str) -> tuple[dict[str, Any], ...]:
    """Return the test cases in a text. Raises ValueError for a text that is no TOML."""
    cases = tomllib.loads(text).get("case", [])
    return tuple(case for case in cases if isinstance(case, dict))


def cases(pack: RulePack) -> list[dict[str, Any]]:
    """Return all test cases of a pack, by rule."""
    return [case for name in sorted({rule.name for rule in pack.rules}) for case in _cases(pack, name)]


def _limit(full: str, declared: Limit, value: float | None = None, reason: str = "") -> answers.LimitAnswer:
    in_force = declared.default if value is None else value
    return answers.LimitAnswer(
        full, declared.doc, in_force, declared.unit, declared.default, declared.lo, declared.hi, declared.source, reason
    )  # fmt: skip


def limits(ruleset: Ruleset) -> answers.LimitList:
    """Return the limits in force at one venue."""
    declared = {f"{one.pack.name}.{name}": limit for one in ruleset.catalogue.installed for name, limit in one.pack.limits.declared.items()}
    shown = (_limit(name, declared[name], used.value, used.reason) for name, used in sorted(ruleset.limits.items()))
    return answers.LimitList(tuple(shown), ruleset.venue.name)


def venues(every: Iterable[Venue], default: str | None) -> answers.VenueList:
    """Return the venues in short, the default one first."""
    listed = sorted(every, key=lambda venue: (venue.name != default, venue.name))
    return answers.VenueList(
        tuple(answers.VenueSummary(venue.name, venue.version, venue.title, venue.fingerprint, venue.name == default) for venue in listed)
    )


def venue(one: Venue, catalogue: Catalogue, default: str | None, content: dict[str, Any] | None = None) -> answers.VenueAnswer:
    """Return one venue in full; ``content`` is what was kept of it, if it was."""
    overridden = tuple(answers.OverrideAnswer(name, override.value, override.reason) for name, override in sorted(one.limits.items()))
    return answers.VenueAnswer(
        name=one.name,
        version=one.version,
        title=one.title,
        fingerprint=one.fingerprint,
        is_default=one.name == default,
        packs=tuple(installed.pack.name for installed in catalogue.installed) if one.packs is None else tuple(sorted(one.packs)),
        limits=overridden,
        guard=one.guard,
        walls=dict(one.walls),
        content=msgspec.json.decode(canonical(content_of(one))) if content is None else content,
        conditions=one.conditions,
        frames=one.frames,
        rates=one.rates,
        retention_days=one.retention_days,
    )


def kept_venue(catalogue: Catalogue, kept: VenueVersion, default: str | None) -> answers.VenueAnswer:
    """Return a kept version in full. Where today's packs no longer know a part of it, that part is only in its content."""
    content = msgspec.json.decode(kept.content)
    one, _ = read_content(content, catalogue.schema, kept.version)
    return venue(one, catalogue, default, content)
