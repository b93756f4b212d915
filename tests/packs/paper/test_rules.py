"""The rules of the paper pack together: no facts break them, the offer asks little, and what they say to do is enough."""

import re
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hangworthy.contract import Evaluation, Finding, Override, Stage, State, StockFrame
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy_paper import PACK
from hangworthy_paper.rules_frames import TOO_SMALL
from strategies import as_work, facts, full_facts, slots_read

CATALOGUE = build_catalogue([installed_pack(PACK)])
SCHEMA = CATALOGUE.schema
KINDS = ("work-on-paper", "original-print", "photograph", "reproduction")
NO = [0, 0, 0, 0]
SLOW = settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])

frames = st.none() | st.lists(
    st.builds(
        lambda width, height, window, lower, count: StockFrame(
            name="one", width_mm=width, height_mm=height, count=count,
            window_width_mm=width * window if window else None, window_height_mm=height * lower if lower else None,
        ),
        st.floats(0.0001, 20_000) | st.sampled_from([297.0, 420.0, 594.0, 841.0]),
        st.floats(0.0001, 20_000) | st.sampled_from([420.0, 594.0, 841.0, 900.0]),
        st.none() | st.floats(0.0001, 1), st.none() | st.floats(0.0001, 1), st.integers(0, 2),
    ),
    max_size=3,
).map(tuple)  # fmt: skip


def evaluate(work: dict[str, Any], stage: Stage = Stage.OFFER, stock: Any = None, **limits: float) -> Evaluation:
    overrides = {f"paper.{name}": Override(value=value, reason="set by the test") for name, value in limits.items()}
    venue = Venue(name="here", frames=stock, limits=overrides)
    asked = msgspec.json.decode(msgspec.json.encode({"ref": "a", **work}), type=SCHEMA.work)
    return Evaluator(Ruleset(CATALOGUE, venue)).evaluate([asked], stage)


def finding(work: dict[str, Any], rule: str, stage: Stage = Stage.OFFER, stock: Any = None, **limits: float) -> Finding:
    [found] = [one for one in evaluate(work, stage, stock, **limits).works[0].findings if one.rule == f"paper.{rule}"]
    return found


def limits() -> st.SearchStrategy[dict[str, float]]:
    """A venue's own limits, anywhere in their sane ranges."""
    declared = PACK.limits.declared
    return st.fixed_dictionaries({}, optional={name: st.floats(one.lo, one.hi) for name, one in declared.items()})


@SLOW
@given(facts(slots_read(CATALOGUE), {}) | full_facts(slots_read(CATALOGUE), {}), st.sampled_from(KINDS), frames, limits())
def test_no_facts_stock_or_limits_make_a_rule_fail(found: dict[str, Any], kind: str, stock: Any, own: dict[str, float]) -> None:
    answer = evaluate({**as_work("a", found), "kind": kind}, Stage.HANGING, stock, **own)
    assert [one.rule for one in answer.works[0].findings if one.state is State.ERROR] == []
    for one in answer.works[0].findings:
        assert one.artist.endswith(".")
        assert not re.search(r"[{}]|  |None|nan|\.\.", one.artist + one.remedy + one.coordinator), one


@SLOW
@given(full_facts(slots_read(CATALOGUE), {"framed": False}), st.sampled_from(KINDS), frames)
def test_the_frame_rules_agree(found: dict[str, Any], kind: str, stock: Any) -> None:
    """What fits with nothing agreed fits whatever is agreed, and loses no mark; what would lose a mark has no frame."""
    if any("±" in str(value) for value in found.values()):
        return
    work = {**as_work("a", found), "kind": kind}
    uncropped = finding({**work, "paper": {**work["paper"], "crop_consent_mm": NO}}, "has-a-frame", stock=stock).state
    has, marks, decided = (finding(work, rule, Stage.ARRIVAL, stock).state for rule in ("has-a-frame", "crop-keeps-marks", "crop-decided"))
    assert decided is State.MET
    if uncropped is State.MET:
        assert (has, marks) == (State.MET, State.MET)
    if marks is State.UNMET:
        assert has is State.UNMET


def most_questions(work: dict[str, Any], asked: int = 0) -> int:
    """The longest chain of questions from here, whatever is answered; every answer that could matter is tried."""
    questions = evaluate(work).works[0].questions
    if not questions:
        return asked
    worst = asked
    for answer in ANSWERS[questions[0].fact]:
        section, _, name = questions[0].fact.strip("/").rpartition("/")
        more = {**work, section: {**work.get(section, {}), name: answer}} if section else {**work, name: answer}
        worst = max(worst, most_questions(more, asked + 1))
    return worst


