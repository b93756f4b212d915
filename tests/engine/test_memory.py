"""What is remembered between requests: findings by the facts alone, and no answer depends on it."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy.contract import Check, Effect, Section, Stage, State, StockFrame, ask, at_most, fact, holds, where
from hangworthy.engine.evaluate import KEPT, Evaluator
from hangworthy.engine.group import MOST_STATED, Asked, Memory
from hangworthy.engine.ruleset import Venue
from hangworthy.engine.told import as_told
from hangworthy.engine.verdict import Verdict
from small_packs import decode, evaluate, evaluator, pack, small, small_rule, small_set_rule

CALLS: list[float] = []


@small_rule("free")
def free_rule(free: float = fact("small.free_mm")) -> Check:
    """Is it small?"""
    CALLS.append(free)
    return at_most(free, 5.0, unit="mm")


@small_rule("taut", by="one")
def taut_one(gap: float = fact("small.gap_mm")) -> Check:
    """Is it taut?"""
    return at_most(gap, 5.0, unit="mm")


@small_rule("taut", by="two")
def taut_two(other: float = fact("small.other_mm"), keyed: bool = fact("small.keyed", try_each=True)) -> Check:
    """Is it taut?"""
    return at_most(other, 6.0 if keyed else 4.0, unit="mm")


@small_rule("price")
def price_rule(price: Decimal = fact("price")) -> Check:
    """Is it dear?"""
    return holds(price < 100)


@small_rule("many")
def many_rule(many: tuple[float, ...] = fact("small.many_mm"), number: int | None = fact("small.number", optional=True)) -> Check:
    """Are they small?"""
    return at_most(sum(many), 5.0 + (number or 0), unit="mm")


@small_set_rule("numbers", among=("small.edition",))
def numbers_rule(
    numbers: tuple[int, ...] = fact("small.number"), gaps: tuple[float | None, ...] = fact("small.gap_mm", optional=True)
) -> list[Check]:
    """Is every number there once?"""
    return [holds(numbers.count(number) == 1 and gap != 6.0) for number, gap in zip(numbers, gaps, strict=True)]


@small_set_rule("names")
def names_rule(names: tuple[str, ...] = fact("artist_name"), frees: tuple[float, ...] = fact("small.free_mm")) -> list[Check]:
    """Do the names differ?"""
    return [at_most(free + names.count(name), 5.0, unit="mm") for name, free in zip(names, frees, strict=True)]


CHANGING = evaluator(free_rule, taut_one, taut_two, price_rule, many_rule, numbers_rule, names_rule)
FORGETFUL = Evaluator(CHANGING.ruleset, keep=0)


def kept(*evaluators: Evaluator) -> str:
    """All that is remembered, spelt out."""
    found: list[Any] = []
    for one in evaluators:
        outlines = [*one.outlines.recent.items(), *one.outlines.older.items()]
        found += [(key, outline.stated, outline.asking, outline.questions) for key, outline in outlines]
        for group in one.outlines.groups:
            found += group.remembered.items()
            memories = [memory for way in group.ways for memory in way.memories.values()]
            found += [(memory.last, memory.recent, memory.older) for memory in memories]
    return f"{found}"


@pytest.fixture
def one() -> Evaluator:
    CALLS.clear()
    return evaluator(free_rule)


def test_the_same_facts_are_not_worked_out_again(one: Evaluator) -> None:
    first = evaluate(one, small(free_mm=3))
    again = evaluate(one, {"ref": "another", "title": "Other", **small(free_mm=3)})
    assert CALLS == [3.0]
    assert again.works[0].findings == first.works[0].findings
    assert again.works[0].ref == "another"


def test_other_facts_stages_and_uncertain_ones_are(one: Evaluator) -> None:
    for work, stage in ((small(free_mm=3), Stage.OFFER), (small(free_mm=4), Stage.OFFER), (small(free_mm=3), Stage.ARRIVAL)):
        evaluate(one, work, stage=stage)
    assert CALLS == [3.0, 4.0, 3.0]
    for _ in range(2):
        found = evaluate(one, small(free_mm="3 ± 1")).works[0].findings[0]
        assert found.standard_uncertainty is not None
    assert len(CALLS) == 3 + 2 * 3


def test_facts_that_are_equal_but_shown_differently_are_kept_apart() -> None:
    one = evaluator(free_rule, price_rule)
    for free, price in ((0.0, "1.0"), (-0.0, "1.00"), (0.0, "1.0")):
        work = decode(one, [{"price": price, **small(free_mm=free)}])
        found = {finding.rule: finding.facts for finding in one.evaluate(work).works[0].findings}
        assert str(found["small.free"]["/small/free_mm"]) == str(free)
        assert str(found["small.price"]["/price"]) == price


@pytest.mark.parametrize("stage", Stage)
def test_with_and_without_memory_the_bytes_are_the_same(stage: Stage) -> None:
    with_memory = evaluator(free_rule, taut_one, taut_two, price_rule)
    without = Evaluator(with_memory.ruleset, keep=0)
    works = [
        small(),
        small(gap_mm=4),
        small(other_mm=5),
        small(other_mm=5, keyed=True),
        small(other_mm="5 ± 1", gap_mm=6),
        small(free_mm="9 mm"),
        {"price": "12"},
    ]
    for _ in range(3):
        for work in (*works, *reversed(works)):
            given = decode(with_memory, [work])
            spelt_out = msgspec.json.encode(without.evaluate(given, stage))
            answered = with_memory.answer(given, stage)
            assert answered.encoded() == msgspec.json.encode(answered.whole()) == spelt_out


CHANGES: list[tuple[str, list[Any]]] = [
    ("free_mm", [3.0, 0.0, -0.0, "3 ± 1", 9]),
    ("many_mm", [[0.0, 1.0], [-0.0, 1.0], [0.0, 1.0, 2.0], [2.0], ["1 mm", 2.0]]),
    ("keyed", [True, False]),
    ("number", [1, 7, 700, 701]),
    ("gap_mm", [4, 6.0]),
    ("other_mm", [5.0, 6.0, "5 ± 1"]),
    ("edition", ["A", "B"]),
    ("price", ["1.0", "1.00", "12"]),
    ("artist_name", ["Ilse", "Ute"]),
]
OWN = ("price", "artist_name")  # of the work itself, and private


@given(steps=st.lists(st.sampled_from(CHANGES).flatmap(lambda one: st.tuples(st.just(one[0]), st.sampled_from([None, *one[1]])))))
def test_one_fact_after_another_the_bytes_are_the_same(steps: list[tuple[str, Any]]) -> None:
    facts: dict[str, Any] = {}
    for name, value in steps:
        facts[name] = value
        in_section = {key: one for key, one in facts.items() if key not in OWN}
        given_now = decode(CHANGING, [{**{key: facts.get(key) for key in OWN}, **small(**in_section)}])
        assert CHANGING.answer(given_now).encoded() == msgspec.json.encode(FORGETFUL.evaluate(given_now))


def test_an_answer_with_several_works_a_stamp_and_an_id_is_encoded_as_it_stands() -> None:
    one = evaluator(free_rule, taut_one, taut_two, price_rule)
    answered = one.answer(decode(one, [small(), {"ref": "b", "price": "12"}]))
    answered.head.id, answered.head.evaluated_at = "an-id", "2030-01-01T00:00:00Z"
    answered.head.faults = ("a fault",)
    assert answered.encoded() == msgspec.json.encode(answered.whole())


def test_private_facts_are_not_remembered() -> None:
    seen = []

    @small_rule("named")
    def named(name: str = fact("artist_name")) -> Check:
        """Has it a name?"""
        seen.append(name)
        return holds(bool(name))

    one = evaluator(named)
    for _ in range(2):
        assert evaluate(one, {"artist_name": "Ilse"}).works[0].findings[0].state is State.MET
    assert seen == ["Ilse", "Ilse"]
    with_others = evaluator(named, free_rule)
    evaluate(with_others, {"artist_name": "Ilse", **small(free_mm=3)})
    assert "3.0" in kept(with_others)
    assert "Ilse" not in kept(with_others)
    assert "Ilse" in f"{evaluate(with_others, {'artist_name': 'Ilse', **small(free_mm=3)})}"


def test_a_rule_that_reads_no_fact_of_the_work_remembers_none() -> None:
    class Secrets(Section):
        """What is told first is nobody else's business."""

        name: str = ask("Name", "Who is it?", private=True)

    @small_rule("stock")
    def stock(frames: tuple[StockFrame, ...] = fact("venue.frames")) -> Check:
        """Are there frames?"""
        return holds(bool(frames))

    venue = Venue(name="test", frames=(StockFrame(name="A", width_mm=500, height_mm=700),))
    one = evaluator(pack(stock, sections={"a_first": Secrets}), venue=venue)
    assert evaluate(one, {"a_first": {"name": "Ilse"}}).works[0].findings[0].state is State.MET
    assert "Ilse" not in kept(one)


