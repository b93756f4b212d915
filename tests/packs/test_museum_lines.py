"""Real objects: a museum's catalogue lines as works. Nothing fails on them, and every sheet with a size gets an answer about its frame."""

import csv
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
import pytest

from hangworthy.contract import Finding, Stage, State
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue

LINES = Path(__file__).parent / "data" / "museum_lines.tsv"
EVALUATOR = Evaluator(Ruleset(build_catalogue(*discover()), Venue(name="anywhere")))
KINDS = {
    "on paper, print": "original-print",
    "on paper, unique": "work-on-paper",
    "painting": "stretched-canvas",
    "sculpture": "sculpture",
    "relief": "relief",
}
BATCH = 50
needs_paper = pytest.mark.skipif(
    "paper" not in {pack.name for pack in EVALUATOR.ruleset.packs}, reason="the pack about works on paper is not installed"
)


@cache
def lines() -> list[dict[str, str]]:
    with LINES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


def work(line: dict[str, str], **facts: Any) -> dict[str, Any]:
    """The museum writes height before width, and so do its columns."""
    made: dict[str, Any] = {"ref": line["id"], "kind": KINDS.get(line["class"], "other"), "medium": line["medium"] or None, **facts}
    if line["width"] and line["height"]:
        made |= {"width_mm": float(line["height"]), "height_mm": float(line["width"])}
    return made


def findings(works: list[dict[str, Any]], stage: Stage = Stage.OFFER) -> dict[str, dict[str, list[Finding]]]:
    """Findings by the work's reference and the rule's code."""
    found: dict[str, dict[str, list[Finding]]] = {}
    for start in range(0, len(works), BATCH):
        asked = [msgspec.convert(one, EVALUATOR.ruleset.schema.work) for one in works[start : start + BATCH]]
        for answer in EVALUATOR.evaluate(asked, stage).works:
            by_rule = found.setdefault(answer.ref, {})
            for finding in answer.findings:
                by_rule.setdefault(finding.rule, []).append(finding)
    return found


def sheets() -> list[dict[str, str]]:
    return [line for line in lines() if line["class"].startswith("on paper") and line["width"] and line["height"]]


def test_the_extract_is_whole() -> None:
    assert len(lines()) == 1321
    assert sum(line["class"] == "on paper, print" for line in lines()) == 821
    assert len(sheets()) > 1100


@pytest.mark.parametrize("stage", [Stage.OFFER, Stage.HANGING])
def test_no_rule_fails_on_any_line(stage: Stage) -> None:
    found = findings([work(line) for line in lines()], stage)
    assert len(found) == len(lines())
    errors = [(ref, one.rule) for ref, by_rule in found.items() for many in by_rule.values() for one in many if one.state is State.ERROR]
    assert errors == []


@needs_paper
def test_every_sheet_gets_an_answer_about_its_frame() -> None:
    """Whether it is framed is not told: it fits, or the finding names what would settle it."""
    found = findings([work(line) for line in sheets()])
    answers = [found[line["id"]]["paper.has-a-frame"][0] for line in sheets()]
    assert {answer.state for answer in answers} == {State.MET, State.UNKNOWN}
    for answer in answers:
        assert answer.state is State.MET or answer.missing in (("/framed",), ("/framed", "/paper/crop_consent_mm"))


@needs_paper
def test_every_loose_sheet_without_consent_fits_or_does_not() -> None:
    loose = [work(line, framed=False, paper={"crop_consent_mm": [0, 0, 0, 0]}) for line in sheets()]
    found = findings(loose)
    answers = {line["id"]: found[line["id"]]["paper.has-a-frame"][0] for line in sheets()}
    assert {answer.state for answer in answers.values()} == {State.MET, State.UNMET}
    for line in sheets():
        short, long = sorted((float(line["width"]), float(line["height"])))
        # A1 as large as it may be cut, or 600 x 900: what is smaller than either is taken whole or behind a mat.
        fits = (short <= 596 and long <= 844) or (short <= 600 and long <= 900)
        assert (answers[line["id"]].state is State.MET) is fits, line
        assert answers[line["id"]].remedy or fits


@needs_paper
def test_lines_without_a_size_are_asked_for_it() -> None:
    bare = [line for line in lines() if line["class"] == "on paper, print" and not line["width"]]
    found = findings([work(line) for line in bare])
    assert bare
    for line in bare:
        [answer] = found[line["id"]]["paper.has-a-frame"]
        assert (answer.state, answer.missing) == (State.UNKNOWN, ("/width_mm", "/height_mm"))


class ByHand(NamedTuple):
    """A line, the crop agreed to, and what was worked out with pencil and paper for a loose sheet and the default stock of frames."""

    ref: str
    consent: tuple[float, float, float, float]
    state: State
    bench: str


