"""Pages: what each of the two says, in which order, for whom, in both languages; and that nobody's text can do harm in them."""

import itertools
import re
from typing import Any

import html5lib
import msgspec
import pytest

from hangworthy.contract import Effect, Evaluation, Stage, State, Step
from hangworthy.contract.languages import LANGUAGES
from hangworthy.contract.reading import AsWritten
from hangworthy.readings.line import read_line
from hangworthy.sheets.again import Again, told
from hangworthy.sheets.content import chosen, sheet_of, step_of
from hangworthy.sheets.document import document, policy, style
from hangworthy.sheets.words import tongue
from sheets.making import CANVAS, CROPPED, MATTED, UNSURE, evaluator, html_of, told_of

X = "{http://www.w3.org/1999/xhtml}"


def parsed(html: str) -> Any:
    return html5lib.HTMLParser(strict=True).parse(html)  # raises for anything that HTML does not allow


def words(root: Any) -> str:
    return re.sub(r"\s+", " ", "".join(root.itertext()))


def test_what_to_do_comes_in_the_order_in_which_it_is_done() -> None:
    made = told_of([CANVAS])
    steps = [one.step for one in sheet_of(made, made.answer.works[0]).todo]
    assert steps == sorted(steps, key=list(Step).index)
    assert steps[:2] == [Step.CLEAN, Step.DRY]
    assert {Step.MEND, Step.FIT} <= set(steps)
    mould = told_of([{**CANVAS, "condition": {"faults": ["dusty", "mould"]}}])
    assert sheet_of(mould, mould.answer.works[0]).todo[0].step is Step.ISOLATE


def test_every_unmet_finding_is_somewhere_on_the_artists_page_and_on_the_bench() -> None:
    for work in (CANVAS, CROPPED):
        made = told_of([work])
        sheet = sheet_of(made, made.answer.works[0])
        unmet = {one.rule for one in made.answer.works[0].findings if one.state is State.UNMET}
        lists = (*sheet.blockers, *sheet.todo, *sheet.ours, *sheet.advice)
        assert {one.finding.rule for one in lists} == unmet
        assert unmet <= {one.rule for one in sheet.rows}


def test_a_remedy_without_a_step_follows_its_effect() -> None:
    made = told_of([CANVAS])
    found = {one.rule: one for one in made.answer.works[0].findings}
    braced = found["canvas.braced"]
    assert braced.effect is Effect.REPAIR
    assert step_of(braced, made.rules["canvas.braced", ""]) is Step.MEND


def test_the_artist_reads_sentences_cautions_tools_questions_and_the_day() -> None:
    text = words(parsed(html_of([CANVAS])))
    for sentence in (
        "For the framer’s bench first", "Ready before12 January 2026", "Have a framer fit a cross bar in the middle, or corner braces",
        "A bar runs 1680 mm without a brace; 1500 mm is the most that stays straight.", "Caution: A stretcher under tension can spring",
        "Have at hand: ", "soft brush", "What we still ask you", "What is fine", "Your stretcher bars are straight.",
    ):  # fmt: skip
        assert sentence in text


def test_the_bench_reads_figures_limits_margins_shares_and_sources() -> None:
    root = parsed(html_of([CANVAS]))
    (row,) = [one for one in root.iter(f"{X}tr") if one.get("data-rule") == "canvas.lies-flat"]
    cells = [words(one).strip() for one in row]
    measure = "Gap of the corner that stays off when three rest Corner gaps 0 / 0 / 9 / 0 mm"
    assert cells == ["×", measure, "9 mm", "≤ 6 mm", "−3 mm", "150 %", "own policy", "mm", ""]