def test_threads_that_share_an_evaluator_disturb_no_other() -> None:
    """A long body is evaluated in a thread, while the service forgets what was told because a work was erased."""
    one = evaluator(free_rule)
    (group,) = one.outlines.groups
    work = decode(one, [small()])
    told = one.answer(work).encoded()

    class Disturbed(dict[Any, Any]):
        def __contains__(self, key: object) -> bool:
            found = super().__contains__(key)
            group.forget()
            return found

    one.outlines.recent.clear()
    group.remembered = Disturbed(group.remembered)
    assert one.answer(work).encoded() == told


def test_what_reads_a_private_fact_is_remembered_while_that_is_not_given() -> None:
    """A form that has not asked for the price yet need not have every rule about prices asked again for each letter that is typed."""
    seen: list[str | None] = []

    @small_rule("named")
    def named(name: str | None = fact("artist_name", optional=True)) -> Check:
        """Has it a name?"""
        seen.append(name)
        return holds(bool(name))

    one = evaluator(named, free_rule)
    for number in range(3):
        assert evaluate(one, small(free_mm=number)).works[0].findings[-1].state is State.UNMET
    assert seen == [None]
    for name in ("Ilse", "Ilse", None, None):
        state = State.MET if name else State.UNMET
        assert evaluate(one, {"artist_name": name, **small(free_mm=1)}).works[0].findings[-1].state is state
    assert [name for name in seen if name] == ["Ilse", "Ilse"]


