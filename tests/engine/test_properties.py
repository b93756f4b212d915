"""Properties that hold for any facts: order changes nothing, what is not known never helps, and nothing gets out.

Each is tried on a small pack made for it, with every feature of the engine in it, and on the built-in packs.
"""

import math
import random
from collections import Counter
from collections.abc import Callable
from functools import cache

import msgspec
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from msgspec import UNSET

from hangworthy.contract import (
    Check,
    Effect,
    Evaluation,
    Finding,
    Four,
    Given,
    RulePack,
    Stage,
    State,
    Undecided,
    at_most,
    fact,
    holds,
    where,
)
from hangworthy.discovery import discover, installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.outcome import outcomes
from hangworthy.engine.ruleset import Ruleset, Venue
from small_packs import SmallLimits, pack, small_rule, small_set_rule
from strategies import TEXTS, as_work, asked_again, facts, full_facts, slots_read, vouched, wire

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


@small_rule("gap", uses=["gap_mm"], due=Stage.ARRIVAL)
def gap(limits: SmallLimits, gap: float = fact("small.gap_mm")) -> Check:
    """Is the gap small?"""
    return at_most(gap, limits.gap_mm, unit="mm")


@small_rule("twist", effect=Effect.REFUSE, applies=[where("small.hue", "red", "green")])
def twist(gaps: Four = fact("small.gaps_mm")) -> Check:
    """Is the twist small?"""
    return at_most(abs(gaps[0] - gaps[1] + gaps[2] - gaps[3]), 6.0, unit="mm")


@small_rule("keys", effect=[Effect.PREPARE, Effect.REPAIR, Effect.REFUSE])
def keys(
    other: float = fact("small.other_mm"),
    keyed: bool = fact("small.keyed", try_each=True),
    braced: bool = fact("small.braced", try_each=True),
) -> Check:
    """Is it taut, keys or not?"""
    effect = Effect.PREPARE if keyed else Effect.REPAIR if braced else Effect.REFUSE
    return at_most(other, 6.0 if braced else 5.0, unit="mm", effect=effect)


@small_rule("noted", effect=Effect.PREPARE)
def noted(gap: float = fact("small.gap_mm"), note: str | None = fact("small.note", optional=True)) -> Check | Undecided:
    """Is a wide gap explained?"""
    if gap <= 6:
        return holds(True)
    return Undecided(("small.note",)) if note is None else holds(note == "a")


@small_rule("taut", by="one", effect=Effect.PREPARE)
def taut_one(gap: float = fact("small.gap_mm")) -> Check:
    """Is it taut?"""
    return at_most(gap, 5.0, unit="mm")


@small_rule("taut", by="two", effect=Effect.REPAIR)
def taut_two(other: float = fact("small.other_mm"), free: float = fact("small.free_mm")) -> Check:
    """Is it taut?"""
    return at_most(other * free, 30.0, unit="mm")


@small_rule("root", effect=Effect.ADVISE)
def root(free: float = fact("small.free_mm")) -> Check:
    """Has it a root?"""
    return at_most(math.sqrt(free), 3.0, unit="mm")


