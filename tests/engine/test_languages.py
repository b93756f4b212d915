"""Languages: the same packs in other words; what is wrong in a file of texts is told at once, and what is left out stays English."""

import re
import string
from collections.abc import Sequence
from typing import Any, ClassVar

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy.contract import Check, Effect, RulePack, State, Words, at_most, fact, holds
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import PackFaults
from hangworthy.engine.languages import language_of, with_languages
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.template import names_in
from hangworthy.engine.terms import Figures, Shown, Terms
from hangworthy.engine.translated import SENTENCES, voice_in
from small_packs import VENUE, evaluate, pack, small, small_rule

GAP = Words(
    measure="Gap",
    met="It is fine, {note}.",
    unmet="The gap is {value}, at most {limit} is right: {note}.",
    remedy={Effect.PREPARE: "Close the gap.", Effect.REPAIR: "Have the gap closed."},
)


@small_rule("gap", effect=(Effect.PREPARE, Effect.REPAIR), words=GAP, cautions=["Mind your fingers."], uses=["gap_mm"])
def gap(limits: Any, width: float = fact("small.gap_mm"), hue: str = fact("small.hue")) -> Check:
    """Is the gap small?"""
    return at_most(width, limits.gap_mm, unit="mm", effect=Effect.PREPARE, note=f"{hue}, grown by {width / 8:g} mm")


gap.function.__annotations__["limits"] = pack().limits
gap.function.__annotations__["hue"] = pack().sections["small"].types()["hue"]


@small_rule("seen", by="day")
def seen_by_day(keyed: bool = fact("small.keyed")) -> Check:
    """Was it seen?"""
    return holds(keyed)


@small_rule("seen", by="night")
def seen_by_night(braced: bool = fact("small.braced")) -> Check:
    """Was it seen?"""
    return holds(braced)


GERMAN = """
[facts."small.gap_mm"]
title = "Spalt"
prompt = "Wie breit ist der Spalt?"
[facts."small.hue".choices]
red = "Rot"
[sections.small]
title = "Kleines"
[rules.gap]
question = "Ist der Spalt klein?"
measure = "Spalt"
met = "Gut so, {note}."
unmet = "Der Spalt ist {value}, höchstens {limit} sind recht: {note}."
cautions = ["Achten Sie auf Ihre Finger."]
[rules.gap.remedy]
prepare = "Schließen Sie den Spalt."
[rules.seen]
met = "Gut."
[rules."seen@night"]
by = "Nacht"
met = "Nachts gut."
[limits.gap_mm]
about = "der größte Spalt"
[terms]
"{hue}, grown by {growth}" = "{hue}, um {growth} gewachsen"
"""


def made(german: str = GERMAN, **details: Any) -> Catalogue:
    one = pack(gap, seen_by_day, seen_by_night, texts={"de": german}, **details)
    return build_catalogue([installed_pack(one)])


def asked(catalogue: Catalogue, *works: dict[str, Any], language: str = "de") -> Any:
    return evaluate(Evaluator(Ruleset(catalogue, VENUE)).speaking(language), *works)


def findings(answer: Any) -> dict[str, Any]:
    return {finding.rule: finding for finding in answer.works[0].findings}


def test_a_finding_is_worded_in_the_language_and_decided_as_ever() -> None:
    catalogue = made()
    work = small(gap_mm=12.5, hue="red", keyed=True)
    german, english = (asked(catalogue, work, language=code) for code in ("de", "en"))
    told = findings(german)["small.gap"]
    assert told.question == "Ist der Spalt klein?"
    assert told.artist == "Der Spalt ist 12,5 mm, höchstens 6 mm sind recht: Rot, um 1,56 mm gewachsen.".replace("1,56", "1,5625")
    assert told.coordinator == "Spalt: 12,5 mm, höchstens 6 mm erlaubt."
    assert told.remedy == "Schließen Sie den Spalt."
    assert told.cautions == ("Achten Sie auf Ihre Finger.",)
    assert findings(german)["small.seen"].artist == "Gut."
    by_night = findings(asked(catalogue, small(braced=True)))["small.seen"]
    assert (by_night.artist, by_night.by, by_night.by_label) == ("Nachts gut.", "night", "Nacht")
    assert findings(asked(catalogue, small(braced=True), language="en"))["small.seen"].by_label == ""
    assert (german.language, english.language, english.texts) == ("de", None, None)
    assert (told.measured, told.at_most, told.state) == (12.5, 6.0, State.UNMET)
    assert findings(english)["small.gap"].artist == "The gap is 12.5 mm, at most 6 mm is right: red, grown by 1.5625 mm."