ANSWERS: dict[str, list[Any]] = {
    "/framed": [True, False],
    "/friable": [True, False],
    "/technique": ["pastel", "ink"],
    "/paper/crop_consent_mm": [NO, [3, 3, 3, 3], [50, 50, 50, 50]],
    "/paper/tube_diameter_mm": [0, 76, 120],
    "/paper/sheet_faults": [["none"], ["torn"]],
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("sides", [(200, 280), (420, 594), (594, 420), (430, 610), (610, 860), (860, 610), (1500, 2000), (376, 500)])
def test_the_offer_asks_four_questions_at_most(kind: str, sides: tuple[int, int]) -> None:
    assert most_questions({"kind": kind, "width_mm": sides[0], "height_mm": sides[1]}) <= 4


def test_what_does_not_matter_is_not_asked() -> None:
    fits = {"kind": "photograph", "width_mm": 420, "height_mm": 594}
    assert {one.fact for one in evaluate(fits).works[0].questions} == {"/framed"}
    assert evaluate({**fits, "framed": True}).works[0].questions == []
    loose = {**fits, "framed": False}
    assert [one.fact for one in evaluate(loose).works[0].questions] == ["/paper/tube_diameter_mm"]
    flat = evaluate({**loose, "paper": {"tube_diameter_mm": 0}}).works[0]
    assert (flat.questions, flat.outcome, flat.settled) == ([], "ready", True)


@settings(max_examples=150, deadline=None)
@given(
    st.floats(300, 1100).map(lambda x: round(x, 2)), st.floats(300, 1100).map(lambda x: round(x, 2)),
    st.none() | st.lists(st.floats(0, 60).map(lambda x: round(x, 2)), min_size=4, max_size=4),
)  # fmt: skip
def test_agreeing_to_the_crop_that_is_shown_is_enough(width: float, height: float, margins: list[float] | None) -> None:
    """The figures in the sentence, sent back as the artist's consent, settle the question."""
    paper: dict[str, Any] = {"crop_consent_mm": NO} | ({} if margins is None else {"free_margin_mm": margins})
    work = {"kind": "original-print", "width_mm": width, "height_mm": height, "framed": False, "paper": paper}
    first = finding(work, "has-a-frame")
    if "This would go: " not in first.artist:
        return
    gone = dict.fromkeys(("top", "right", "bottom", "left"), 0.0)
    for part in first.artist.partition("This would go: ")[2].rstrip(".").split(", "):
        figure, _, sides = part.partition(" mm ")
        gone |= dict.fromkeys(sides.split(" and "), float(figure))
    paper["crop_consent_mm"] = list(gone.values())
    assert set(gone) == {"top", "right", "bottom", "left"}
    assert finding(work, "has-a-frame").state is State.MET
    assert finding(work, "crop-keeps-marks").state is (State.MET if margins else State.UNKNOWN)


@settings(max_examples=100, deadline=None)
@given(st.floats(0.1, 3).map(lambda x: round(x, 3)), st.floats(20, 300))
def test_the_tube_that_is_named_is_wide_enough(thickness: float, tube: float) -> None:
    work: dict[str, Any] = {"kind": "work-on-paper", "framed": False, "paper": {"thickness_mm": thickness, "tube_diameter_mm": tube}}
    first = finding(work, "bends-gently")
    if first.state is State.UNMET:
        work["paper"]["tube_diameter_mm"] = float(re.search(r"at least ([\d.]+) mm", first.remedy)[1])
        assert finding(work, "bends-gently").state is State.MET


def test_a_crop_spares_the_signature_when_its_place_is_known() -> None:
    """10 mm must go; unknown margins give the middle, a signature 2 mm from the left moves the window, and too little room stops it."""
    paper: dict[str, Any] = {"crop_consent_mm": [0, 10, 0, 10]}
    work = {"kind": "original-print", "width_mm": 610, "height_mm": 860, "framed": False, "paper": paper}
    assert finding(work, "has-a-frame").artist.endswith("This goes: 5 mm left and right.")
    paper["free_margin_mm"] = [50, 40, 30, 2]
    assert finding(work, "has-a-frame").artist.endswith("This goes: 2 mm left, 8 mm right.")
    assert finding(work, "crop-keeps-marks").state is State.MET
    paper["free_margin_mm"] = [50, 7, 30, 2]
    assert [finding(work, rule).state for rule in ("has-a-frame", "crop-keeps-marks")] == [State.UNMET, State.UNMET]
    assert finding(work, "crop-keeps-marks").measured == 1.0


def test_probability_that_a_sheet_fits_by_hand() -> None:
    """421 ± 2 mm in A2, which takes 422: z = 1/(2/√3) = 0.866, Φ = 0.8068."""
    stock = (StockFrame(name="A2", width_mm=420, height_mm=594),)
    work = {"kind": "photograph", "width_mm": "421 ± 2", "height_mm": 590, "framed": False, "paper": {"crop_consent_mm": NO}}
    found = finding(work, "has-a-frame", stock=stock)
    assert (found.state, found.measured, found.at_most) == (State.BORDERLINE, 421.0, 422.0)
    assert found.probability == pytest.approx(0.8068, abs=0.0001)


@pytest.mark.parametrize(
    ("sides", "words"),
    [((420, 594), "whole"), ((594, 420), "turned"), ((300, 420), "behind a mat"), ((420, 300), "behind a mat")],
)
def test_the_coordinator_reads_which_frame_and_how(sides: tuple[int, int], words: str) -> None:
    found = finding({"kind": "photograph", "width_mm": sides[0], "height_mm": sides[1], "framed": False}, "has-a-frame")
    assert "frame “A2”" in found.coordinator
    assert words in found.coordinator


def test_the_mat_is_given_for_the_drawing() -> None:
    """300 x 420 in A2: window 294 x 414; 126 across and 180 down are left, 6 more of it at the bottom."""
    found = finding({"kind": "photograph", "width_mm": 300, "height_mm": 420, "framed": False}, "mat-proportions")
    assert found.coordinator == ("Mat for frame “A2”, 420 × 594 mm: window 294 × 414 mm; top 87 mm, right 63 mm, bottom 93 mm, left 63 mm.")


def test_of_a_sheet_that_is_refused_for_its_size_no_rule_says_how_it_would_hang() -> None:
    """290 x 410 mm would go into A3 behind a mat; 305 x 400 mm with a crop; a stock of windows alone takes neither."""
    a3 = StockFrame(name="A3", width_mm=297, height_mm=420)
    windows = StockFrame(name="box", width_mm=600, height_mm=900, window_width_mm=580, window_height_mm=880)
    for sides, stock in (((290, 410), a3), ((305, 400), a3), ((290, 410), windows)):
        work = {"kind": "photograph", "width_mm": sides[0], "height_mm": sides[1], "framed": False, "paper": {"crop_consent_mm": NO}}
        assert finding(work, "big-enough", stock=(stock,)).state is State.UNMET
        for rule in ("has-a-frame", "mat-proportions", "crop-decided"):
            found = finding(work, rule, stock=(stock,))
            assert not re.search(r"fit|hang|of your own", f"{found.remedy} {found.artist if found.state is State.MET else ''}"), rule
        assert finding({**work, "paper": {}}, "crop-decided", stock=(stock,)).artist == TOO_SMALL
        assert finding(work, "mat-proportions", stock=(stock,)).artist == TOO_SMALL


@pytest.mark.parametrize(("thickness", "tube", "width"), [(0.3, 80, "101.6 mm"), (0.8, 80, "159.2 mm"), (1.0, 60, "199 mm")])
def test_both_rules_about_a_tube_name_the_same_width(thickness: float, tube: float, width: str) -> None:
    """t/0.005 - t: 59.7, 159.2 and 199 mm; never less than 4 inches."""
    work = {"kind": "photograph", "framed": False, "paper": {"thickness_mm": thickness, "tube_diameter_mm": tube}}
    told = [finding(work, rule) for rule in ("travels-in-tube", "bends-gently")]
    unmet = [one for one in told if one.state is State.UNMET]
    assert told[0] in unmet
    assert all(f"at least {width} wide" in one.remedy for one in unmet)
    assert told[0].coordinator == f"Diameter of the tube: {tube} mm; 101.6 mm or more needed, or flat."


def test_millimetres_and_inches_give_the_same_answer() -> None:
    metric = {
        "kind": "photograph",
        "width_mm": 609.6,
        "height_mm": 914.4,
        "framed": False,
        "paper": {"crop_consent_mm": [7.2, 4.8, 7.2, 4.8]},
    }
    inches = {**metric, "width_mm": "24 in", "height_mm": "3 ft"}
    assert finding(metric, "has-a-frame").state is State.MET
    assert finding(metric, "has-a-frame").artist == finding(inches, "has-a-frame").artist
