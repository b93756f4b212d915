"""The built-in packs in German: nothing left out, the same places, short sentences, and the same decisions to the last figure."""

import re
from typing import Any

import msgspec
import pytest

import hangworthy.contract
from hangworthy.contract import RulePack
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES, own_texts
from hangworthy.discovery import discover
from hangworthy.engine.evaluate import Evaluator
from hangworthy.testing import cases_of
from hangworthy.testing.runner import catalogue_of, ruleset_of
from hangworthy.testing.texts import faults_in, gaps, host_gaps, other_languages, spoken_sentences

PACKS = {one.pack.name: one.pack for one in discover()[0]}
SPOKEN = [language for language in LANGUAGES if language != DEFAULT_LANGUAGE]

# What the words of a language are; everything else in an answer decides, and is the same in each.
WORDS = {"artist", "coordinator", "question", "remedy", "cautions", "title", "prompt", "how", "labels", "language", "texts"}


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
            assert [name for name in WORDS if bool(mine.get(name)) != bool(theirs.get(name))] == [], str(case)


def _findings(answer: dict[str, Any]) -> list[dict[str, Any]]:
    return [finding for work in answer["works"] for finding in work["findings"]]


@pytest.mark.parametrize("name", PACKS)
def test_every_german_sentence(name: str) -> None:
    """Shown with -s, to be read aloud: pytest tests/packs -k german_sentence -s."""
    told, _ = spoken_sentences(pack_with_texts(name, "de"), "de")
    print(*(f"{one.code} {one.state} {one.audience}: {one.sentence}" for one in told), sep="\n")
    assert [one.sentence for one in told if POINT.search(one.sentence)] == []