def test_what_is_left_out_stays_english_sentence_by_sentence() -> None:
    told = findings(asked(made('[rules.gap]\nmeasure = "Spalt"\n'), small(gap_mm=12.5, hue="blue")))["small.gap"]
    assert told.question == "Is the gap small?"
    assert told.artist == "The gap is 12,5 mm, at most 6 mm is right: blue, grown by 1,5625 mm."
    assert told.coordinator == "Spalt: 12,5 mm, höchstens 6 mm erlaubt."
    assert told.remedy == "Close the gap."


def test_questions_are_asked_in_the_language() -> None:
    questions = {one.fact: one for one in asked(made(), small(keyed=True)).works[0].questions}
    one = questions["/small/gap_mm"]
    assert (one.title, one.prompt, one.how) == ("Spalt", "Wie breit ist der Spalt?", "With a feeler gauge.")
    assert (questions["/small/hue"].choices, questions["/small/hue"].labels) == (("red", "green", "blue"), ("Rot", "Green", "Blue"))
    english = {one.fact: one for one in asked(made(), small(keyed=True), language="en").works[0].questions}
    assert english["/small/hue"].labels == ()


FAULTS = {
    '[facts."small.gap"]\ntitle = "x"': "facts.small.gap: no fact of that name is declared here. Did you mean “small.gap_mm”?",
    '[facts."width_mm"]\ntitle = "x"': "facts.width_mm: no fact of that name is declared here.",
    '[facts."small.free_mm"]\nhow = "x"': "facts.small.free_mm.how: the fact has none in English",
    '[facts."small.hue".choices]\npink = "x"': "facts.small.hue.choices.pink translates nothing; there are: red, green, blue.",
    "[facts]\ngap = 3": "facts.gap must be a table",
    '[sections.large]\ntitle = "x"': "sections.large: no section of that name is declared here.",
    '[limits.gap]\nabout = "x"': "limits.gap: there is no limit of that name. Did you mean “gap_mm”?",
    '[rules.gab]\nmet = "x"': "rules.gab: there is no rule, or way of measuring, of that name. Did you mean “gap”?",
    '[rules."seen@noon"]\nmet = "x"': "rules.seen@noon: there is no rule, or way of measuring, of that name. Did you mean “seen",
    '[rules.gap]\nmett = "x"': "rules.gap.mett translates nothing; there are: question, measure, better, by, met, unmet, bench, either",
    '[rules.seen]\nby = "x"': "rules.seen.by names one way of measuring; it belongs under that way, as in [rules.“seen@WAY”]",
    '[rules.gap]\neither = "x"': "rules.gap.either: the rule has none in English",
    '[rules.gap]\nunmet = "{hight} x"': "rules.gap.unmet names {hight}, which the English does not",
    '[rules.gap]\nmet = "{value} x"': "rules.gap.met names {value}, which the English does not",
    '[rules.gap]\nmet = "{note x"': "rules.gap.met cannot be filled, “{note x”",
    '[rules.gap]\nbench = "x"': "rules.gap.bench: the rule has none in English",
    '[rules.gap.remedy]\nrefuse = "x"': "rules.gap.remedy.refuse translates nothing",
    '[rules.gap]\ncautions = ["x", "y"]': "rules.gap.cautions must list as many cautions as the rule has, 1, in the same order",
    "[rules.gap]\nmet = 3": "rules.gap.met must be a text",
    '[terms]\n"{a}{b}" = "x"': "terms.“{a}{b}” cannot be filled: its places need different names, and text between them",
    '[terms]\n"by {a}" = "{b}"': "terms.“by {a}” cannot be filled: {b} is not in the English",
    '[terms]\n"by" = "{b}"': "terms.“by” cannot be filled: {b} is not in the English",
    '[words]\nbetter = "x"': "words.better translates nothing; the contract alone shares the word: better",
    '[tems]\nby = "x"': (
        "tems translates nothing; there are: facts, sections, rules, limits, drawings, terms, cautions, words. Did you mean “terms”?"
    ),
    "[rules": "is no TOML",
}