def test_a_rule_over_several_works_is_remembered_for_a_work_alone_and_for_no_other() -> None:
    seen: list[tuple[float, ...]] = []

    @small_set_rule("together")
    def together(frees: tuple[float, ...] = fact("small.free_mm")) -> list[Check]:
        """Are they few?"""
        seen.append(frees)
        return [holds(len(frees) < 2) for _ in frees]

    one = evaluator(together)
    for _ in range(3):
        assert evaluate(one, small(free_mm=3)).works[0].findings[0].state is State.MET
    assert seen == [(3.0,)]
    for _ in range(2):
        both = evaluate(one, small(free_mm=3), {"ref": "b", **small(free_mm=3)})
        assert [work.findings[0].state for work in both.works] == [State.UNMET, State.UNMET]
    assert evaluate(one, small(free_mm="3 ± 1")).works[0].findings[0].state is State.MET
    assert evaluate(one, small(free_mm=3)).works[0].findings[0].state is State.MET


def test_the_memory_is_bounded_and_forgets_what_is_not_asked_for(one: Evaluator) -> None:
    for number in range(5 * KEPT):
        evaluate(one, small(free_mm=1 + number), small(free_mm=0.5))
    memory = one.outlines.groups[0].ways[0].memories[Stage.OFFER]
    assert len(memory.recent) + len(memory.older) <= 2 * KEPT
    assert CALLS.count(0.5) == 2
    assert len(CALLS) == 5 * KEPT + 2