def bench_row(html: str, rule: str) -> list[str]:
    """The first row of a rule in the bench's table, without what the box to tick holds."""
    rows = [one for one in parsed(html).iter(f"{X}tr") if one.get("data-rule") == rule]
    return [words(one).strip() for one in rows[0]][1:-1]


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_bench_reads_what_was_declared_where_there_is_no_figure(language: Any) -> None:
    canvas = {**CANVAS["canvas"], "bar_condition": ["stained", "loose"]}
    work = {**CANVAS, "canvas": canvas, "condition": {"faults": ["cracked", "dusty"], "cracks_lift": True}}
    html = html_of([work], language)
    bars = {"en": "Not in order. Condition of the bars: Stained, Loose", "de": "Nicht in Ordnung. Zustand der Leisten: fleckig, lose"}
    assert bench_row(html, "canvas.sound-bars")[1] == bars[language]
    paint = bench_row(html, "condition.paint-holds")[1]
    assert paint.endswith({"en": "Faults, if any: Cracked, Dusty; Lifting cracks: yes", "de": "Hochstehende Risse: ja"}[language])


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_box_takes_what_a_ruler_gives_and_the_row_shows_what_was_read(language: Any) -> None:
    html = html_of([{**CANVAS, "canvas": {**CANVAS["canvas"], "billow_mm": 19, "diagonals_mm": [1890, "1910.5 mm"]}}], language)
    belly, square = bench_row(html, "canvas.taut"), bench_row(html, "canvas.square")
    assert (belly[1], belly[-1]) == ({"en": "21.1 mm/m", "de": "21,1 mm/m"}[language], "mm")
    assert belly[0].endswith({"en": "Belly 19 mm", "de": "Bauch der Leinwand 19 mm"}[language])
    assert square[-1] == "mm"
    assert square[0].endswith({"en": "Diagonals 1890 / 1910.5 mm", "de": "Diagonalen 1890 / 1910,5 mm"}[language])
    straight = bench_row(
        html_of([{**CANVAS, "canvas": {**CANVAS["canvas"], "edge_bow_mm": [0, 0, 0, 0]}}], language), "canvas.straight-bars"
    )
    assert straight[-1] == "mm"
    assert "0 / 0 / 0 / 0 mm" in straight[0], "what is in order too, where the box asks for something else than the figure"


PLACES: list[tuple[dict[str, Any], str, bool]] = [
    ({"/wall/illuminance_lx": 240.0, "/technique": "oil"}, "lx", False),
    ({"/wall/surface_c": 18.0, "/wall/temp_c": 21.0, "/wall/rh_percent": 45.0}, "K", False),
    ({"/width_mm": 600.0, "/wall/width_mm": 6400.0}, "mm", False),
    ({"/wall/surface_c": 18.0, "/width_mm": 600.0}, "K", False),
    ({"/wall/direct_sun": True}, "", False),
    ({"/wall/room": "bath", "/condition/faults": ("mould",)}, "", True),
    ({"/mass_kg": 4.0, "/wall/width_mm": 6400.0}, "kg", True),
    ({"/canvas/age_days": 12.0}, "d", True),
    ({}, "mm", True),
]


@pytest.mark.parametrize(("facts", "unit", "boxed"), PLACES)
def test_a_box_stands_only_beside_what_is_measured_on_the_work(facts: dict[str, Any], unit: str, boxed: bool) -> None:
    made = told_of([CANVAS])
    work = made.answer.works[0]
    finding = next(one for one in work.findings if one.rule == "canvas.lies-flat")
    made.answer.works[0] = msgspec.structs.replace(work, findings=[msgspec.structs.replace(finding, facts=facts, unit=unit)])
    html = document(made, chosen(made, None), "en", "a4").html
    row = next(one for one in parsed(html).iter(f"{X}tr") if one.get("data-rule") == "canvas.lies-flat")
    assert any(one.get("class") == "box" for one in row.iter()) == boxed
    assert any(one.get("class") == "fill" for one in row) == boxed


def test_of_an_evaluation_that_todays_packs_cannot_read_the_rows_stand_as_they_were_stored() -> None:
    made = told_of([CANVAS])
    bare = told(made.answer, [CANVAS], None, "en")
    row = bench_row(document(bare, chosen(bare, None), "en", "a4").html, "canvas.straight-bars")
    assert row[-1] == "mm/m"
    edges = bench_row(document(bare, chosen(bare, None), "en", "a4").html, "canvas.edges")
    assert edges[1] == "Not in order"