@pytest.mark.parametrize("german", list(FAULTS))
def test_a_text_of_what_is_not_there_is_a_fault_at_the_start(german: str) -> None:
    catalogue = made(german)
    with pytest.raises(PackFaults) as raised:
        with_languages(catalogue)
    assert len(raised.value.faults) == 1
    (fault,) = raised.value.faults
    assert (fault.kind, fault.pack) == ("bad-texts", "small")
    assert fault.message.startswith(f"pack small, its texts in de: {FAULTS[german]}")
    tolerant = with_languages(catalogue, tolerate=True)
    assert tolerant.faults == (fault,)
    answer = asked(tolerant, small(gap_mm=1, hue="red"))
    assert not answer.settled
    assert findings(answer)["small.gap"].artist == "It is fine, red, grown by 0,125 mm."


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(PackFaults) as raised:
        with_languages(made('[rules.gab]\nmet = "x"\n[rules.gap]\nmet = "{x}"\n[limits.gap]\nabout = "x"\n'))
    assert len(raised.value.faults) == 3


def test_texts_count_for_the_answers_fingerprint_and_for_no_packs() -> None:
    one, other = made(), made(GERMAN.replace("Gut so", "Fein"))
    assert one.installed[0].fingerprint == other.installed[0].fingerprint
    works = (small(gap_mm=1, hue="red"),)
    assert asked(one, *works).packs == asked(other, *works).packs
    assert asked(one, *works).texts != asked(other, *works).texts
    assert asked(one, *works).texts == asked(made(), *works).texts


def test_each_language_remembers_for_itself() -> None:
    one = Evaluator(Ruleset(made(), VENUE))
    work = small(gap_mm=12.5, hue="red", keyed=True)
    first = [msgspec.json.encode(evaluate(one.speaking(code), work)) for code in ("en", "de", None, "de", "en")]
    assert first[0] == first[2] == first[4]
    assert first[1] == first[3] != first[0]
    assert one.speaking("de") is one.speaking("de")
    assert one.speaking("en") is one.speaking(None) is one


def test_a_language_that_nobody_speaks() -> None:
    with pytest.raises(FileNotFoundError):
        language_of(made(), "xx")


