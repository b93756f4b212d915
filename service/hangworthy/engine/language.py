"""A language: everything in which the answers of one catalogue differ from those in another language, made once."""

from collections.abc import Mapping

import msgspec

from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.contract.rule import Rule, Words
from hangworthy.engine.schema import Schema, Slot
from hangworthy.engine.signature import Entry
from hangworthy.engine.template import Template
from hangworthy.engine.terms import Terms
from hangworthy.engine.voice import Voice

WayKey = tuple[str, str]  # the code of a rule, and by which way of measuring


class Wording(msgspec.Struct, frozen=True):
    """The words of one way of measuring, and the terms that may be put into them; without terms they are English.

    ``by_label`` is how the way is called in another language than English, whose name for it is the way itself.
    """

    question: str
    words: Words
    cautions: tuple[str, ...]
    terms: Terms | None = None
    by_label: str = ""

    def template(self, text: str) -> Template:
        """Return one of the words as a sentence to be filled."""
        return Template(text) if self.terms is None else Template(text, self.terms.say)


class Language(msgspec.Struct, frozen=True, kw_only=True):
    """The texts of a catalogue in one language.

    ``slots`` are the schema's, asked in this language. ``labels`` hold, by fact, how each choice is shown; ``sections`` their titles and
    ``limits`` what they mean, by full name; ``drawings`` the words of sketches, by full name; ``readings`` what the rules of readings say,
    by name: none in English, which stands beside the rules. ``fingerprint`` tells two versions of the texts apart; English has none, its
    sentences being part of the packs.
    """

    code: str
    voice: Voice
    slots: tuple[Slot, ...]
    wordings: Mapping[WayKey, Wording]
    labels: Mapping[str, Mapping[str, str]]
    sections: Mapping[str, str]
    limits: Mapping[str, str]
    drawings: Mapping[str, Mapping[str, str]] = {}
    readings: Mapping[str, str] = {}
    fingerprint: str | None = None

    @property
    def told(self) -> str | None:
        """Return what an answer says of its language: nothing where it is the default."""
        return None if self.code == DEFAULT_LANGUAGE else self.code


def wording(rule: Rule) -> Wording:
    """Return a rule's own words."""
    return Wording(rule.question, rule.words, rule.cautions)


def label(value: str) -> str:
    """Return how a choice is shown that nobody worded: "work-on-paper" as "Work on paper"."""
    return (value[:1].upper() + value[1:]).replace("-", " ").replace("_", " ")


def headline(text: str | None) -> str:
    """Return the first line of a docstring, as a title has it."""
    return (text or "").strip().split("\n", 1)[0].strip().rstrip(".")


def english(schema: Schema, entries: tuple[Entry, ...], sections: Mapping[str, str], limits: Mapping[str, str]) -> Language:
    """Return the language that the packs are written in."""
    return Language(
        code=DEFAULT_LANGUAGE,
        voice=Voice(),
        slots=schema.slots,
        wordings={(entry.code, entry.rule.by): wording(entry.rule) for entry in entries},
        labels={slot.path: {value: label(value) for value in slot.choices} for slot in schema.slots if slot.choices},
        sections=sections,
        limits=limits,
    )
