"""Everything that can be wrong with packs: each a fault that names pack, rule and path, and what to do."""

from collections.abc import Callable
from typing import Any

import msgspec
import pytest

from hangworthy.contract import API, Check, Effect, Kind, Limits, NoLimits, Outcome, RulePack, Section, ask, fact, given, holds, where
from hangworthy.contract.work import GlazingMaterial
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.fault import Fault, PackFaults
from small_packs import (
    PLAIN,
    SmallFacts,
    SmallLimits,
    catalogue,
    evaluate,
    evaluator,
    install,
    pack,
    returning,
    small,
    small_rule,
    small_set_rule,
)


def good(name: str = "good", **details: Any) -> Any:
    @small_rule(name, **details)
    def rule(gap: float = fact("small.gap_mm")) -> Check:
        """Is it so?"""
        return holds(True)

    return rule


def changed(**changes: Any) -> RulePack:
    """A pack with one good rule that was changed."""
    return pack(msgspec.structs.replace(good(), **changes))


def with_rule(function: Callable[..., Any], **details: Any) -> RulePack:
    return pack(small_rule("odd", **details)(function))


def no_fact(gap: float) -> Check:
    """Is it so?"""


def nothing() -> Check:
    """Is it so?"""


def plain_default(gap: float = 3.0) -> Check:
    """Is it so?"""


def misspelt(gap: float = fact("small.gap_m")) -> Check:
    """Is it so?"""


def wrong_type(gap: int = fact("small.gap_mm")) -> Check:
    """Is it so?"""


def no_annotation(gap=fact("small.gap_mm")) -> Check:
    """Is it so?"""


def optional_without_none(gap: float = fact("small.gap_mm", optional=True)) -> Check:
    """Is it so?"""


def tried_number(gap: float = fact("small.gap_mm", try_each=True)) -> Check:
    """Is it so?"""


def no_question(gap: float = fact("small.gap_mm")) -> Check:
    """It is so."""


def limits_second(gap: float = fact("small.gap_mm"), limits: SmallLimits = None) -> Check:
    """Is it so?"""


def unresolvable(gap: "Nonsense" = fact("small.gap_mm")) -> Check:  # noqa: F821
    """Is it so?"""


class OtherLimits(Limits):
    """Limits of another pack."""


def other_limits(limits: OtherLimits, gap: float = fact("small.gap_mm")) -> Check:
    """Is it so?"""


def too_many(
    a: bool = fact("small.keyed", try_each=True),
    b: bool = fact("small.braced", try_each=True),
    c: Kind = fact("kind", try_each=True),
    d: bool = fact("framed", try_each=True),
) -> Check:
    """Is it so?"""


class Taken(Section):
    """A section that declares a fact of the contract's once more."""

    material: str = ask("Material", "Which material?")


class TakenOfWall(Section):
    """A section that declares a fact of the wall once more."""

    width_mm: float = ask("Width", "How wide?")


class Unaskable(Section):
    """A fact that nobody declared how to ask."""

    gap_mm: float = ask("Gap", "How wide?")
    stray: int


class BadType(Section):
    """A fact of a type that no fact can have."""

    gaps: dict = ask("Gaps", "How wide?")


class MixedList(Section):
    """A list of two types."""

    gaps: tuple[int, str] = ask("Gaps", "How wide?")


class Empty(Section):
    """No facts at all."""