class TestTerms:
    FIGURES = Figures(",", ".", {"day": "Tag", "days": "Tage"}, "„{text}“")
    JOINS: ClassVar = {" and ": " und ", " or ": " oder "}

    def terms(self, **more: str) -> Terms:
        known = {"wire": "Draht", "a ring and a hook": "Ring mit Haken", "{count} more": "{count} weitere", "dust or dirt": "Staub"}
        return Terms({**known, **more}, self.FIGURES, self.JOINS)

    @pytest.mark.parametrize(
        ("english", "german"),
        [
            ("wire", "Draht"),
            ("Wire", "Draht"),
            ("wire and dust or dirt", "Draht und Staub"),
            ("wire, a ring and a hook and 2 more", "Draht, Ring mit Haken und 2 weitere"),
            ("wire or steel", "wire or steel"),  # a list is only put into other words as a whole
            ("12.5 mm", "12,5 mm"),
            ("1,250.50 EUR", "1.250,50 EUR"),
            ("-0.5 K and 3 days", "-0,5 K und 3 Tage"),
            ("the frame “A 2.5” at 2.5 m", "the frame „A 2.5“ at 2,5 m"),
            ("version 1.2.3 of EN12600", "version 1.2.3 of EN12600"),
            ("1 day", "1 Tag"),
            ("today is payday", "today is payday"),
            ("", ""),
        ],
    )
    def test_what_is_known_is_said_and_the_rest_stays(self, english: str, german: str) -> None:
        assert self.terms().say(english) == german

    def test_a_pattern_takes_what_stands_in_its_places(self) -> None:
        terms = self.terms(**{"{part} of {size}, held by {by}": "{by} hält {part} ({size})"})
        assert terms.say("wire of 2.5 mm, held by wire and 3 more") == "Draht und 3 weitere hält Draht (2,5 mm)"
        assert terms.say("wire of 2.5 mm, held by ") == "wire of 2,5 mm, held by "

    def test_the_surest_pattern_wins_whatever_the_order(self) -> None:
        pairs = {"{a} of {b}": "{a} von {b}", "{a} of the {b}": "{a} aus {b}"}
        for order in (list(pairs), list(reversed(pairs))):
            assert self.terms(**{key: pairs[key] for key in order}).say("wire of the 3 days") == "Draht aus 3 Tage"

    def test_other_values(self) -> None:
        terms = self.terms()
        assert terms.say((12.5, "mm")) == "12,5 mm"
        assert terms.say(3) == "3"
        assert terms.say(2.5) == "2,5"
        assert terms.say(Shown("0,123 mm")) == "0,123 mm"

    @given(st.lists(st.sampled_from(["wire", "dust or dirt", " and ", ", ", " or ", "{", "“", "”", "1,000.5", "2 more", "xx", " "])))
    def test_any_text_is_said_without_an_error(self, parts: Sequence[str]) -> None:
        self.terms(**{"{a}, {b} and {c}": "{c}; {b}; {a}"}).say("".join(parts))

    @given(st.text(string.ascii_letters + "., -“”{}", max_size=80))
    def test_a_text_without_figures_and_terms_stays_as_it_is_but_for_its_quotation_marks(self, text: str) -> None:
        assert Terms({}, self.FIGURES, self.JOINS).say(text) == re.sub("“([^”]*)”", r"„\1“", text)

    @given(st.floats(-1e6, 1e6), st.sampled_from(["mm", "kg", "%", "°C", ""]))
    def test_a_figure_has_the_same_digits(self, value: float, unit: str) -> None:
        from hangworthy.contract import show

        assert self.FIGURES.show(value, unit).translate(str.maketrans(",.", ".,")) == show(value, unit)

    def test_a_hostile_text_takes_no_time(self) -> None:
        terms = self.terms(**{"{a}, {b} and {c} of {d}, {e}": "{a}{b}{c}{d}{e}"})
        for text in (", and of " * 220, "a, " * 660, "wire and " * 200 + "wire", "“" * 1900):
            terms.say(text)


def test_the_host_says_everything_in_german_with_the_same_values() -> None:
    voice, _ = voice_in("de")
    for name, named in SENTENCES.items():
        assert names_in(voice._texts[name]) == tuple(sorted(named)), name
    assert voice.allowed(2.5, 3, "mm") == "2,5 mm bis 3 mm erlaubt"
    assert voice.allowed(None, 3, "d") == "höchstens 3 Tage erlaubt"
    assert voice.allowed(2.5, None, "mm") == "mindestens 2,5 mm nötig"
    assert voice.allowed(None, None, "") == ""


def test_a_pack_in_one_file_brings_its_texts_with_it() -> None:
    one: RulePack = pack(gap, texts={"de": GERMAN})
    assert installed_pack(one).texts == {"de": GERMAN}
    assert installed_pack(pack(gap)).texts == {"de": ""}