NO = (0.0, 0.0, 0.0, 0.0)
BY_HAND = [
    # 298 high, 210 wide: inside 297 x 420, 122 mm lower, so a mat
    ByHand("P09069", NO, State.MET, "Sheet 210 × 298 mm: frame “A3”, upright, behind a mat, no crop."),
    # 366 square: wider than A3's 297 + 2, inside A2
    ByHand("AR00527", NO, State.MET, "Sheet 366 × 366 mm: frame “A2”, upright, behind a mat, no crop."),
    # 434 high, 324 wide: higher than A3's 420 + 2, inside A2
    ByHand("P12458", NO, State.MET, "Sheet 324 × 434 mm: frame “A2”, upright, behind a mat, no crop."),
    # 451 high, 565 wide: A2 turned is 420 high; A1 takes it upright (594 wide, 841 high), 565 - 594 and 451 - 841 below
    ByHand("P03155", NO, State.MET, "Sheet 565 × 451 mm: frame “A1”, upright, behind a mat, no crop."),
    # 450 high, 685 wide: wider than 594 + 2, so A1 turned, 841 x 594; smaller than 600 x 900 (499,554 against 540,000 mm²)
    ByHand("P20247", NO, State.MET, "Sheet 685 × 450 mm: frame “A1”, turned, behind a mat, no crop."),
    # 885 high, 526 wide: higher than A1's 841 + 3, inside 600 x 900; 74 and 15 mm are left
    ByHand("AR00917", NO, State.MET, "Sheet 526 × 885 mm: frame “600 × 900 mm”, upright, behind a mat, no crop."),
    # 610 high, 914 wide: 14 and 10 mm more than 900 x 600, halved; 1 - 540,000/557,540 = 3.146 %
    ByHand(
        "P04426", (5, 7, 5, 7), State.MET,
        "Sheet 914 × 610 mm: frame “600 × 900 mm”, turned, whole, crop top 5 mm, right 7 mm, bottom 5 mm, left 7 mm: 3.15 % lost.",
    ),
    # 795 high, 622 wide: 22 mm more than 600 (A1 would take 28); the right may lose 4, so the left loses 18; 22/622 = 3.537 %
    ByHand(
        "P07341", (0, 4, 0, 30), State.MET,
        "Sheet 622 × 795 mm: frame “600 × 900 mm”, upright, behind a mat, crop top 0 mm, right 4 mm, bottom 0 mm, left 18 mm: 3.54 % lost.",
    ),
    # the same with nothing agreed: 11 mm from either side would have to be
    ByHand(
        "P07341", NO, State.UNMET,
        "Sheet 622 × 795 mm: not agreed: frame “600 × 900 mm”, upright, behind a mat, crop top 0 mm, right 11 mm, bottom 0 mm, left 11 mm:"
        " 3.54 % lost; 622 mm where 600 mm or less go in.",
    ),
    # 606 high, 1464 wide: 564 of 1464 mm, 39 %, would have to go in the longest frame: not worth asking
    ByHand("P01810", NO, State.UNMET, "Sheet 1464 × 606 mm: no frame of the stock; 1464 mm where 900 mm or less go in."),
    # 1219 high, 1419 wide: in 900 x 600, 519 and 619 mm too many
    ByHand("P79819", NO, State.UNMET, "Sheet 1419 × 1219 mm: no frame of the stock; 1219 mm where 600 mm or less go in."),
]  # fmt: skip


@needs_paper
@pytest.mark.parametrize("one", BY_HAND, ids=lambda one: f"{one.ref}-{one.state}")
def test_worked_out_by_hand(one: ByHand) -> None:
    [line] = [line for line in lines() if line["id"] == one.ref]
    found = findings([work(line, framed=False, paper={"crop_consent_mm": list(one.consent)})])
    [answer] = found[one.ref]["paper.has-a-frame"]
    assert (answer.state, answer.coordinator) == (one.state, one.bench)


@needs_paper
def test_the_figures_that_decide_by_hand() -> None:
    """The side that decides, in the frame that misses by least: 1464 against 900 wide, and 1219 against 600 high."""
    by_id = {line["id"]: line for line in lines()}
    found = findings([work(by_id[ref], framed=False) for ref in ("P01810", "P79819", "P09069")])
    long, square = (found[ref]["paper.has-a-frame"][0] for ref in ("P01810", "P79819"))
    assert (long.measured, long.at_most, square.measured, square.at_most) == (1464.0, 900.0, 1219.0, 600.0)
    [small] = found["P09069"]["paper.big-enough"]
    assert (small.state, small.measured) == (State.UNMET, 625.8)  # 21.0 x 29.8 cm