def test_a_memory_keeps_the_last_and_what_was_asked_for_twice() -> None:
    finding = evaluate(evaluator(free_rule), small(free_mm=1)).works[0].findings[0]
    memory, told = Memory(2), as_told(finding)
    keys, answers = [b"%d" % number for number in range(4)], [Asked(Verdict(State.MET, Effect.ADVISE), told) for _ in range(4)]
    for key, answer in zip(keys, answers, strict=True):
        memory.put(key, answer)
        assert memory.get(key) is answer
    assert [memory.get(key) for key in keys[:3]] == [None] * 3
    for key, answer in zip(keys, answers, strict=True):
        memory.put(key, answer)
    for _ in range(2):
        assert [memory.get(key) for key in keys[2:]] == answers[2:]
    for number in range(100):
        memory.put(b"once %d" % number, answers[0])
    assert len(memory.met) <= 16
    assert [memory.get(key) for key in keys[2:]] == answers[2:]


def test_what_was_erased_can_be_forgotten_in_every_language() -> None:
    one = evaluator(free_rule, numbers_rule)
    spoken = (one, one.speaking("de"), one.on(date(2030, 1, 1)))
    work = {"ref": "W-77", **small(free_mm=3.25, edition="Secret", number=7)}
    for speaking in spoken:
        for _ in range(2):
            evaluate(speaking, work)
            evaluate(speaking, {"ref": "other"})
            evaluate(speaking, work, {"ref": "other"})

    assert "3.25" in kept(*spoken)
    numbers = next(group for group in one.outlines.groups if group.code == "small.numbers").ways[0].memories[Stage.OFFER]
    assert numbers.last[1] is not None
    assert not numbers.recent
    one.forget()
    assert "3.25" not in kept(*spoken)
    assert "Secret" not in kept(*spoken)
    assert evaluate(one, work) == evaluate(Evaluator(one.ruleset, keep=0), work)


def test_a_whole_number_and_an_equal_one_with_a_point_are_kept_apart() -> None:
    one = evaluator(free_rule)
    for value in (6, 6.0, 6, 0, 0.0):
        work = decode(one, [small()])
        msgspec.structs.force_setattr(work[0].small, "free_mm", value)
        found = one.evaluate(work).works[0].findings[0]
        assert repr(found.facts["/small/free_mm"]) == repr(value)


def test_a_sentence_that_failed_once_is_made_again(one: Evaluator, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: Any) -> None:
        raise MemoryError

    with monkeypatch.context() as patch:
        patch.setattr("hangworthy.engine.explain._numbered", fail)
        assert evaluate(one, small(free_mm=3)).works[0].findings[0].state is State.ERROR
    assert evaluate(one, small(free_mm=3)).works[0].findings[0].state is State.MET


def test_a_rule_that_reads_only_what_the_venue_lists_is_remembered_too() -> None:
    asked = []

    @small_rule("stock")
    def stock(frames: tuple[StockFrame, ...] | None = fact("venue.frames", optional=True)) -> Check:
        """Is there stock?"""
        asked.append(frames)
        return holds(bool(frames))

    one = evaluator(stock, venue=Venue(name="hall", frames=(StockFrame(name="A", width_mm=400, height_mm=500),)))
    for _ in range(2):
        found = evaluate(one, {}).works[0].findings[0]
        assert (found.state, found.facts) == (State.MET, {"/venue/frames": ["A"]})
    assert len(asked) == 1


def test_what_failed_once_is_asked_again() -> None:
    """A rule that fails for want of memory may not fail the next time; the work before must not answer for it either."""
    fails = [True]

    @small_rule("once")
    def once(gap: float = fact("small.gap_mm")) -> Check:
        """Is it small?"""
        if fails and fails.pop():
            raise MemoryError
        return at_most(gap, 5.0, unit="mm")

    one = evaluator(once, free_rule)
    states = [evaluate(one, small(gap_mm=1, free_mm=2)).works[0].findings[1].state for _ in range(3)]
    assert states == [State.ERROR, State.MET, State.MET]


