"""Pages: what each of the two says, in which order, for whom, in both languages; and that nobody's text can do harm in them."""

import itertools
import re
from typing import Any

import html5lib
import pytest

from hangworthy.contract import Effect, Stage, State, Step
from hangworthy.contract.languages import LANGUAGES
from hangworthy.sheets.content import sheet_of, step_of
from hangworthy.sheets.document import policy, style
from hangworthy.sheets.words import tongue
from sheets.making import CANVAS, CROPPED, MATTED, html_of, told_of

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
    assert cells == ["×", "Gap of the corner that stays off when three rest", "9 mm", "≤ 6 mm", "−3 mm", "150 %", "own policy", "mm", ""]


def test_what_was_read_in_free_text_stands_in_the_head_where_nothing_was_given() -> None:
    written = {"ref": "a", "kind": "panel", "width_mm": None, "as_written": {"dimensions": "H 30 cm, W 40 cm", "medium": "Oil on canvas"}}
    assert "400 mm × 300 mm" in words(parsed(html_of([written])))
    made = told_of([written])
    assert sheet_of(made, made.answer.works[0]).sent["kind"] == "panel", "what was given counts"


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


@pytest.mark.parametrize("works", [[CANVAS], [CROPPED, MATTED, CANVAS]], ids=["one", "three"])
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
    work = {**CANVAS, "title": HOSTILE, "artist_name": HOSTILE, "ref": "<b>r</b>", "width_mm": "1680 mm"}
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
