"""Readings in another language: every rule has its sentence, nothing stays English, and what is read is the same."""

import re
import tomllib
from functools import cache
from typing import Any

import msgspec
import pytest

from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES, own_texts
from hangworthy.contract.reading import AsWritten
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.languages import language_of
from hangworthy.engine.written import Written
from hangworthy.readings import RULES
from readings.lines import labels, museum

SPOKEN = [language for language in LANGUAGES if language != DEFAULT_LANGUAGE]
WORDS = {"reason", "question", "sentence", "labels"}
POINT = re.compile(r"\d\.\d")

LINES = [
    AsWritten(dimensions="24,5 x 36 in gallery, frame: 30 x 40 in", medium="Ink and watercolour on board", edition="51/50"),
    AsWritten(dimensions="about 60 x 40 cm, 3-4 kg", medium="C-print, etching", edition="A.P. 2/5"),
    AsWritten(dimensions="1,200,3 x 40 cm", medium="Pastel on paper laid on canvas", edition="number 3"),
    AsWritten(dimensions="H 60 cm, W 40 cm, 2000 kg", medium="Oil on linen", edition="open edition"),
]


@cache
def catalogue() -> Catalogue:
    return build_catalogue(*discover())


@cache
def written(language: str) -> Written:
    return Written(catalogue().schema, language_of(catalogue(), language))


def sentences(language: str) -> dict[str, str]:
    return dict(tomllib.loads(own_texts("hangworthy.readings", language))["rules"])


def read(line: AsWritten, language: str) -> dict[str, Any]:
    told = written(language).read(line)
    return dict(msgspec.json.decode(msgspec.json.encode(told)))


def said(value: Any) -> list[str]:
    """Every sentence of a reading that is for people; what was written stands between quotation marks, and is left out."""
    if isinstance(value, list):
        return [text for one in value for text in said(one)]
    if not isinstance(value, dict):
        return []
    own = [value[name].rpartition("“: ")[2] for name in ("reason", "question", "sentence") if name in value]
    own += [] if value.get("labels") else value.get("choices", [])
    return own + [text for one in value.values() for text in said(one)]


def decisions(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: decisions(one) for name, one in value.items() if name not in WORDS and not (name == "choices" and _ways(one))}
    return [decisions(one) for one in value] if isinstance(value, list) else value


def _ways(choices: list[str]) -> bool:
    return any(" " in one for one in choices)


@pytest.mark.parametrize("language", SPOKEN)
def test_every_rule_has_its_sentence_and_there_are_no_others(language: str) -> None:
    assert sentences(language).keys() == RULES.keys()


def test_german_sentences_are_short_and_written_as_german_is() -> None:
    told = sentences("de")
    for name, sentence in told.items():
        assert sentence.endswith((".", "?")), name
        assert all(0 < len(one.split()) < 25 for one in re.split(r"(?<=[.?]) ", sentence)), name
        assert POINT.search(sentence) is None, name
        assert set(sentence).isdisjoint("\"”'"), name
        assert sentence.count("„") == sentence.count("“"), name
    # Whoever may be asked something in English is asked something in German, not told it.
    asking = {name for name, rule in RULES.items() if rule.ground == 0.0}
    assert {name for name in asking if "?" not in told[name] and "Bitte" not in told[name]} == set()


def test_what_the_lines_say_in_german_has_no_english_and_the_same_facts() -> None:
    lines = [*LINES, *(AsWritten(dimensions=row["dimensions"][:500]) for row in museum("held out")[:400])]
    lines += [AsWritten(medium=row["medium"][:500]) for row in labels("held out")]
    german, told, heard = {*sentences("de").values()}, set[str](), set[str]()
    for line in lines:
        one, other = read(line, "en"), read(line, "de")
        assert decisions(one) == decisions(other), line
        told |= {*said(other)}
        heard |= {*said(one)}
    ways = {text for text in told if re.fullmatch(r"[\d,]+ \S+ hoch und [\d,]+ \S+ breit", text)}
    assert told - ways <= german
    assert ways
    assert len(told - ways) > 40, "the lines make most of the rules speak"
    assert heard.isdisjoint(german)


def test_choices_are_labelled_as_the_form_shows_them_and_figures_have_a_comma() -> None:
    asked = {one["rule"]: one for one in read(AsWritten(dimensions="24,5 x 36 in", medium="Ink and wash on board"), "de")["asks"]}
    order, board = asked["order-open"], asked["board-unclear"]
    assert order["question"] == "„24,5 x 36 in“: Welche Zahl ist die Höhe? Hier steht es nicht."
    assert order["choices"] == ["24,5 in hoch und 36 in breit", "36 in hoch und 24,5 in breit"]
    assert "labels" not in order
    assert board["choices"] == ["work-on-paper", "panel"]
    assert board["labels"] == ["Arbeit auf Papier", "Tafel oder Platte"]
    named = language_of(catalogue(), "de").labels["kind"]
    assert board["labels"] == [named[value] for value in board["choices"]]
    assert all("labels" not in one for one in read(LINES[0], "en")["asks"])