OWN: dict[str, Any] = {"small": SmallFacts}
FAULTS: dict[str, tuple[str, Callable[[], RulePack], tuple[str, ...]]] = {
    "too new": ("too-new", lambda: pack(good(), api=API + 1), ("small", str(API + 1), "upgrade")),
    "pack name": ("bad-name", lambda: pack(good(), name="Small Pack"), ("Small Pack",)),
    "no version": ("empty-pack", lambda: pack(good(), version=""), ("small", "version")),
    "no rules": ("empty-pack", lambda: pack(), ("small", "rule")),
    "rule name": ("bad-name", lambda: changed(name="Good_rule"), ("small.Good_rule",)),
    "rule twice": ("duplicate-rule", lambda: pack(good(), good()), ("small.good", "by")),
    "no question": ("no-docstring", lambda: with_rule(no_question), ("small.odd", "question")),
    "no docstring": ("no-docstring", lambda: with_rule(lambda gap=fact("small.gap_mm"): None), ("small.odd", "docstring")),
    "no source": ("no-source", lambda: changed(source="somewhere"), ("small.good", "source")),
    "no effect": ("no-effect", lambda: changed(effects=()), ("small.good", "effect")),
    "wrong effect": ("no-effect", lambda: changed(effects=("gentle",)), ("small.good", "effect")),
    "no case": ("no-case", lambda: pack(good(), cases={}), ("small.good", "cases/good.toml")),
    "no such fact": ("no-such-fact", lambda: with_rule(misspelt), ("small.odd", "small.gap_m", "small.gap_mm")),
    "no such fact in where": ("no-such-fact", lambda: pack(good(applies=[where("small.hew")])), ("small.good", "small.hew", "small.hue")),
    "no such fact in given": ("no-such-fact", lambda: pack(good(applies=[given("nonsense")])), ("small.good", "nonsense")),
    "no such fact in among": ("no-such-fact", lambda: pack(in_a_set(among=["small.editon"])), ("small.set", "small.edition")),
    "no such value": ("bad-condition", lambda: pack(good(applies=[where("small.hue", "rad")])), ("small.good", "small.hue", "'rad'")),
    "no condition": ("bad-condition", lambda: pack(good(applies=["small.hue"])), ("small.good", "where")),
    "wrong type": ("wrong-type", lambda: with_rule(wrong_type), ("small.odd", "gap", "int", "small.gap_mm", "float")),
    "no annotation": ("wrong-type", lambda: with_rule(no_annotation), ("small.odd", "gap", "small.gap_mm", "float")),
    "optional without None": ("wrong-type", lambda: with_rule(optional_without_none), ("small.odd", "small.gap_mm", "None")),
    "a number tried": ("wrong-type", lambda: with_rule(tried_number), ("small.odd", "small.gap_mm", "tried")),
    "no tuple in a set": ("wrong-type", lambda: pack(small_set_rule("set")(good().function)), ("small.set", "tuple[float, ...]")),
    "too many tries": ("too-many-tries", lambda: with_rule(too_many), ("small.odd", "80", "64")),
    "a plain parameter": ("bad-signature", lambda: with_rule(no_fact), ("small.odd", "gap", "fact")),
    "a plain default": ("bad-signature", lambda: with_rule(plain_default), ("small.odd", "gap", "fact")),
    "no parameter": ("bad-signature", lambda: with_rule(nothing), ("small.odd", "no fact")),
    "limits second": ("bad-signature", lambda: with_rule(limits_second), ("small.odd", "limits")),
    "another's limits": ("bad-signature", lambda: with_rule(other_limits), ("small.odd", "OtherLimits", "SmallLimits")),
    "an annotation that means nothing": ("bad-signature", lambda: with_rule(unresolvable), ("small.odd", "Nonsense")),
    "no such limit": ("no-limit", lambda: pack(good(uses=["gap"])), ("small.good", "gap", "SmallLimits")),
    "a fact declared twice": ("bad-facts", lambda: pack(good(), sections=OWN | {"glazing": Taken}), ("small", "glazing.material")),
    "a section named as a fact": ("bad-facts", lambda: pack(good(), sections=OWN | {"title": Taken}), ("small", "title")),
    "a section named as the venue": ("bad-facts", lambda: pack(good(), sections=OWN | {"venue": Taken}), ("small", "venue")),
    "a fact of the wall declared twice": (
        "bad-facts", lambda: pack(good(), sections=OWN | {"wall": TakenOfWall}), ("small", "wall.width_mm"),
    ),
    "a fact without ask": ("bad-facts", lambda: pack(good(), sections=OWN | {"odd": Unaskable}), ("small", "stray")),
    "a type no fact has": ("bad-facts", lambda: pack(good(), sections=OWN | {"odd": BadType}), ("small", "odd.gaps", "dict")),
    "a list of two types": ("bad-facts", lambda: pack(good(), sections=OWN | {"odd": MixedList}), ("small", "odd.gaps")),
    "a section without facts": ("bad-facts", lambda: pack(good(), sections=OWN | {"odd": Empty}), ("small", "odd")),
    "no section": ("bad-facts", lambda: pack(good(), sections=OWN | {"odd": dict}), ("small", "odd")),
    "a sentence with a brace left open": (
        "bad-words", lambda: changed(words=msgspec.structs.replace(PLAIN, met="It is {value.")), ("small.good",),
    ),
    "a sentence with an attribute of a value": (
        "bad-words", lambda: changed(words=msgspec.structs.replace(PLAIN, unmet="It is {value.real}.")), ("small.good", "{value}"),
    ),
    "a sentence with a format": (
        "bad-words", lambda: changed(words=msgspec.structs.replace(PLAIN, bench="It is {value:.3f}.")), ("small.good", "{value}"),
    ),
    "a sentence with a value that has no name": (
        "bad-words", lambda: changed(words=msgspec.structs.replace(PLAIN, remedy="Make it {}.")), ("small.good", "{value}"),
    ),
    "a function that is no rule": ("bad-rule", lambda: msgspec.structs.replace(pack(good()), rules=[no_question]), ("small",)),
}  # fmt: skip