def test_no_answer_depends_on_a_limit_that_was_put_into_words_before() -> None:
    @small_rule("depth")
    def depth(gap: float = fact("small.gap_mm"), free: float = fact("small.free_mm")) -> Check:
        """Is it small?"""
        return at_most(gap, free, unit="mm")

    @small_rule("count")
    def count(number: int = fact("small.number")) -> Check:
        """Is it small?"""
        return at_most(1, number, unit="mm")

    def told(*works: dict[str, Any]) -> bytes:
        one = evaluator(depth, count)  # with a voice of its own, which remembers nothing yet
        return [one.answer(decode(one, [work])).encoded() for work in works][-1]

    for first, then in (
        (small(gap_mm=1, free_mm=0.0), small(gap_mm=1, free_mm=-0.0)),
        (small(gap_mm=1, free_mm=7.0), small(number=7)),
        (small(number=7), small(gap_mm=1, free_mm=7.0)),
    ):
        assert told(first, then) == told(then)


ALIKE: list[dict[str, Any]] = [
    small(free_mm=3.0),
    small(gap_mm=4.0),
    {"price": "12", **small(many_mm=[1.0, 2.0], number=7)},
    {"artist_name": "Ilse", **small(free_mm=1.0, number=7, edition="A")},
    small(other_mm=5.0, keyed=True),
    {},
]


@pytest.mark.parametrize("stage", Stage)
def test_works_that_are_alike_are_told_alike_but_for_their_own_facts(stage: Stage) -> None:
    """What is told before a rule is asked is made once for all of them: the next one must show its own facts, alone and beside others."""
    one = Evaluator(CHANGING.ruleset)
    for factor in (1, 2, 3):
        works = [
            {"ref": f"w{number}", **{name: value if name != "small" else grown(value, factor) for name, value in work.items()}}
            for number, work in enumerate(ALIKE)
        ]
        for asked_for in (*([work] for work in works), works):
            asked = decode(one, asked_for)
            assert one.answer(asked, stage).encoded() == msgspec.json.encode(FORGETFUL.evaluate(asked, stage))
    assert len(one.outlines.recent) == len(ALIKE)


def grown(facts: dict[str, Any], factor: int) -> dict[str, Any]:
    return {name: value * factor if isinstance(value, float) else value for name, value in facts.items()}


def test_an_outline_asks_only_what_can_be_answered() -> None:
    one = Evaluator(CHANGING.ruleset)
    asked = {
        "small.free": small(free_mm=1),
        "small.taut": small(gap_mm=1),
        "small.price": {"price": "1"},
        "small.many": small(many_mm=[1.0]),
        "small.numbers": small(number=1, edition="A"),
        "small.names": {"artist_name": "Ilse", **small(free_mm=1)},
    }
    assert [group.code for group in one.answer(decode(one, [{}])).told[0].outline.asked] == []
    for code, work in asked.items():
        outline = one.answer(decode(one, [work])).told[0].outline
        assert code in [group.code for group in outline.asked]
        assert len(outline.asked) == (2 if code == "small.names" else 1)


def test_nothing_is_told_alike_by_a_choice_that_is_private() -> None:
    @small_rule("named", applies=[where("artist_name", "Ilse")])
    def named(free: float = fact("small.free_mm")) -> Check:
        """Is it small?"""
        return at_most(free, 5.0, unit="mm")

    one = evaluator(named)
    for name, state in (("Ilse", State.UNKNOWN), ("Ute", State.NOT_APPLICABLE)):
        assert evaluate(one, {"artist_name": name}).works[0].findings[0].state is state
    assert "Ilse" not in kept(one)
    assert "Ute" not in kept(one)


def test_outlines_are_bounded() -> None:
    one = Evaluator(CHANGING.ruleset)
    names = ["free_mm", "gap_mm", "other_mm", "number", "edition"]
    for number in range(2 ** len(names)):
        chosen = {name: "A" if name == "edition" else 1 for place, name in enumerate(names) if number >> place & 1}
        for stage in Stage:
            for price in (None, "1"):
                evaluate(one, {"price": price, **small(**chosen)}, stage=stage)
    assert len(one.outlines.recent) <= KEPT
    assert len(one.outlines.older) <= KEPT
    assert all(len(group.remembered) <= MOST_STATED for group in one.outlines.groups)
