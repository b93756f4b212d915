"""Texts in other languages: what a pack's file lacks, what is wrong in it, and how its sentences come out."""

import re
from collections.abc import Iterator

import msgspec

from hangworthy.contract import Evaluation, Finding, RulePack
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES, written_in
from hangworthy.contract.rule import Rule, Words
from hangworthy.discovery import installed_pack
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.languages import language_of
from hangworthy.engine.template import names_in
from hangworthy.engine.texts import FACT_TEXTS, FILLED, TITLE, Origin, Texts, read_texts, sentences, way
from hangworthy.engine.translating import host_origin, origin_of
from hangworthy.testing.cases import cases_of
from hangworthy.testing.runner import catalogue_of, ruleset_of
from hangworthy.testing.wording import MOST_WORDS, Sentence, faults_of, sentences_of, split

_USUAL = Words(measure="", met="", unmet="", remedy="").better
_MEASURED = frozenset(("value", "limit"))
_ARTIST_WORDS = ("met", "unmet", "better", "either")


def other_languages(pack: RulePack) -> list[str]:
    """Return the languages beside English that a pack has texts in."""
    return [language for language in LANGUAGES if language != DEFAULT_LANGUAGE and written_in(pack.texts, language)]


def texts_of(pack: RulePack, language: str) -> tuple[Origin, Texts, list[str]]:
    """Return what a pack's texts may translate, what they hold, and what is wrong with the rest."""
    origin = origin_of(installed_pack(pack), catalogue_of(pack).schema)
    return origin, *read_texts(written_in(pack.texts, language), origin)


def host_gaps(pack: RulePack, text: str) -> list[str]:
    """Return what the contract's own texts lack or have wrong; any pack will do to compose a schema with."""
    origin = host_origin(catalogue_of(pack).schema)
    texts, wrong = read_texts(text, origin)
    return [*wrong, *_gaps(origin, texts, {}), *([] if texts.better else ["words.better"])]


def gaps(pack: RulePack, language: str) -> list[str]:
    """Return the keys that a pack's file would need to leave nothing English."""
    origin, texts, _ = texts_of(pack, language)
    made = language_of(catalogue_of(pack), language)
    return _gaps(origin, texts, {way(rule): made.wordings[f"{pack.name}.{rule.name}", rule.by].cautions for rule in pack.rules})


def _gaps(origin: Origin, texts: Texts, cautions: dict[str, tuple[str, ...]]) -> list[str]:
    missing = [
        f"facts.{path}.{name}"
        for path, asked in origin.facts.items()
        for name in FACT_TEXTS
        if getattr(asked, name) and name not in texts.facts.get(path, {})
    ]
    missing += [
        f"facts.{path}.choices.{value}"
        for path, values in origin.choices.items()
        for value in values
        if not texts.choices.get(path, {}).get(value)
    ]
    missing += [f"sections.{name}" for name in origin.sections if not texts.sections.get(name)]
    missing += [f"limits.{name}" for name in origin.limits if not texts.limits.get(name)]
    missing += [
        f"drawings.{one.name}.{key}" for one in origin.sketches for key in (TITLE, *one.says) if key not in texts.drawings.get(one.name, {})
    ]
    for rule in origin.rules:
        told = {**texts.rules.get(rule.name, {}), **texts.rules.get(way(rule), {})}
        missing += [f"rules.{way(rule)}.{key}" for key in _needed(rule) if key not in told]
        if "remedy" in told and "" not in told["remedy"]:
            missing += [f"rules.{way(rule)}.remedy.{effect}" for effect in sorted({*rule.effects} - {*told["remedy"]})]
        missing += [
            f"rules.{way(rule)}.cautions" for english, one in zip(rule.cautions, cautions[way(rule)], strict=True) if one == english
        ]
    return missing


def _needed(rule: Rule) -> Iterator[str]:
    yield from ("question", "measure", "met", "unmet", "remedy")
    if rule.words.better != _USUAL:
        yield "better"
    if rule.words.bench:
        yield "bench"
    if rule.words.either:
        yield "either"
    if rule.by:
        yield "by"


def faults_in(pack: RulePack, language: str) -> list[str]:
    """Return what is wrong with a pack's texts: strays, places, sentences too long; and with what its cases make of them."""
    _, texts, wrong = texts_of(pack, language)
    found = [f"its texts in {language}: {text}" for text in (*wrong, *_other_places(pack, texts), *_too_long(pack, texts))]
    return found + _rendered(pack, language)