@pytest.mark.parametrize(
    ("language", "one", "more"),
    [
        ("en", "We still look up one thing ourselves; you need not do anything for that.", "We still look up 2 things ourselves"),
        ("de", "Wir sehen noch eine Sache selbst nach; Sie müssen dafür nichts tun.", "Wir sehen noch 2 Dinge selbst nach"),
    ],
)
def test_what_we_still_look_up_is_said_in_a_sentence(language: Any, one: str, more: str) -> None:
    made = told_of([CANVAS], language)
    work = made.answer.works[0]
    for count, sentence in ((1, one), (2, more)):
        asked = msgspec.structs.replace(next(one for one in work.questions if one.asked_of == "coordinator"), title="Bare label")
        made.answer.works[0] = msgspec.structs.replace(work, questions=[asked] * count)
        text = words(parsed(document(made, chosen(made, None), language, "a4").html))
        assert sentence in text
        assert "Bare label" not in text


def test_what_was_read_in_free_text_stands_in_the_head_where_nothing_was_given() -> None:
    written = {"ref": "a", "kind": "panel", "width_mm": None, "as_written": {"dimensions": "H 30 cm, W 40 cm", "medium": "Oil on canvas"}}
    assert "W 400 mm × H 300 mm" in words(parsed(html_of([written])))
    made = told_of([written])
    assert sheet_of(made, made.answer.works[0]).sent["kind"] == "panel", "what was given counts"


def section(html: str, title: str) -> list[str]:
    """The rows of the list under a heading of the artist's page."""
    page = parsed(html).find(f".//{X}section[@id='w1-artist']")
    children = list(page)
    (place,) = [at for at, one in enumerate(children) if one.tag == f"{X}h2" and words(one) == title] or [None]
    return [] if place is None else [words(row) for row in next(one for one in children[place:] if one.tag in (f"{X}ul", f"{X}ol"))]