@small_set_rule("number-is-free", among=["small.edition"])
def number_is_free(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
    """Is its number in the edition taken once only?"""
    count = Counter(numbers)
    return [holds(count[number] == 1) for number in numbers]


RULES = (gap, twist, keys, noted, taut_one, taut_two, root, number_is_free)
VENUE = Venue(name="test")


@cache
def packs(which: str) -> list[RulePack]:
    if which == "small":
        return [pack(*RULES), pack(gap, root, name="another", sections={})]
    return [one.pack for one in discover()[0] if one.distribution.startswith("hangworthy ")]


def built(found: list[RulePack]) -> Evaluator:
    catalogue = build_catalogue([installed_pack(one) for one in found])
    walls = dict.fromkeys(TEXTS, catalogue.schema.wall())
    return Evaluator(Ruleset(catalogue, msgspec.structs.replace(VENUE, walls=walls)))


@cache
def evaluator(which: str) -> Evaluator:
    return built(packs(which))


@cache
def forgetful(which: str) -> Evaluator:
    """The same, but it works everything out again."""
    return Evaluator(evaluator(which).ruleset, keep=0)


# To make a work of three hundred facts smaller takes longer than a test may; what failed is told by its assertion.
PHASES = {"small": settings.default.phases, "built-in": (Phase.explicit, Phase.reuse, Phase.generate)}

# The built-in packs are tried with the kinds that most of their rules concern.
KINDS = {"small": [], "built-in": ["stretched-canvas", "original-print"]}


def tried(small: int, built_in: int) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Try a property so often on each: an example of the built-in packs asks all their rules, and costs twenty times as much."""

    def decorated(test: Callable[..., None]) -> Callable[..., None]:
        runs = {
            which: settings(SLOW, max_examples=count, phases=PHASES[which])(given(which=st.just(which), data=st.data())(test))
            for which, count in (("small", small), ("built-in", built_in))
        }

        @pytest.mark.parametrize("which", list(KINDS))
        def run(which: str) -> None:
            runs[which]()

        run.__name__, run.__doc__ = test.__name__, test.__doc__
        return run

    return decorated


def drawn_kind(data: st.DataObject, which: str) -> dict[str, str]:
    """The facts that are fixed: a kind of work, where the packs ask about kinds."""
    return {"kind": data.draw(st.sampled_from(KINDS[which]))} if KINDS[which] else {}


def drawn_works(data: st.DataObject, which: str, most: int = 3) -> list[dict]:
    slots = slots_read(evaluator(which).ruleset.catalogue)
    fixed = drawn_kind(data, which)
    some = st.one_of(facts(slots, fixed), full_facts(slots, fixed))
    return [as_work(f"w{place}", vouched(found)) for place, found in enumerate(data.draw(st.lists(some, min_size=1, max_size=most)))]


def ask(one: Evaluator, works: list[dict], stage: Stage = Stage.OFFER) -> Evaluation:
    return one.evaluate(wire(one.ruleset.schema, works), stage)


def second_measurements(which: str) -> set[str]:
    """Rules whose findings come and go with a second measurement of one thing: ways of measuring, and their comparison."""
    entries = evaluator(which).ruleset.catalogue.entries
    several = {code for code, count in Counter(entry.code for entry in entries).items() if count > 1}
    return several | {entry.code for entry in entries if any(isinstance(one, Given) for one in entry.rule.applies)}


def met_beside_what_is_not_told(which: str) -> set[str]:
    """Rules over several works that compare only what is told: a work is met beside one that says nothing (yet), and one that does not
    say whose it is meets no other.
    """
    entries = [entry for entry in evaluator(which).ruleset.catalogue.entries if entry.rule.over_set]
    return {entry.code for entry in entries if any(entry.optional) or any(isinstance(one, Given) for one in entry.rule.applies)}


def interval(findings: list[Finding], left_out: set[str]) -> tuple[int, int]:
    now, worst = outcomes(finding for finding in findings if finding.rule not in left_out)
    return now.rank, worst.rank


@tried(small=60, built_in=30)
def test_same_input_same_bytes_and_everything_serialises(which: str, data: st.DataObject) -> None:
    works, stage = drawn_works(data, which), data.draw(st.sampled_from(Stage))
    answer = ask(evaluator(which), works, stage)
    encoded = msgspec.json.encode(answer)
    assert encoded == msgspec.json.encode(ask(evaluator(which), works, stage))
    assert encoded == msgspec.json.encode(ask(forgetful(which), works, stage))
    back = msgspec.json.decode(encoded, type=Evaluation)
    assert msgspec.json.decode(msgspec.json.encode(back)) == msgspec.json.decode(encoded)
    for finding in (finding for work in answer.works for finding in work.findings):
        assert finding.artist
        assert finding.coordinator
        assert finding.probability is None or 0 <= finding.probability <= 1
        assert not (finding.state is State.UNKNOWN and not finding.missing and not finding.others)


@tried(small=25, built_in=12)
def test_the_order_of_packs_rules_and_works_changes_no_byte(which: str, data: st.DataObject) -> None:
    works = drawn_works(data, which)
    answer = ask(evaluator(which), works)
    dice = random.Random(data.draw(st.integers(0, 10**6)))
    shuffled = [msgspec.structs.replace(one, rules=dice.sample(list(one.rules), len(one.rules))) for one in packs(which)]
    dice.shuffle(shuffled)
    assert msgspec.json.encode(ask(built(shuffled), works)) == msgspec.json.encode(answer)
    other = ask(evaluator(which), dice.sample(works, len(works)))
    by_ref = {work.ref: msgspec.json.encode(work) for work in answer.works}
    assert {work.ref: msgspec.json.encode(work) for work in other.works} == by_ref
    assert (other.outcome, other.at_worst, other.settled) == (answer.outcome, answer.at_worst, answer.settled)


def without(work: dict, paths: list[str]) -> dict:
    flat = {f"{name}.{key}": one for name, value in work.items() if isinstance(value, dict) for key, one in value.items()}
    flat |= {name: value for name, value in work.items() if not isinstance(value, dict) and name != "ref"}
    return as_work(work["ref"], {path: value for path, value in flat.items() if path not in paths})


@tried(small=150, built_in=60)
def test_fewer_facts_never_help_and_more_facts_keep_the_promise(which: str, data: st.DataObject) -> None:
    """The interval outcome…at_worst with fewer facts holds the one with more. At the last stage, all facts are due."""
    works = drawn_works(data, which)
    paths = [slot.path for slot in slots_read(evaluator(which).ruleset.catalogue)]
    place = data.draw(st.integers(0, len(works) - 1))
    gone = data.draw(st.lists(st.sampled_from(paths), min_size=1, max_size=4))
    more, fewer = works, [without(work, gone) if number == place else work for number, work in enumerate(works)]
    known, less = ask(evaluator(which), more, Stage.RETURN), ask(evaluator(which), fewer, Stage.RETURN)
    left_out, silent = second_measurements(which), met_beside_what_is_not_told(which)
    for number, (before, after) in enumerate(zip(known.works, less.works, strict=True)):
        unmet = {(finding.rule, finding.by): finding for finding in before.findings if finding.state is State.UNMET}
        passed = set() if number == place else silent
        asked = {pointer for finding in after.findings for pointer in finding.missing}
        for finding in after.findings:
            was = unmet.get((finding.rule, finding.by))
            if was is not None and finding.state is State.MET and finding.rule not in silent:
                # What one rule may do without, another has to ask for: a crop is agreed, and where the marks are is asked at arrival.
                assert asked & (was.facts.keys() - finding.facts.keys()), (was, finding, gone)
        doubted = left_out | asked_again(before) | passed
        (now, worst), (now_less, worst_less) = (interval(one.findings, doubted) for one in (before, after))
        assert now_less <= now <= worst <= worst_less
        assert not (after.settled and not left_out and (after.outcome is not before.outcome))


@tried(small=80, built_in=40)
def test_the_promise_at_the_offer_holds_for_the_rules_that_are_due_then(which: str, data: st.DataObject) -> None:
    works = drawn_works(data, which, 1)
    paths = [slot.path for slot in slots_read(evaluator(which).ruleset.catalogue)]
    fewer = [without(works[0], data.draw(st.lists(st.sampled_from(paths), min_size=1, max_size=6)))]
    later = {entry.code for entry in evaluator(which).ruleset.catalogue.entries if entry.rule.due is not Stage.OFFER}
    more, less = (ask(evaluator(which), one).works[0] for one in (works, fewer))
    left_out = second_measurements(which) | later | asked_again(more)
    before, after = (interval(one.findings, left_out) for one in (more, less))
    assert after[0] <= before[0] <= before[1] <= after[1]


@tried(small=60, built_in=30)
def test_answering_what_is_asked_comes_to_an_end(which: str, data: st.DataObject) -> None:
    """Answering what is asked ends. What is then not known waits for the venue, or for answers that contradict each other, or for whoever
    clears a work of a hazard: till then only what concerns hazards is asked.
    """
    one = evaluator(which)
    work, asked = drawn_works(data, which, 1)[0], set()
    hazards = {entry.code for entry in one.ruleset.catalogue.entries if entry.rule.hazard}
    slots = {slot.pointer: slot for slot in slots_read(one.ruleset.catalogue)}
    whole = data.draw(full_facts(slots.values(), drawn_kind(data, which)))
    while True:
        answer = ask(one, [work], Stage.RETURN).works[0]
        fresh = [question.fact for question in answer.questions if question.fact in slots and question.fact not in asked]
        if not fresh:
            break
        asked.add(fresh[0])
        section, _, name = slots[fresh[0]].path.rpartition(".")
        (work.setdefault(section, {}) if section else work)[name] = whole[slots[fresh[0]].path]
    for finding in (finding for finding in answer.findings if finding.state is State.UNKNOWN):
        assert finding.missing
        waits = answer.safe_first is not UNSET and finding.rule not in hazards
        assert waits or all(pointer.startswith(("/wall", "/venue")) or pointer in asked for pointer in finding.missing)
    assert answer.settled or any(finding.state in OPEN for finding in answer.findings)


OPEN = (State.UNKNOWN, State.BORDERLINE, State.ERROR)
BAD = {
    "raises": lambda: 1 / 0,
    "NaN": lambda: at_most(math.nan, 1.0, unit=""),
    "infinity": lambda: at_most(math.inf, 1.0, unit=""),
    "no check": lambda: "met",
}


@pytest.mark.parametrize("kind", BAD)
@settings(SLOW, max_examples=20)
@given(data=st.data())
def test_a_bad_rule_changes_no_other_finding(kind: str, data: st.DataObject) -> None:
    @small_rule("z-bad")
    def bad(gap: float = fact("small.gap_mm")) -> Check:
        """Is it bad?"""
        return BAD[kind]()

    works = drawn_works(data, "small")
    alone, beside = ask(built([pack(*RULES)]), works), ask(built([pack(*RULES, bad)]), works)
    for one, other in zip(alone.works, beside.works, strict=True):
        kept = [msgspec.json.encode(finding) for finding in other.findings if finding.rule != "small.z-bad"]
        assert kept == [msgspec.json.encode(finding) for finding in one.findings]
        [found] = [finding for finding in other.findings if finding.rule == "small.z-bad"]
        assert found.state in (State.ERROR, State.UNKNOWN)
        assert other.at_worst.rank >= Effect.REPAIR.rank
