"""A rule bound to a venue: everything that does not change from work to work is worked out here, once."""

from collections.abc import Callable, Mapping
from itertools import product
from operator import itemgetter
from typing import Any

from hangworthy.contract.check import Check
from hangworthy.contract.effect import Effect
from hangworthy.contract.finding import LimitUsed
from hangworthy.engine.language import Language
from hangworthy.engine.signature import Entry


class BoundRule:
    """One rule at one venue."""

    __slots__ = (
        "bench",
        "better",
        "by",
        "by_label",
        "cautions",
        "code",
        "conditions",
        "either",
        "entry",
        "function",
        "indexes",
        "limits",
        "limits_used",
        "measure",
        "met",
        "only",
        "optional",
        "pack",
        "pack_version",
        "places",
        "pointers",
        "question",
        "reads_lists",
        "remedies",
        "rule",
        "slots",
        "source",
        "take",
        "tried",
        "unmet",
        "voice",
        "whole",
        "worst",
    )

    def __init__(self, entry: Entry, limits: Any, shown: Mapping[str, LimitUsed], language: Language) -> None:
        """Bind an entry of the catalogue to a venue's limits, and to the words of a language."""
        rule, wording = entry.rule, language.wordings[entry.code, entry.rule.by]
        words, template = wording.words, wording.template
        self.entry, self.rule, self.code = entry, rule, entry.code
        self.function, self.limits = rule.function, (limits,) if entry.takes_limits else ()
        self.slots, self.optional, self.tried = entry.slots, entry.optional, entry.tried
        self.indexes = tuple(slot.index for slot in entry.slots)
        self.take = taker(self.indexes)
        self.pointers = tuple(slot.pointer for slot in entry.slots)
        self.whole = not any(entry.optional) and not any(entry.tried)
        self.reads_lists = any(slot.kind == "listed" for slot in entry.slots)
        self.places: dict[int, tuple[int, ...]] = {
            index: tuple(place for place, other in enumerate(self.indexes) if other == index)
            for index, as_given in zip(self.indexes, entry.as_given, strict=True)
            if not as_given
        }
        self.conditions = entry.conditions
        self.only = _only(entry)
        self.worst = max(rule.effects, key=lambda effect: effect.rank)
        self.limits_used = tuple(shown[f"{entry.pack.name}.{name}"] for name in rule.uses)
        self.question, self.cautions, self.voice = wording.question, wording.cautions, language.voice
        self.pack, self.pack_version = entry.pack.name, entry.pack.version
        self.measure, self.source, self.by, self.by_label = words.measure, rule.source, rule.by, wording.by_label
        self.met, self.unmet = template(words.met), template(words.unmet)
        self.better, self.bench = words.better, template(words.bench) if words.bench else None
        remedy = words.remedy
        self.either = template(words.either) if words.either else None
        self.remedies = {effect: template(remedy if isinstance(remedy, str) else remedy.get(effect, "")) for effect in Effect}

    def applies(self, values: list[Any]) -> tuple[bool, tuple[str, ...]]:
        """Return whether the rule concerns a work, and the pointers of facts that would tell; they come only with True."""
        missing: list[str] = []
        for slots, allowed in self.conditions:
            if allowed is None:
                if any(values[slot.index] is None for slot in slots):
                    return False, ()
            elif (value := values[slots[0].index]) is None:
                if slots[0].pointer not in missing:  # two conditions may be about one fact
                    missing.append(slots[0].pointer)
            elif not (value in allowed if type(value) is not tuple else allowed.intersection(value)):
                return False, ()
        return True, tuple(missing)

    def arguments(self, values: list[Any]) -> tuple[list[Any], tuple[str, ...], tuple[int, ...]]:
        """Return the rule's facts, the pointers of required ones that are missing, and the places of those to be tried."""
        args = list(self.take(values))
        missing, tried = [], []
        for place, value in enumerate(args):
            if value is None and self.tried[place]:
                tried.append(place)
            elif value is None and not self.optional[place]:
                missing.append(self.pointers[place])
        return args, tuple(missing), tuple(tried)

    def combinations(self, args: list[Any], tried: tuple[int, ...]) -> list[list[Any]]:
        """Return the arguments once for each possible answer to the facts that are tried."""
        made = []
        for answers in product(*(self.slots[place].answers or () for place in tried)):
            one = args.copy()
            for place, answer in zip(tried, answers, strict=True):
                one[place] = answer
            made.append(one)
        return made

    def pointers_of(self, paths: tuple[str, ...]) -> tuple[str, ...]:
        """Return the pointers of facts that the rule is undecided about. Raises ValueError unless it named them itself."""
        found = tuple("/" + path.replace(".", "/") for path in paths)
        if not found or not set(found) <= set(self.pointers):
            raise ValueError("undecided about facts that the rule does not name")
        return found

    def effect_of(self, check: Check) -> Effect:
        """Return what an unmet check means. Raises ValueError for an effect that the rule did not declare."""
        if check.effect is None:
            return self.worst
        if check.effect not in self.rule.effects:
            raise ValueError(f"effect {check.effect} was not declared")
        return check.effect


def taker(indexes: tuple[int, ...]) -> Callable[[list[Any]], tuple[Any, ...]]:
    """Return what takes the values at these indexes out of all values at once, as a tuple."""
    if len(indexes) > 1:
        return itemgetter(*indexes)
    if not indexes:
        return lambda _: ()
    index = indexes[0]
    return lambda values: (values[index],)


def _only(entry: Entry) -> tuple[int, frozenset[Any]] | None:
    """Return the slot and the values of a rule's only condition, if it is a plain one: the common case, asked without a loop."""
    if len(entry.conditions) != 1:
        return None
    slots, allowed = entry.conditions[0]
    return (slots[0].index, allowed) if allowed is not None and slots[0].count is None else None
