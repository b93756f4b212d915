"""Texts: a file of sentences in another language, read and held against what it translates; every fault in it is told at once."""

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.drawing import Sketch
from hangworthy.contract.effect import Effect
from hangworthy.contract.facts import Ask
from hangworthy.contract.rule import Rule
from hangworthy.engine.reading import nearest
from hangworthy.engine.template import names_in
from hangworthy.engine.terms import Pattern

TITLE = "title"  # of a drawing, beside its words by name
FACT_TEXTS = ("title", "prompt", "how")
FILLED = ("met", "unmet", "bench", "either")  # sentences with places for values
PLAIN = ("question", "measure", "better", "by")
_RULE_KEYS = (*PLAIN, *FILLED, "remedy", "cautions", "terms")


class Origin(msgspec.Struct, frozen=True):
    """What a file of texts may translate: facts, their choices, sections, rules, limits, drawings; and the sentences that others share."""

    facts: Mapping[str, Ask]
    choices: Mapping[str, Sequence[str]]
    sections: Iterable[str]
    rules: Sequence[Rule] = ()
    limits: Iterable[str] = ()
    sketches: Sequence[Sketch] = ()


class Texts(msgspec.Struct):
    """What of a file is good, by what it translates."""

    facts: dict[str, dict[str, str]] = {}
    choices: dict[str, dict[str, str]] = {}
    sections: dict[str, str] = {}
    rules: dict[str, dict[str, Any]] = {}
    limits: dict[str, str] = {}
    drawings: dict[str, dict[str, str]] = {}
    terms: dict[str, str] = {}
    cautions: dict[str, str] = {}
    better: str = ""


def read_texts(text: str, origin: Origin) -> tuple[Texts, list[str]]:
    """Return what a file holds, and what is wrong with the rest."""
    reader = _Reader(origin)
    if text:
        try:
            reader.read(tomllib.loads(text))
        except tomllib.TOMLDecodeError as error:
            reader.wrong.append(f"is no TOML: {error}")
    return reader.texts, reader.wrong


def sentences(value: Any) -> dict[str, str]:
    """Return a remedy as one sentence for each effect; one for all is under the empty name."""
    return {"": value} if isinstance(value, str) else {str(effect): str(text) for effect, text in value.items()}


def way(rule: Rule) -> str:
    """Return how a file names one way of measuring."""
    return f"{rule.name}@{rule.by}" if rule.by else rule.name