UNSURE_ROWS = {
    "en": [
        "Framed: no was given, but “30 x 40 in” says yes. What was given counts. Is that right? yes no",
        "“24.5 x 36 in”: Which number is the height? Nothing here says so. 24.5 in high and 36 in wide 36 in high and 24.5 in wide",
        "“30 x 40 in”: Which number is the height of the frame? Nothing here says so. "
        "30 in high and 40 in wide 40 in high and 30 in wide",
        "“Oil and acrylic”: Several materials are named. Which is the main one? Oil Acrylic Mixed",
        "______________“gallery”: we do not understand this. What does it mean?",
    ],
    "de": [
        "Gerahmt: Angegeben wurde nein, aus „30 x 40 in“ lesen wir ja. Es gilt, was angegeben wurde. Ist das richtig? ja nein",
        "„24.5 x 36 in“: Welche Zahl ist die Höhe? Hier steht es nicht. 24,5 in hoch und 36 in breit 36 in hoch und 24,5 in breit",
        "„30 x 40 in“: Welche Zahl ist die Höhe des Rahmens? Hier steht es nicht. 30 in hoch und 40 in breit 40 in hoch und 30 in breit",
        "„Oil and acrylic“: Mehrere Materialien sind genannt. Welches ist das wichtigste? Öl Acryl Mischtechnik",
        "______________„gallery“: Das verstehen wir nicht. Was bedeutet es?",
    ],
}  # fmt: skip
UNSURE_TITLES = {"en": "What we could not read for sure", "de": "Was wir nicht sicher lesen konnten"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_a_reading_left_open_is_asked_with_the_words_that_were_written(language: Any) -> None:
    html = html_of([UNSURE], language)
    assert [re.sub(r" +", " ", row) for row in section(html, UNSURE_TITLES[language])] == UNSURE_ROWS[language]
    bench = parsed(html).find(f".//{X}section[@id='w1-bench']")
    assert UNSURE_TITLES[language] not in words(bench)


@pytest.mark.parametrize(
    ("language", "row"),
    [
        ("en", "__________ mm Diagonals Measure from corner to corner with a steel tape."),
        ("de", "__________ mm Diagonalen Messen Sie mit einem Stahlmaßband von Ecke zu Ecke."),
    ],
)
def test_what_is_to_be_found_out_stands_with_its_unit_and_how_to_measure_it(language: Any, row: str) -> None:
    page = parsed(html_of([CANVAS], language)).find(f".//{X}section[@id='w1-bench']")
    rows = [" ".join(" ".join(one.itertext()).split()) for one in page.findall(f".//{X}ul[@class='find columns']/{X}li")]
    assert row in rows
    assert all(one.startswith("__________ ") for one in rows)


@pytest.mark.parametrize("language", LANGUAGES)
def test_where_nothing_is_open_nothing_is_said_of_readings(language: Any) -> None:
    sure = {"ref": "a", "kind": "panel", "as_written": {"dimensions": "H 30 cm, W 40 cm"}}
    for work in (CANVAS, sure):
        assert UNSURE_TITLES[language] not in html_of([work], language)


def test_of_many_doubts_the_first_are_told_and_the_rest_counted() -> None:
    text = {"dimensions": "24 x 36 in gallery, framed 30 x 40 in, image 20 x 30 in", "medium": "Ink and pastel on board", "edition": "?"}
    html = html_of([{**UNSURE, "as_written": text}])
    assert len(section(html, UNSURE_TITLES["en"])) == 5
    assert re.search(r"</ul><p class=\"note\">and \d more</p>", html)


def test_a_stored_reading_is_worded_in_the_language_of_the_sheet() -> None:
    """The questions come from today's reading where it is the same; one that is not stays as it was stored."""
    stored, fresh = (told_of([UNSURE], language).answer for language in LANGUAGES)
    work = msgspec.convert(UNSURE, evaluator().ruleset.catalogue.schema.work)
    kept = msgspec.json.decode(msgspec.json.encode(stored), type=Evaluation)
    other = msgspec.structs.replace(kept.works[0].reading.asks[0], rule="unit-open", question="Stored.")
    kept.works[0].reading = msgspec.structs.replace(kept.works[0].reading, asks=(other, *kept.works[0].reading.asks[1:]))
    made = told(kept, [UNSURE], Again(evaluator().speaking("de"), [work], fresh), "de")
    html = document(made, chosen(made, None), "de", "a4").html
    rows = [re.sub(r" +", " ", row) for row in section(html, UNSURE_TITLES["de"])]
    assert rows[0] == UNSURE_ROWS["de"][0]
    assert rows[1].startswith("Stored.")
    assert rows[2:] == UNSURE_ROWS["de"][2:]


PLEASE = {"en": "What we still ask you", "de": "Was wir Sie noch fragen"}
TICKED = {
    "en": {
        "What kind of work is it?": "Stretched canvas Panel Work on paper Original print Photograph Reproduction",
        "Is it in a frame?": "yes no",
    },
    "de": {
        "Was für ein Werk ist es?": "Leinwand auf Keilrahmen Tafel oder Platte Arbeit auf Papier Originalgrafik Fotografie",
        "Ist es gerahmt?": "ja nein",
    },
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_question_with_choices_has_a_box_for_each_and_any_other_a_line(language: Any) -> None:
    rows = [re.sub(r" +", " ", row) for row in section(html_of([{"ref": "a"}], language), PLEASE[language])]
    for prompt, ways in TICKED[language].items():
        (row,) = [one for one in rows if prompt in one]
        assert ways in row
        assert "___" not in row
    made = told_of([{"ref": "a"}], language)
    asked = sheet_of(made, made.answer.works[0]).asked
    for question, row in zip(asked, rows, strict=True):
        assert ("___" in row) == (not question.choices and question.type != "yes_no")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", ["stretched-canvas", "original-print", "work-on-paper"])
def test_every_question_is_printed_however_many_there_are(kind: str, language: Any) -> None:
    work = {"ref": "a", "kind": kind}
    made = told_of([work], language, Stage.HANGING)
    asked = sheet_of(made, made.answer.works[0]).asked
    assert len(asked) > 9
    rows = section(html_of([work], language, stage=Stage.HANGING), PLEASE[language])
    assert [one.prompt in row for one, row in zip(asked, rows, strict=True)] == [True] * len(asked)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_choices_of_a_stored_question_are_in_the_language_of_the_sheet(language: Any) -> None:
    """Where the choices are others by now, those that were stored keep their own words."""
    given = [{"ref": "a"}]
    stored, fresh = (told_of(given, code).answer for code in (*(one for one in LANGUAGES if one != language), language))
    work = msgspec.convert(given[0], evaluator().ruleset.catalogue.schema.work)
    questions = stored.works[0].questions
    other = next(one for one in questions if one.choices and one.fact != "/kind")
    stored.works[0].questions = [
        msgspec.structs.replace(one, choices=("silk",), labels=("Stored",)) if one is other else one for one in questions
    ]
    made = told(stored, given, Again(evaluator().speaking(language), [work], fresh), language)
    rows = section(document(made, chosen(made, None), language, "a4").html, PLEASE[language])
    for prompt, ways in TICKED[language].items():
        assert any(prompt in row and ways in re.sub(r" +", " ", row) for row in rows)
    assert any(row.endswith("Stored") for row in rows)


def test_the_same_in_german() -> None:
    text = words(parsed(html_of([CANVAS], "de")))
    for sentence in ("Erst in die Werkstatt", "Fertig vor dem12. Januar 2026", "Wohin die Streben kommen", "Vorsicht:", "4,5 mm",
                     "Abstand der Ecke, die absteht, wenn drei aufliegen", "Die Haken an der Wand"):  # fmt: skip
        assert sentence in text
    for english in ("The ", "Your ", "Ready", "Caution", "Where the", "own policy", "Have "):
        assert english not in text


def test_both_languages_have_the_same_words() -> None:
    tables = [tongue(code).table for code in LANGUAGES]
    keys = [{(name, inner) for name, one in table.items() for inner in (one if isinstance(one, dict) else [""])} for table in tables]
    assert keys[0] == keys[1]
    for name, value in tables[0].items():
        for english, other in (
            [(value, tables[1][name])] if isinstance(value, str) else [(value[key], tables[1][name][key]) for key in value]
            if isinstance(value, dict) else []
        ):  # fmt: skip
            assert set(re.findall(r"\{\w+\}", english)) == set(re.findall(r"\{\w+\}", other)), name
    assert [len(table["months"]) for table in tables] == [12, 12]


def test_a_work_that_is_ready_says_so_and_asks_nothing_to_be_done() -> None:
    work = {"ref": "a", "kind": "sculpture", "condition": {"faults": ["none"]}}
    text = words(parsed(html_of([work], stage=Stage.OFFER)))
    assert "Nothing to prepare: bring it as it is." in text
    assert "Drop-off on" in text


BRINGING = {
    "en": ("Before drop-off", "before you bring it", "bring it as it is", "when it arrives", "Drop-off on"),
    "de": ("Vor der Abgabe", "bevor Sie es bringen", "Bringen Sie es", "Wir messen bei der Ankunft nach", "Abgabe am"),
}
HERE = {
    "en": ("What to do, in this order", "We measure it on our bench, and tell you what differs."),
    "de": ("Was zu tun ist, in dieser Reihenfolge", "Wir messen es an unserer Werkbank und sagen Ihnen, was abweicht."),
}
BENCH = {"en": ("At arrival", "Measured now"), "de": ("Bei Ankunft", "Jetzt gemessen")}
SOUND = {"ref": "a", "kind": "sculpture", "condition": {"faults": ["none"]}}
READY_AFTER = {"en": "Nothing to do: leave it as it is.", "de": "Nichts zu tun: Lassen Sie es, wie es ist."}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("stage", Stage)
def test_nobody_is_told_to_bring_a_work_that_is_here_or_on_its_way(stage: Stage, language: Any) -> None:
    works = [CANVAS, CROPPED, {"ref": "a", "kind": "panel"}, SOUND, HAZARDOUS, {**SOUND, "ref": "b", "hang_until": "2026-03-01"}]
    text = " ".join(html_of([work], language, stage=stage) for work in works)
    told_to = [one for one in BRINGING[language] if one in text]
    assert told_to == (list(BRINGING[language]) if stage is Stage.OFFER else [])
    assert all((one in text) == (stage is not Stage.OFFER) for one in HERE[language])
    at_arrival, now = BENCH[language]
    assert (now in text) == (stage not in (Stage.OFFER, Stage.ARRIVAL))
    assert (at_arrival in text) == (stage in (Stage.OFFER, Stage.ARRIVAL))


@pytest.mark.parametrize(("language", "words_of"), [("en", ("Ready before", "Hangs until")), ("de", ("Fertig vor dem", "Hängt bis"))])
def test_the_day_is_that_of_hanging_and_later_that_of_coming_down(language: Any, words_of: tuple[str, str]) -> None:
    work = {**CANVAS, "hang_until": "2026-03-01"}
    days = {"en": ("12 January 2026", "1 March 2026"), "de": ("12. Januar 2026", "1. März 2026")}[language]
    for stage in Stage:
        late = stage in (Stage.ROTATION, Stage.RETURN)
        assert f"{words_of[late]}{days[late]}" in words(parsed(html_of([work], language, stage=stage)))


UNSETTLED = {
    "en": ("Not settled yet", "Nothing to prepare so far. Please answer the questions below before you bring it.", "Ready to hang",
           "as it is."),
    "de": (
        "Noch nicht entschieden", "Bisher nichts vorzubereiten. Bitte beantworten Sie die Fragen unten, bevor Sie es bringen.",
        "Kann hängen", "wie es ist.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("language", LANGUAGES)
def test_of_a_work_about_which_nothing_is_known_nobody_reads_that_it_is_ready(language: Any) -> None:
    text = words(parsed(html_of([{"ref": "only-a-ref"}], language, stage=Stage.OFFER)))
    heading, sentence, ready, as_it_is = UNSETTLED[language]
    assert heading in text
    assert sentence in text
    assert ready not in text
    assert f"{as_it_is} " not in text.replace(f"{tongue(language)('outcome.refuse')}.", "")


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"questions": []}, "Please wait until we have looked up the rest"),
        ({"questions": [], "findings": "borderline"}, "Please measure again what is named below"),
    ],
)
def test_what_is_open_without_a_question_is_waited_for_or_measured_again(changed: dict[str, Any], sentence: str) -> None:
    made = told_of([{"ref": "a", "kind": "panel"}], stage=Stage.OFFER)
    work = made.answer.works[0]
    if changed.pop("findings", ""):
        changed["findings"] = [msgspec.structs.replace(work.findings[0], state=State.BORDERLINE, remedy="Measure again.")]
    made.answer.works[0] = msgspec.structs.replace(work, **changed)
    assert sentence in words(parsed(document(made, chosen(made, None), "en", "a4").html))


