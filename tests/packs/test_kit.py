"""The kit itself: that it passes a good pack, and that it finds and names everything that can be wrong with one."""

import sys
import time
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest

from hangworthy.contract import Check, Effect, RulePack, StockFrame, Undecided, Words, at_most, fact, holds
from hangworthy.testing import (
    CaseError,
    Sentence,
    cases_of,
    check_case,
    check_rows,
    conform,
    faults_of,
    render_sentences,
    run_case,
    wrong_with,
)
from small_packs import PLAIN, SmallLimits, pack, small_rule, small_set_rule

OUTSIDE = Path(__file__).parent.parent / "outside_pack"

CASES = """
[[case]]
name = "narrow"
kind = "pass"
work.small.gap_mm = "3 mm"
expect = { state = "met", measured = 3.0, outcome = "ready", at_worst = "ready" }

[[case]]
name = "wide"
kind = "fail"
work.small.gap_mm = 9
expect = { state = "unmet", effect = "repair", measured = 9.0004, outcome = "repair" }

[[case]]
name = "at the limit of an old house"
kind = "edge"
stage = "arrival"
limits.gap_mm = "1 cm"
work.small.gap_mm = "10 ± 0.5"
expect = { state = "borderline", probability = 0.5 }

[[case]]
name = "not measured"
kind = "unknown"
expect = { state = "unknown", missing = ["/small/gap_mm"], at_worst = "repair" }
"""


@small_rule("gap", words=Words(measure="Gap", met="It is fine.", unmet="The gap is {value}.", remedy="Close it."), uses=["gap_mm"])
def gap(limits: SmallLimits, gap: float = fact("small.gap_mm")) -> Check:
    """Is the gap small?"""
    return at_most(gap, limits.gap_mm, unit="mm")


def with_cases(text: str, rule=gap, **details) -> RulePack:
    return pack(rule, cases={rule.name: text}, **details)


def faults(one: RulePack, **details) -> str:
    with pytest.raises(AssertionError) as caught:
        conform(one, **details)
    return str(caught.value)


def test_a_good_pack_passes() -> None:
    one = with_cases(CASES)
    conform(one)
    assert str(cases_of(one)[0]) == "gap: narrow"
    for case in cases_of(one):
        check_case(one, case)
    assert run_case(one, cases_of(one)[1]).remedy == "Close it."


def test_the_outside_pack_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(OUTSIDE))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    import hum_pack

    conform(hum_pack.PACK, files=OUTSIDE)


