"""The built-in packs in German: nothing left out, the same places, short sentences, and the same decisions to the last figure."""

import re
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest

import hangworthy.contract
from hangworthy.contract import Finding, RulePack, State
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES, own_texts
from hangworthy.discovery import discover
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.languages import language_of
from hangworthy.testing import cases_of
from hangworthy.testing.runner import catalogue_of, ruleset_of
from hangworthy.testing.texts import faults_in, gaps, host_gaps, other_languages, spoken_sentences

PACKS = {one.pack.name: one.pack for one in discover()[0]}
SPOKEN = [language for language in LANGUAGES if language != DEFAULT_LANGUAGE]

# What the words of a language are; everything else in an answer decides, and is the same in each.
WORDS = {"artist", "coordinator", "question", "remedy", "cautions", "title", "prompt", "how", "labels", "by_label", "language", "texts"}
# What English does without, since the codes are English words.
LABELS = {"by_label"}


# A decimal point, where German has a comma: not 1.000, and not a section of a law.
POINT = re.compile(r"(?<!§ )\b(0\.\d|\d+\.\d{1,2}\b)")


def pack_with_texts(name: str, language: str) -> RulePack:
    pack = PACKS[name]
    if language not in other_languages(pack):
        pytest.fail(f"pack {name} has no texts in {language}")
    return pack


def decisions(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: decisions(one) for name, one in value.items() if name not in WORDS}
    return [decisions(one) for one in value] if isinstance(value, list) else value


@pytest.mark.parametrize("language", SPOKEN)
def test_the_contract_lacks_no_text(language: str) -> None:
    pack = next(iter(PACKS.values()))
    assert host_gaps(pack, own_texts(hangworthy.contract.__name__, language)) == []


@pytest.mark.parametrize("language", SPOKEN)
@pytest.mark.parametrize("name", PACKS)
def test_a_pack_lacks_no_text(name: str, language: str) -> None:
    assert gaps(pack_with_texts(name, language), language) == []


@pytest.mark.parametrize("language", SPOKEN)
@pytest.mark.parametrize("name", PACKS)
def test_nothing_is_wrong_with_a_packs_texts(name: str, language: str) -> None:
    assert faults_in(pack_with_texts(name, language), language) == []


@pytest.mark.parametrize("language", SPOKEN)
@pytest.mark.parametrize("name", PACKS)
def test_every_case_is_decided_alike(name: str, language: str) -> None:
    """Also for a pack without texts: the host's own sentences are in the language then."""
    pack, schema = PACKS[name], catalogue_of(PACKS[name]).schema
    for case in cases_of(pack):
        works = [msgspec.convert(facts, schema.work) for facts in case.facts()]
        english, other = (Evaluator(ruleset_of(pack, case, code), keep=0).evaluate(works, case.stage) for code in ("en", language))
        one, two = (msgspec.json.decode(msgspec.json.encode(answer)) for answer in (english, other))
        assert (other.language, english.language, english.texts) == (language, None, None)
        assert decisions(one) == decisions(two), str(case)
        for mine, theirs in zip(_findings(one), _findings(two), strict=True):
            assert [name for name in WORDS - LABELS if bool(mine.get(name)) != bool(theirs.get(name))] == [], str(case)


def _findings(answer: dict[str, Any]) -> list[dict[str, Any]]:
    return [finding for work in answer["works"] for finding in work["findings"]]


def _codes(name: str) -> set[str]:
    """What a rule may put into a sentence as it is: choices and ways of measuring, but for those that are German words as well."""
    pack, language = PACKS[name], language_of(catalogue_of(PACKS[name]), "de")
    german = {word.lower() for labels in language.labels.values() for label in labels.values() for word in re.findall(r"[\w-]+", label)}
    codes = {value for labels in language.labels.values() for value, label in labels.items() if label.lower() != value}
    return {one for one in codes | {rule.by for rule in pack.rules if rule.by} if len(one) > 3 and one.lower() not in german}


@pytest.mark.parametrize("name", PACKS)
def test_no_code_and_no_english_quotation_mark_is_left_in_german(name: str) -> None:
    """In what findings say, and in how their ways of measuring are called at the command line and on a sheet."""
    told, _ = spoken_sentences(pack_with_texts(name, "de"), "de")
    texts = {one.sentence for one in told} | {finding.by_label for finding in _answered(name, "de") if finding.by}
    assert "" not in texts, "a way of measuring has no German name"
    assert sorted(text for text in texts if "”" in text or '"' in text or text.count("„") != text.count("“")) == []
    code = re.compile(rf"(?<![\w./-])({'|'.join(sorted(map(re.escape, _codes(name)), key=len, reverse=True)) or '(?!)'})(?![\w-])")
    assert sorted({(found[0], text) for text in texts if (found := code.search(text))}) == []


def _answered(name: str, language: str) -> Iterator[Finding]:
    schema = catalogue_of(PACKS[name]).schema
    for case in cases_of(PACKS[name]):
        works = [msgspec.convert(facts, schema.work) for facts in case.facts()]
        for work in Evaluator(ruleset_of(PACKS[name], case, language), keep=0).evaluate(works, case.stage).works:
            yield from work.findings


@pytest.mark.parametrize(("language", "we"), [("en", "We "), ("de", "Wir ")])
@pytest.mark.parametrize("name", PACKS)
def test_a_remedy_says_who_does_it(name: str, language: str, we: str) -> None:
    """What the programme does says “We …”; nobody is told to ask a coordinator for it, who reads the same sentence."""
    ours = {(f"{name}.{rule.name}", rule.by): rule.done_by_us for rule in PACKS[name].rules}
    unmet = {(one.rule, one.by, one.remedy) for one in _answered(name, language) if one.state is State.UNMET}
    assert sorted(one for one in unmet if re.search("coordinator|Koordination", one[2])) == []
    assert sorted(one for one in unmet if ours[one[:2]] and not one[2].startswith(we)) == []


@pytest.mark.parametrize("name", PACKS)
def test_every_german_sentence(name: str) -> None:
    """Shown with -s, to be read aloud: pytest tests/packs -k german_sentence -s."""
    told, _ = spoken_sentences(pack_with_texts(name, "de"), "de")
    print(*(f"{one.code} {one.state} {one.audience}: {one.sentence}" for one in told), sep="\n")
    assert [one.sentence for one in told if POINT.search(one.sentence)] == []