def test_a_contradiction_is_said_in_german() -> None:
    speaking = written("de")
    values: list[Any] = [None] * len(catalogue().schema.slots)
    by_path = catalogue().schema.by_path
    for path, value in {"width_mm": 600.0, "mass_kg": 3.1, "kind": "panel", "framed": False}.items():
        values[by_path[path].index] = value
    told = speaking.fill(AsWritten(dimensions="H 60 × W 91,4 cm, frame 70 x 100 cm, 2.45 kg", medium="Oil on linen"), values)
    assert [one.sentence for one in told.contradictions] == [
        "Breite: Angegeben wurde 600 mm, aus „H 60 × W 91,4 cm“ lesen wir 914 mm. Es gilt, was angegeben wurde.",
        "Gerahmt: Angegeben wurde nein, aus „70 x 100 cm“ lesen wir ja. Es gilt, was angegeben wurde.",
        "Gewicht: Angegeben wurde 3,1 kg, aus „2.45 kg“ lesen wir 2,45 kg. Es gilt, was angegeben wurde.",
        "Art des Werks: Angegeben wurde Tafel oder Platte, aus „Oil on linen“ lesen wir Leinwand auf Keilrahmen. "
        "Es gilt, was angegeben wurde.",
    ]


# given, text -> the facts that are contradicted; whichever number is the height
EITHER_WAY: list[tuple[dict[str, Any], str, list[str]]] = [
    ({"width_mm": 700.0, "height_mm": 500.0}, "60 x 40 cm", ["/height_mm", "/width_mm"]),
    ({"width_mm": 605.0, "height_mm": 800.0}, "24 x 36 in", ["/height_mm"]),
    ({"width_mm": 700.0}, "60 x 40 cm", ["/width_mm"]),
    ({"width_mm": 600.0, "height_mm": 600.0}, "60 x 40 cm", ["/height_mm", "/width_mm"]),  # both cannot be the 60
    ({"width_mm": 600.0, "height_mm": 400.0}, "60 x 40 cm", []),
    ({"width_mm": 400.0, "height_mm": 601.0}, "60 x 40 x 3 cm", []),
    ({"width_mm": 400.0}, "60 x 40 cm", []),
    ({"width_mm": 297.0, "height_mm": 500.0}, "A3", ["/height_mm"]),
    ({"width_mm": 700.0, "height_mm": 500.0, "depth_mm": 600.0}, "50 x 60 x 70 cm", []),
    ({"width_mm": 700.0, "height_mm": 500.0, "depth_mm": 650.0}, "50 x 60 x 70 cm", ["/depth_mm"]),
    ({"frame.width_mm": 700.0, "frame.height_mm": 500.0}, "framed 60 x 40 cm", ["/frame/height_mm", "/frame/width_mm"]),
    ({"width_mm": 700.0, "height_mm": 500.0}, "ca. 60 x 40 cm", []),
]


@pytest.mark.parametrize(("given", "text", "facts"), EITHER_WAY, ids=lambda value: str(value)[:40])
def test_a_size_that_fits_in_no_order_is_a_contradiction(given: dict[str, Any], text: str, facts: list[str]) -> None:
    values: list[Any] = [None] * len(catalogue().schema.slots)
    for path, value in given.items():
        values[catalogue().schema.by_path[path].index] = value
    told = written("en").fill(AsWritten(dimensions=text), values)
    assert [one.fact for one in told.contradictions] == facts
    assert not told.asks or {pointer for one in told.asks for pointer in one.facts}.isdisjoint(
        "/" + path.replace(".", "/") for path in given
    )


@pytest.mark.parametrize(
    ("language", "sentence"),
    [
        ("en", "Height: 800 mm was given, but “24 x 36 in” says 610 mm or 914 mm. What was given counts."),
        ("de", "Höhe: Angegeben wurde 800 mm, aus „24 x 36 in“ lesen wir 610 mm oder 914 mm. Es gilt, was angegeben wurde."),
    ],
)
def test_what_fits_in_no_order_is_said(language: str, sentence: str) -> None:
    values: list[Any] = [None] * len(catalogue().schema.slots)
    values[catalogue().schema.by_path["height_mm"].index] = 800.0
    (against,) = written(language).fill(AsWritten(dimensions="24 x 36 in"), values).contradictions
    assert against.sentence == sentence
    assert against.read == pytest.approx((609.6, 914.4))


def test_a_pair_that_fits_in_no_order_is_a_contradiction() -> None:
    slot = next(slot for slot in catalogue().schema.slots if slot.ask.reads == "image_size")
    for given, told_of in (((700.0, 500.0), 1), ((400.0, 600.0), 0), ((600.0, 400.0), 0)):
        values: list[Any] = [None] * len(catalogue().schema.slots)
        values[slot.index] = given
        told = written("en").fill(AsWritten(dimensions="sheet 100 x 100 cm, image 60 x 40 cm"), values)
        assert [one.fact for one in told.contradictions] == [slot.pointer] * told_of


def test_another_sentence_is_another_fingerprint(monkeypatch: pytest.MonkeyPatch) -> None:
    from hangworthy.engine import translating

    def other(package: str, language: str) -> str:
        return own_texts(package, language).replace("Beide Zahlen sind gleich.", "Die Zahlen sind gleich.")

    before = language_of(build_catalogue(*discover()), "de").fingerprint
    monkeypatch.setattr(translating, "own_texts", other)
    assert language_of(build_catalogue(*discover()), "de").fingerprint != before