def test_case_files_in_a_folder(tmp_path: Path) -> None:
    (tmp_path / "gap.toml").write_text(CASES, "utf-8")
    conform(pack(gap, cases=tmp_path))
    assert cases_of(pack(gap, cases=tmp_path / "nowhere")) == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[case]", "cases/gap.toml"),
        ("[case]\nname = 'x'", "[[case]]"),
        ("[[case]]\nname = 'x'\n[other]", "other"),
        ("[[case]]\nname = 'x'\nkind = 'pass'", "case 1 “x”: Object missing required field `expect`"),
        ("[[case]]\nname = 'x'\nkind = 'good'\nexpect.state = 'met'", "case 1 “x”"),
        ("[[case]]\nname = 'x'\nkind = 'pass'\nexpect.state = 'met'\nwrok = {}", "wrok"),
        ("[[case]]\nname = 'x'\nkind = 'pass'\nexpect = {}", "either state or states"),
        ("[[case]]\nname = 'x'\nkind = 'fail'\nexpect.state = 'met'", "kind is fail, but met"),
        ("[[case]]\nname = 'x'\nkind = 'pass'\nexpect.states = ['met']", "1 states for 0 works"),
    ],
)
def test_a_case_that_cannot_be_read_names_file_and_case(text: str, said: str) -> None:
    with pytest.raises(CaseError) as caught:
        cases_of(with_cases(text))
    assert said in str(caught.value)
    assert str(caught.value).startswith("small: cases/gap.toml")
    assert said in faults(with_cases(text))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("state = 'met'", "state = 'met', measured = 4.0", "measured is 3.0, expected 4.0 ± 0.001"),
        ("state = 'met'", "state = 'met', measured = [3.0, 4.0]", "2 figures for 1 works"),
        ("state = 'met'", "state = 'not_applicable'", "state is ['met'], expected ['not_applicable']"),
        ("state = 'met'", "state = 'met', effect = 'refuse'", "effect is repair, expected refuse"),
        ("state = 'met'", "state = 'met', probability = 0.5", "probability is None, expected 0.5"),
        ("state = 'met'", "state = 'met', missing = ['/x']", "missing is [], expected ['/x']"),
        ("state = 'met'", "state = 'met', due = 'arrival'", "due is None, expected arrival"),
        ("gap_mm = 3", "gap_m = 3", "cannot be run: Object contains unknown field `gap_m`"),
        ("gap_mm = 3", "gap_mm = '3 kg'", "cannot be run: /works/0/small/gap_mm"),
        ("work = {", "work = {title = 7, ", "cannot be run: Expected `str | null`, got `int`"),
        ("kind = 'pass'", "kind = 'pass', by = 'eye'", "by eye; there are: ['']"),
        ("kind = 'pass'", "kind = 'pass', limits = {gap = 3}", "there is no limit “small.gap”"),
        ("kind = 'pass'", "kind = 'pass', wall = {rh_percent = 'wet'}", "“wet”"),
    ],
)
def test_a_case_that_comes_out_differently_says_how(old: str, new: str, said: str) -> None:
    text = "case = [{name = 'x', kind = 'pass', work = {small = {gap_mm = 3}}, expect = {state = 'met'}}]"
    one = with_cases(text.replace(old, new))
    [case] = cases_of(one)
    assert any(said in wrong for wrong in wrong_with(one, case)), wrong_with(one, case)
    with pytest.raises(AssertionError, match=r"small\.gap: x"):
        check_case(one, case)
    assert said in faults(one)


def test_every_rule_needs_cases_of_every_kind() -> None:
    text = faults(with_cases("case = [{name = 'x', kind = 'pass', work = {small = {gap_mm = 3}}, expect = {state = 'met'}}]"))
    for kind in ("fail", "edge", "unknown"):
        assert f"cases/gap.toml has no case of kind {kind}" in text
    assert "kind pass" not in text
    assert "cases/stray.toml is the case file of no rule" in faults(pack(gap, cases={"gap": CASES, "stray": CASES}))


def test_every_way_of_measuring_is_answered_by_some_case() -> None:
    other = msgspec.structs.replace(gap, by="eye", function=_by_eye, uses=())
    assert "small.gap by eye is answered by no case" in faults(pack(msgspec.structs.replace(gap, by="gauge"), other, cases={"gap": CASES}))


def _by_eye(seen: str = fact("small.note")) -> Check:
    """Is the gap small?"""
    return holds(True)


LONG = "It is " + "very " * 25 + "wide."


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"unmet": LONG}, "words, at most 24"),
        ({"unmet": ""}, "the sentence is empty"),
        ({"unmet": "The gap is {{value}}."}, "a brace is left over"),
        ({"unmet": "The gap is wide"}, "does not end as a sentence"),
        ({"remedy": ""}, "has no remedy"),
        ({"remedy": {Effect.PREPARE: "Close it."}}, "effect repair has no remedy"),
        ({"unmet": "The gap is {nonsense}."}, "failed"),
    ],
)
def test_sentences(words: dict, said: str) -> None:
    one = with_cases(CASES, msgspec.structs.replace(gap, words=msgspec.structs.replace(gap.words, **words)))
    assert said in faults(one)


def test_long_texts_of_short_sentences_are_fine() -> None:
    assert faults_of(Sentence("x", "met", "artist", "It is 2.5 mm wide. That is fine! Is it not? “Yes.” It is.")) == []
    assert faults_of(Sentence("x", "met", "coordinator", LONG)) == []


def test_sentences_are_rendered_once_each_for_reading() -> None:
    shown = render_sentences(with_cases(CASES))
    assert ("small.gap", "unmet", "remedy", "Close it.") in shown
    assert ("small.gap", "unknown", "artist", "Please tell us: gap.") in shown
    assert len(shown) == len(set(shown))
    assert shown == sorted(shown)