def in_a_set(**details: Any) -> Any:
    @small_set_rule("set", **details)
    def rule(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
        """Is it so?"""
        return [holds(True) for _ in numbers]

    return rule


@pytest.mark.parametrize("name", FAULTS)
def test_fault(name: str) -> None:
    kind, make, said = FAULTS[name]
    one = make()
    with pytest.raises(PackFaults) as caught:
        build_catalogue([msgspec.structs.replace(install(one), distribution="dist 7")])
    fault = next(fault for fault in caught.value.faults if fault.kind == kind)
    assert (fault.pack, fault.distribution, fault.version) == (one.name, "dist 7", one.version)
    for part in said:
        assert part in fault.message
    assert str(fault) in str(caught.value)
    assert str(fault).startswith(f"[{kind}] dist 7")


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(PackFaults) as caught:
        catalogue(
            pack(good("a", uses=["nonsense"]), good("b", applies=[where("nonsense", 1)])), pack(good(), name="other", sections={}, api=9)
        )
    assert sorted(fault.kind for fault in caught.value.faults) == ["no-limit", "no-such-fact", "too-new"]


def test_a_pack_that_is_there_twice_is_left_out_both_times() -> None:
    twice = [msgspec.structs.replace(install(pack(good())), distribution=name) for name in ("one 1.0", "two 2.0")]
    with pytest.raises(PackFaults, match=r"one 1\.0 1 and two 2\.0 1"):
        build_catalogue(twice)
    found = build_catalogue([*twice, install(pack(good(), name="other"))], tolerate=True)
    assert [one.pack.name for one in found.installed] == ["other"]
    assert [fault.kind for fault in found.faults] == ["duplicate-pack"]


def test_two_packs_that_claim_one_fact() -> None:
    with pytest.raises(PackFaults, match="declared twice"):
        catalogue(pack(good(), name="a"), pack(good(), name="b"))


def test_a_fault_of_one_pack_can_be_tolerated_and_leaves_everything_unsettled() -> None:
    fault = Fault("import-error", "pack x is broken", "x")
    one = evaluator(pack(good()), pack(good(uses=["nonsense"]), name="bad", sections={}), faults=[fault], tolerate=True)
    assert [used.name for used in one.ruleset.packs] == ["small"]
    answer = evaluate(one, small(gap_mm=1))
    assert (answer.outcome, answer.at_worst, answer.settled) == (Outcome.READY, Outcome.REFUSE, False)
    assert (answer.works[0].at_worst, answer.works[0].settled) == (Outcome.REFUSE, False)
    assert answer.faults[0] == "import-error: pack x is broken"
    assert "nonsense" in answer.faults[1]
    assert [found.rule for found in answer.works[0].findings] == ["small.good"]


def test_the_facts_of_a_pack_at_fault_are_gone_from_the_schema() -> None:
    class Extra(Section):
        """More facts."""

        more_mm: float = ask("More", "How much more?")

    bad = pack(good(uses=["nonsense"]), name="bad", sections={"extra": Extra}, limits=NoLimits)
    found = catalogue(pack(good()), bad, tolerate=True)
    assert "extra.more_mm" not in found.schema.by_path
    assert "small.gap_mm" in found.schema.by_path


def test_a_rule_that_needs_the_facts_of_a_pack_at_fault_is_itself_a_fault() -> None:
    @small_rule("leaning")
    def leaning(gap: float = fact("small.gap_mm")) -> Check:
        """Does it lean on another pack's facts?"""
        return holds(True)

    found = catalogue(pack(leaning, name="leaning", sections={}), pack(good(uses=["nonsense"])), tolerate=True)
    assert {fault.pack for fault in found.faults} == {"leaning", "small"}
    assert found.installed == ()


def test_faults_that_were_found_before_stop_the_start_too() -> None:
    with pytest.raises(PackFaults, match="broken"):
        catalogue(pack(good()), faults=[Fault("import-error", "broken")])


def test_shared_sections_can_be_extended() -> None:
    class More(Section):
        """More of the glazing."""

        film: bool = ask("Film", "Is there a film on it?")

    @small_rule("film")
    def film(film: bool = fact("glazing.film"), pane: GlazingMaterial = fact("glazing.material")) -> Check:
        """Is there a film?"""
        return holds(film)

    one = evaluator(pack(film, sections={"glazing": More}))
    found = evaluate(one, {"glazing": {"film": True, "material": "acrylic"}}).works[0].findings[0]
    assert found.facts == {"/glazing/film": True, "/glazing/material": "acrylic"}


def test_a_rule_can_still_be_called_by_hand() -> None:
    rule = returning(holds(True), effect=Effect.ADVISE)
    assert rule(gap=1.0).met
    assert rule.question == "Is it so?"