def _other_places(pack: RulePack, texts: Texts) -> Iterator[str]:
    """Yield the sentences that leave out the measurement or the limit which the English gives.

    A word may be left out, where grammar wants it so ("your print" becomes "your work"); other figures are looked for in the cases.
    """
    for rule in pack.rules:
        told = {**texts.rules.get(rule.name, {}), **texts.rules.get(way(rule), {})}
        pairs = [(key, getattr(rule.words, key), told[key]) for key in FILLED if key in told]
        remedies = sentences(rule.words.remedy)
        pairs += [(f"remedy.{name}", remedies.get(name) or remedies.get("", ""), one) for name, one in told.get("remedy", {}).items()]
        for key, english, other in pairs:
            if lost := sorted(_MEASURED & ({*names_in(english)} - {*names_in(other)})):
                yield f"rules.{way(rule)}.{key} leaves out {{{lost[0]}}}, which the English names"


def _too_long(pack: RulePack, texts: Texts) -> Iterator[str]:
    """Yield what an artist could not read in passing, before anything is filled in."""
    shown = [(f"facts.{path}.{name}", text) for path, told in texts.facts.items() for name, text in told.items()]
    for name, told in texts.rules.items():
        shown += [(f"rules.{name}.{key}", told[key]) for key in (*_ARTIST_WORDS, "question") if key in told]
        shown += [(f"rules.{name}.remedy", text) for text in told.get("remedy", {}).values()]
        shown += [(f"rules.{name}.cautions", text) for text in told.get("cautions", ())]
    for where, text in shown:
        for part in split(text):
            if (count := len(part.split())) > MOST_WORDS:
                yield f"{where} has {count} words, at most {MOST_WORDS}: “{part}”"


def spoken_sentences(pack: RulePack, language: str) -> tuple[list[Sentence], list[str]]:
    """Return every text that the pack's cases bring about in a language, and the values in them that no term translates."""
    found, heard, _ = _spoken(pack, language)
    return found, heard


def _spoken(pack: RulePack, language: str) -> tuple[list[Sentence], list[str], list[tuple[Evaluation, Evaluation]]]:
    """Return the same, and the answers that it was found in."""
    heard: set[str] = set()
    for wording in language_of(catalogue_of(pack), language).wordings.values():
        if wording.terms is not None:
            wording.terms.missed = heard
    found, refs = set(), set()
    pairs = list(_both(pack, language))
    for _, answer in pairs:
        refs |= {work.ref for work in answer.works}  # a sentence about several works names them, in no language
        found |= {one for finding in _findings(answer) for one in sentences_of(finding)}
    return sorted(found), sorted(heard - refs), pairs


def _both(pack: RulePack, language: str) -> Iterator[tuple[Evaluation, Evaluation]]:
    """Yield the answer to every case, in English and in the language."""
    schema = catalogue_of(pack).schema
    for case in cases_of(pack):
        works = [msgspec.convert(facts, schema.work) for facts in case.facts()]
        english, other = (Evaluator(ruleset_of(pack, case, code), keep=0) for code in (DEFAULT_LANGUAGE, language))
        yield english.evaluate(works, case.stage), other.evaluate(works, case.stage)


def _findings(answer: Evaluation) -> Iterator[Finding]:
    return (finding for work in answer.works for finding in work.findings)


def _rendered(pack: RulePack, language: str) -> list[str]:
    told, unknown, pairs = _spoken(pack, language)
    wrong = [text for sentence in told for text in faults_of(sentence)] + [f"no term translates “{text}”" for text in unknown]
    wrong += [text for pair in pairs for one in zip(*map(_findings, pair), strict=True) for text in _lost(*one)]
    return [f"in {language}: {text}" for text in dict.fromkeys(wrong)]


def _lost(english: Finding, other: Finding) -> Iterator[str]:
    """Yield the sentences in which a figure of the English one is missing, however it is written."""
    for name in ("artist", "coordinator", "remedy"):
        told = getattr(other, name)
        if lost := sorted(_figures(getattr(english, name)) - _figures(told)):
            yield f"{english.rule} ({english.state}, {name}): the figure {lost[0]} is lost in “{told}”"


def _figures(text: str) -> set[str]:
    return {found.translate(_SIGNS) for found in _FIGURE.findall(text)}


_FIGURE, _SIGNS = re.compile(r"\d+(?:[.,]\d+)*"), str.maketrans("", "", ".,")