def test_a_slow_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = iter(range(100))
    monkeypatch.setattr(time, "thread_time", lambda: 2.0 * next(clock))
    assert "small.gap: narrow: took 2.0 s" in faults(with_cases(CASES))


def test_a_pack_that_cannot_be_composed() -> None:
    text = faults(pack(msgspec.structs.replace(gap, uses=("nonsense",)), cases={"gap": CASES}))
    assert "[no-limit]" in text
    assert "nonsense" in text


def test_a_rule_that_fails_or_is_undecided_is_told() -> None:
    @small_rule("fails", words=PLAIN)
    def fails(gap: float = fact("small.gap_mm")) -> Check | Undecided:
        """Does it fail?"""
        raise KeyError

    assert "failed: Gap: the rule failed (KeyError)" in faults(with_cases(CASES, fails))


def test_set_rules_walls_and_frames() -> None:
    @small_set_rule("set", words=PLAIN)
    def one_each(
        numbers: tuple[int, ...] = fact("small.number"), frames: tuple[tuple[StockFrame, ...], ...] = fact("venue.frames")
    ) -> list[Check]:
        """Is there a frame for each?"""
        return [holds(numbers.count(number) <= len(stock)) for number, stock in zip(numbers, frames, strict=True)]

    text = """
[[case]]
name = "two of one"
kind = "fail"
frames = [{ name = "A", width_mm = 400, height_mm = 500 }]
works = [{ small.number = 1 }, { small.number = 1 }, { small.number = 2 }]
expect = { states = ["unmet", "unmet", "met"] }
"""
    one = with_cases(text, one_each)
    check_case(one, cases_of(one)[0])

    @small_rule("dry", words=PLAIN)
    def dry(rh: float = fact("wall.rh_percent")) -> Check:
        """Is it dry?"""
        return at_most(rh, 60, unit="%")

    damp = "case = [{name = 'x', kind = 'fail', wall = {rh_percent = '70 %', room = 'pool'}, expect = {state = 'unmet', measured = 70.0}}]"
    check_case(with_cases(damp, dry), cases_of(with_cases(damp, dry))[0])


ROW = """
[[row]]
id = "R1"
source = "A table"
where = "1st edition, table 1"
status = "D"
formula = "double"
inputs = { x = 2 }
expected = 4.0
tolerance = 0.01
why = "exact"
"""


def test_published_rows() -> None:
    formulas = SimpleNamespace(double=lambda x: 2 * x)
    good = with_cases(CASES, published=ROW, formulas=formulas)
    conform(good)
    assert [(str(row), row.holds, row.got) for row in check_rows(good)] == [("R1", True, 4.0)]
    assert check_rows(with_cases(CASES)) == []
    for change, said in (
        (("expected = 4.0", "expected = 4.02"), "R1: double(x=2) is 4.0, expected 4.02 ± 0.01"),
        (('"double"', '"triple"'), "triple"),
        (("x = 2", "y = 2"), "TypeError"),
        (("tolerance", "tollerance"), "R1"),
        (("[[row]]", "[[raw]]"), "raw"),
    ):
        assert said in faults(with_cases(CASES, published=ROW.replace(*change), formulas=formulas))


def test_files_that_are_not_there() -> None:
    assert "its files are not at /nowhere" in faults(with_cases(CASES), files=Path("/nowhere/at/all/pack.py"))


def test_walls_by_name() -> None:
    @small_set_rule("one-a-wall", words=PLAIN, among=["wall_name"])
    def one_a_wall(rooms: tuple[str, ...] = fact("small.note"), widths: tuple[float, ...] = fact("wall.width_mm")) -> list[Check]:
        """Has each wall one work, and is it wide?"""
        return [holds(len(rooms) == 1 and width > 1000) for width in widths]

    text = """
[[case]]
name = "three works, two walls"
kind = "fail"
wall = { width_mm = 900 }
walls = { north = { width_mm = "2 m" }, south = {} }
works = [{ wall_name = "north", small.note = "a" }, { wall_name = "south", small.note = "b" }, { wall_name = "south", small.note = "c" }]
expect = { states = ["met", "unmet", "unmet"] }
"""
    one = with_cases(text, one_a_wall)
    check_case(one, cases_of(one)[0])
