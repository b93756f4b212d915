"""What findings add up to, and what is asked next."""

import pytest

from hangworthy.contract import Check, Effect, Outcome, Stage, State, fact, holds, where
from small_packs import evaluate, evaluator, pack, small, small_rule

CASES = [
    # findings as (state, effect), outcome, at worst
    ([], "ready", "ready"),
    ([("met", "refuse")], "ready", "ready"),
    ([("unmet", "advise")], "ready", "ready"),
    ([("unmet", "prepare"), ("unmet", "advise")], "prepare", "prepare"),
    ([("unmet", "prepare"), ("unmet", "refuse"), ("unmet", "repair")], "refuse", "refuse"),
    ([("unknown", "refuse")], "ready", "refuse"),
    ([("unknown", "advise")], "ready", "ready"),
    ([("borderline", "repair"), ("unmet", "prepare")], "prepare", "repair"),
    ([("error", "repair"), ("met", "prepare")], "ready", "repair"),
    ([("unmet", "refuse"), ("unknown", "repair")], "refuse", "refuse"),
    ([("not_applicable", "refuse")], "ready", "ready"),
]


def _rules(findings: list[tuple[str, str]]):
    """One rule per finding; the works below give the facts that bring its state about."""
    made = []
    for place, (state, effect) in enumerate(findings):
        made.append(_rule(f"r{place}", state, Effect(effect)))
    return made


def _rule(name: str, state: str, effect: Effect):
    applies = [where("small.hue", "blue")] if state == "not_applicable" else []
    path = "small.other_mm" if state == "unknown" else "small.gap_mm"

    @small_rule(name, effect=effect, applies=applies)
    def rule(gap: float = fact(path)) -> Check:
        """Is it so?"""
        if state == "error":
            raise ValueError
        return holds(gap < 6) if state == "borderline" else holds(state == "met")

    return rule


@pytest.mark.parametrize(("findings", "outcome", "at_worst"), CASES)
def test_outcome(findings, outcome, at_worst) -> None:
    answer = evaluate(evaluator(pack(*_rules(findings), _rule("z-fine", "met", Effect.REFUSE))), small(hue="red", gap_mm="6 ± 1"))
    work = answer.works[0]
    assert [found.state for found in work.findings] == [*(State(state) for state, _ in findings), State.MET]
    assert (work.outcome, work.at_worst, work.settled) == (Outcome(outcome), Outcome(at_worst), outcome == at_worst)
    assert (answer.outcome, answer.at_worst, answer.settled) == (work.outcome, work.at_worst, work.settled)


def test_the_whole_is_as_bad_as_its_worst_work() -> None:
    rule = _rule("r", "borderline", Effect.REPAIR)
    answer = evaluate(evaluator(rule), small(gap_mm=1), {}, small(gap_mm=9))
    assert [work.outcome for work in answer.works] == [Outcome.READY, Outcome.READY, Outcome.REPAIR]
    assert (answer.outcome, answer.at_worst, answer.settled) == (Outcome.REPAIR, Outcome.REPAIR, False)
    assert [work.ref for work in answer.works] == ["w0", "w1", "w2"]


def test_order_of_effects_stages_and_outcomes() -> None:
    assert [effect.rank for effect in Effect] == [0, 1, 2, 3]
    assert [stage.rank for stage in Stage] == [0, 1, 2, 3, 4]
    assert [outcome.rank for outcome in Outcome] == [0, 1, 2, 3]


def asks(name: str, effect: Effect, *paths: str, due: Stage = Stage.OFFER):
    if len(paths) == 1:

        @small_rule(name, effect=effect, due=due)
        def one(a: float = fact(paths[0])) -> Check:
            """Is it so?"""
            return holds(True)

        return one

    @small_rule(name, effect=effect, due=due)
    def two(a: float = fact(paths[0]), b: float = fact(paths[1])) -> Check:
        """Is it so?"""
        return holds(True)

    return two


GAP, OTHER, FREE, WIDTH = "small.gap_mm", "small.other_mm", "small.free_mm", "width_mm"


def test_questions_are_ranked_by_the_worst_effect_then_by_how_much_they_settle() -> None:
    one = evaluator(
        asks("a", Effect.PREPARE, GAP, OTHER),
        asks("b", Effect.PREPARE, OTHER),
        asks("c", Effect.PREPARE, OTHER),
        asks("d", Effect.REFUSE, FREE),
        asks("e", Effect.ADVISE, WIDTH, GAP),
        asks("f", Effect.REFUSE, "height_mm", due=Stage.ARRIVAL),
    )
    questions = evaluate(one, {}).works[0].questions
    assert [(q.fact, q.effect.value, len(q.settles)) for q in questions] == [
        ("/small/free_mm", "refuse", 1), ("/small/other_mm", "prepare", 3), ("/small/gap_mm", "prepare", 2), ("/width_mm", "advise", 1),
    ]  # fmt: skip
    assert questions[1].settles == ("small.a", "small.b", "small.c")


def test_a_question_carries_all_that_a_form_needs() -> None:
    question = evaluate(evaluator(asks("a", Effect.PREPARE, GAP)), {}).works[0].questions[0]
    assert (question.title, question.prompt, question.how) == ("Gap", "How wide is the gap?", "With a feeler gauge.")
    assert (question.type, question.unit, question.minimum, question.maximum) == ("number", "mm", 0, 500)
    assert {"mm", "cm", "in"} <= set(question.units)
    assert (question.asked_of, question.choices, question.count) == ("artist", (), None)


def test_ties_are_broken_by_whom_to_ask_and_then_as_facts_are_declared() -> None:
    @small_rule("note")
    def note(a: str = fact("small.note"), b: str = fact("small.edition"), c: str = fact("medium"), d: bool = fact("small.keyed")) -> Check:
        """Is it so?"""
        return holds(True)

    questions = evaluate(evaluator(note), {}).works[0].questions
    assert [(q.asked_of, q.fact) for q in questions] == [
        ("artist", "/medium"),
        ("artist", "/small/keyed"),
        ("artist", "/small/edition"),
        ("coordinator", "/small/note"),
    ]