def test_what_is_to_be_prepared_but_not_settled_promises_nothing() -> None:
    work = {"ref": "a", "kind": "panel", "condition": {"faults": ["dusty"]}}
    text = words(parsed(html_of([work], stage=Stage.OFFER)))
    assert "To be prepared by you" in text
    assert "and help us to settle what is open." in text
    assert "then it can hang" not in text


HAZARDOUS = {
    **CANVAS, "condition": {"faults": ["mould", "dusty", "torn"], "found_faults": ["mould"], "dust_on": ["back"]},
}  # fmt: skip
LEAD = {
    "en": "After a conservator or framer has cleared it",
    "de": "Erst wenn eine Restaurierungs- oder Rahmenwerkstatt es freigegeben hat",
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_while_there_is_a_hazard_all_else_waits_and_needs_no_tools_yet(language: Any) -> None:
    made = told_of([HAZARDOUS], language)
    sheet = sheet_of(made, made.answer.works[0])
    assert {one.step for one in sheet.todo} <= {Step.ISOLATE, Step.PAPERS}
    assert {"canvas.dry", "canvas.edges", "canvas.taut", "condition.clean"} <= {one.finding.rule for one in sheet.later}
    assert set(sheet.tools) <= {"gloves", "mask", "plastic-bag"}
    text = words(parsed(document(made, chosen(made, None), language, "a4").html))
    first = next(one for one in sheet.todo if one.step is Step.ISOLATE)
    places = [text.index(one) for one in (first.finding.remedy, LEAD[language], sheet.later[0].finding.remedy)]
    assert places == sorted(places)
    assert LEAD[language] not in html_of([CANVAS], language)


@pytest.mark.parametrize("language", LANGUAGES)
def test_loose_paint_comes_before_dust_and_keys(language: Any) -> None:
    canvas = {**CANVAS["canvas"], "keyed": True, "bar_condition": ["loose"]}
    made = told_of([{**CANVAS, "canvas": canvas, "condition": {"faults": ["cracked", "dusty"], "cracks_lift": True}}], language)
    sheet = sheet_of(made, made.answer.works[0])
    assert [one.finding.rule for one in sheet.todo if one.step is not Step.PAPERS] == ["condition.paint-holds"]
    assert {"canvas.taut", "canvas.sound-bars", "condition.clean"} <= {one.finding.rule for one in sheet.later}
    text = words(parsed(document(made, chosen(made, None), language, "a4").html))
    assert text.index(sheet.todo[0].finding.remedy) < text.index(LEAD[language])


def test_what_the_bench_does_stands_under_what_we_do_and_not_among_the_artists_steps() -> None:
    made = told_of([HAZARDOUS])
    sheet = sheet_of(made, made.answer.works[0])
    assert {"condition.bench-no-hazard", "condition.clean-in-raking-light"} <= {one.finding.rule for one in sheet.ours}
    assert all(one.finding.remedy.startswith("We ") for one in sheet.ours)
    assert not any(one.ours for one in (*sheet.todo, *sheet.later, *sheet.advice))


def test_of_a_sheet_that_is_too_small_nothing_is_said_of_how_it_would_hang() -> None:
    work = {"ref": "s", "kind": "work-on-paper", "width_mm": 290, "height_mm": 410, "framed": False}
    made = told_of([work])
    sheet = sheet_of(made, made.answer.works[0])
    assert [one.finding.rule for one in sheet.blockers] == ["paper.big-enough"]
    assert not any(one.finding.pack == "paper" for one in sheet.advice)
    text = words(parsed(html_of([work])))
    for sentence in ("It can hang so", "It fits", "No frame is chosen", "Mat and frame"):
        assert sentence not in text


SIZES = {"en": ("W 36 in × H 24 in", "W 905 mm × H 60.5 mm"), "de": ("B 36 in × H 24 in", "B 905 mm × H 60,5 mm")}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_size_says_which_side_is_which_so_that_it_is_read_one_way(language: Any) -> None:
    for (width, height), size in zip((("36 in", "24 in"), (905, 60.5)), SIZES[language], strict=True):
        assert size in words(parsed(html_of([{"ref": "a", "kind": "panel", "width_mm": width, "height_mm": height}], language)))
        read = read_line(AsWritten(dimensions=size))
        assert not read.unsure
        assert {one.name for one in read.found} == {"width", "height"}


@pytest.mark.parametrize("works", [[CANVAS], [CROPPED, MATTED, CANVAS, UNSURE]], ids=["one", "four"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_document_is_sound(works: list[dict[str, Any]], language: Any) -> None:
    html = html_of(works, language)
    root = parsed(html)
    ids = [one.get("id") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    assert root.get("lang") == language
    assert "script" not in {str(one.tag).removeprefix(X) for one in root.iter()}
    assert [name for one in root.iter() for name in one.attrib if name == "style" or name.startswith("on")] == []
    named = {one.get("aria-labelledby") for one in root.iter() if one.get("aria-labelledby")}
    assert named <= set(ids)
    levels = [int(str(one.tag)[-1]) for one in root.iter() if re.fullmatch(re.escape(X) + r"h[1-6]", str(one.tag))]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert len([one for one in root.iter(f"{X}section")]) == 2 * len(works)


HOSTILE = "</title></style><script>alert(1)</script><img src=x onerror=alert(2)>\"'& {size} %s \u202e ü ′ ″ × −"


@pytest.mark.parametrize("language", LANGUAGES)
def test_hostile_text_stays_text(language: Any) -> None:
    work = {
        **CANVAS,
        "title": HOSTILE,
        "artist_name": HOSTILE,
        "ref": "<b>r</b>",
        "width_mm": "1680 mm",
        "as_written": {"medium": HOSTILE, "edition": HOSTILE},
    }
    html = html_of([work], language)
    root = parsed(html)
    tags = {str(one.tag).removeprefix(X) for one in root.iter()}
    assert tags.isdisjoint({"script", "img", "b"})
    assert HOSTILE in "".join(root.itertext())


def test_the_style_is_one_that_the_policy_knows_and_it_is_grey() -> None:
    assert "'unsafe-inline'" not in policy("a4")
    assert policy("a4") != policy("letter")
    for text in (style("a4"), style("letter")):
        for colour in re.findall(r"#([0-9a-f]{3,6})\b", text):
            digits = [colour[at : at + len(colour) // 3] for at in range(0, len(colour), len(colour) // 3)]
            assert len(set(digits)) == 1
        assert "url(" not in text
        assert "@import" not in text