class _Reader:
    def __init__(self, origin: Origin) -> None:
        self.origin, self.texts = origin, Texts()
        self.wrong: list[str] = []
        self.ways: dict[str, list[Rule]] = {}
        for rule in origin.rules:
            for name in {rule.name, way(rule)}:
                self.ways.setdefault(name, []).append(rule)

    def read(self, content: Mapping[str, Any]) -> None:
        parts = {
            "facts": self._fact, "sections": self._section, "rules": self._rule, "limits": self._limit, "drawings": self._drawing,
        }  # fmt: skip
        self._known("", content, (*parts, "terms", "cautions", "words"))
        for part, take in parts.items():
            for name, table in self._table(part, content.get(part, {})).items():
                if isinstance(table, dict):
                    take(f"{part}.{name}", name, table)
                else:
                    self.wrong.append(f"{part}.{name} must be a table")
        self._shared_words(self._flat("words", content.get("words", {})))
        self.texts.terms = self._terms("terms", content.get("terms", {}))
        self.texts.cautions = self._flat("cautions", content.get("cautions", {}))

    def _table(self, where: str, value: Any) -> Mapping[str, Any]:
        if isinstance(value, dict):
            return value
        self.wrong.append(f"{where} must be a table")
        return {}

    def _known(self, where: str, table: Mapping[str, Any], names: Sequence[str]) -> None:
        for name in table:
            if name not in names:
                head = f"{where}.{name}" if where else name
                self.wrong.append(f"{head} translates nothing; there are: {', '.join(names)}.{nearest(name, list(names))}")

    def _text(self, where: str, value: Any) -> str:
        if isinstance(value, str):
            return value.strip()
        self.wrong.append(f"{where} must be a text")
        return ""

    def _flat(self, where: str, value: Any) -> dict[str, str]:
        return {name: self._text(f"{where}.{name}", one) for name, one in self._table(where, value).items()}

    def _terms(self, where: str, value: Any) -> dict[str, str]:
        table = {
            name: one if isinstance(one, str) else self._text(f"{where}.{name}", one) for name, one in self._table(where, value).items()
        }
        for english, other in list(table.items()):
            try:
                if names_in(english):
                    Pattern(english, other)
                elif names_in(other):
                    raise ValueError(f"{{{names_in(other)[0]}}} is not in the English")
            except ValueError as error:
                self.wrong.append(f"{where}.“{english}” cannot be filled: {error}")
                del table[english]
        return table

    def _fact(self, where: str, path: str, table: Mapping[str, Any]) -> None:
        asked = self.origin.facts.get(path)
        if asked is None:
            self.wrong.append(f"{where}: no fact of that name is declared here.{nearest(path, list(self.origin.facts))}")
            return
        self._known(where, table, (*FACT_TEXTS, "choices"))
        for name in FACT_TEXTS:
            if name not in table or not (text := self._text(f"{where}.{name}", table[name])):
                continue
            if getattr(asked, name):
                self.texts.facts.setdefault(path, {})[name] = text
            else:
                self.wrong.append(f"{where}.{name}: the fact has none in English")
        choices = self._flat(f"{where}.choices", table.get("choices", {}))
        self._known(f"{where}.choices", choices, self.origin.choices.get(path, ()))
        self.texts.choices[path] = {value: text for value, text in choices.items() if value in self.origin.choices.get(path, ())}

    def _section(self, where: str, name: str, table: Mapping[str, Any]) -> None:
        if name not in self.origin.sections:
            self.wrong.append(f"{where}: no section of that name is declared here.{nearest(name, list(self.origin.sections))}")
            return
        self._known(where, table, ("title",))
        self.texts.sections[name] = self._text(f"{where}.title", table.get("title", ""))

    def _limit(self, where: str, name: str, table: Mapping[str, Any]) -> None:
        if name not in self.origin.limits:
            self.wrong.append(f"{where}: there is no limit of that name.{nearest(name, list(self.origin.limits))}")
            return
        self._known(where, table, ("about",))
        self.texts.limits[name] = self._text(f"{where}.about", table.get("about", ""))

    def _drawing(self, where: str, name: str, table: Mapping[str, Any]) -> None:
        sketch = next((one for one in self.origin.sketches if one.name == name), None)
        if sketch is None:
            self.wrong.append(f"{where}: there is no drawing of that name.{nearest(name, [one.name for one in self.origin.sketches])}")
            return
        english = {TITLE: sketch.title, **sketch.says}
        self._known(where, table, tuple(english))
        texts = {key: text for key, text in self._flat(where, table).items() if key in english and text}
        self.texts.drawings[name] = {key: text for key, text in texts.items() if self._fillable(f"{where}.{key}", text, [english[key]])}

    def _shared_words(self, words: Mapping[str, str]) -> None:
        for name in words:
            if name != "better" or self.origin.rules:
                self.wrong.append(f"words.{name} translates nothing; the contract alone shares the word: better")
        self.texts.better = "" if self.origin.rules else words.get("better", "")

    def _rule(self, where: str, name: str, table: Mapping[str, Any]) -> None:
        rules = self.ways.get(name)
        if rules is None:
            self.wrong.append(f"{where}: there is no rule, or way of measuring, of that name.{nearest(name, list(self.ways))}")
            return
        self._known(where, table, _RULE_KEYS)
        made: dict[str, Any] = {key: self._text(f"{where}.{key}", table[key]) for key in PLAIN if key in table}
        if "by" in made and name == rules[0].name:
            self.wrong.append(f"{where}.by names one way of measuring; it belongs under that way, as in [rules.“{name}@WAY”]")
        for key in FILLED:
            text = self._text(f"{where}.{key}", table[key]) if key in table else ""
            if text and self._fillable(f"{where}.{key}", text, [getattr(rule.words, key) for rule in rules]):
                made[key] = text
        if "remedy" in table:
            made["remedy"] = self._remedy(f"{where}.remedy", table["remedy"], rules)
        if "cautions" in table and (cautions := self._cautions(f"{where}.cautions", table["cautions"], rules)):
            made["cautions"] = cautions
        if "terms" in table:
            made["terms"] = self._terms(f"{where}.terms", table["terms"])
        self.texts.rules[name] = {key: value for key, value in made.items() if value}

    def _fillable(self, where: str, text: str, english: Sequence[str]) -> bool:
        """Return whether a sentence names nothing that the English one does not, for every way of measuring that it is for."""
        try:
            stray = sorted({name for one in english for name in set(names_in(text)) - set(names_in(one))})
        except ValueError as error:
            self.wrong.append(f"{where} cannot be filled, “{text[:60]}”: {error}")
            return False
        if not all(english):
            self.wrong.append(f"{where}: the rule has none in English")
        elif stray:
            self.wrong.append(f"{where} names {{{stray[0]}}}, which the English does not")
        return all(english) and not stray

    def _remedy(self, where: str, value: Any, rules: Sequence[Rule]) -> dict[str, str]:
        made = {}
        table = {"": value} if isinstance(value, str) else self._table(where, value)
        effects = sorted({effect.value for rule in rules for effect in rule.effects})
        self._known(where, table, ("", *effects))
        for effect, text in table.items():
            here = f"{where}.{effect}" if effect else where
            english = [
                one for rule in rules for name, one in sentences(rule.words.remedy).items() if "" in (effect, name) or name == effect
            ]
            if effect in ("", *effects) and self._fillable(here, self._text(here, text), english):
                made[effect] = self._text(here, text)
        return made

    def _cautions(self, where: str, value: Any, rules: Sequence[Rule]) -> list[str]:
        listed = [self._text(where, one) for one in value] if isinstance(value, list) else []
        counts = sorted({len(rule.cautions) for rule in rules})
        if counts == [len(listed)]:
            return listed
        self.wrong.append(f"{where} must list as many cautions as the rule has, {' or '.join(map(str, counts))}, in the same order")
        return []


def remedy_in(texts: Mapping[str, str], effect: Effect, english: str) -> str:
    """Return a remedy for one effect: its own, else the one for all, else the English one."""
    return texts.get(effect.value) or texts.get("") or english
