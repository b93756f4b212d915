"""Sketches: what is wrong with a pack's drawings is told at load; what a sketch may return is bounded."""

import math
from typing import Any

import msgspec
import pytest

from hangworthy.contract import Box, Drawing, Line, Note, RulePack, Span, View, fact, sketch
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.fault import PackFaults
from hangworthy.engine.sketches import sound

SAYS = {"caption": "A gap of {gap}.", "note": "Here.", "span": "{figure} wide"}


def drawn(gap: float = fact("width_mm")) -> Drawing:
    return Drawing((View((Line(0, 0, gap, 0),)),), {"gap": gap})


def pack_with(base: RulePack, made: Any) -> RulePack:
    return msgspec.structs.replace(base, drawings=[made])


def base() -> RulePack:
    from api.tiny_pack import tiny_pack

    return tiny_pack()


def faults_of(made: Any) -> str:
    with pytest.raises(PackFaults) as caught:
        build_catalogue([installed_pack(pack_with(base(), made))])
    return str(caught.value)


def test_a_good_sketch_is_bound_with_its_facts_and_rules() -> None:
    good = sketch("gap", of=["gap"], title="The gap", says=SAYS)(drawn)
    (entry,) = build_catalogue([installed_pack(pack_with(base(), good))]).sketches
    assert [slot.path for slot in entry.slots] == ["width_mm"]
    assert entry.of == ("tiny.gap",)


def test_what_is_wrong_with_a_sketch_stops_the_start_and_names_it() -> None:
    def strange(gap: float = fact("no.such_fact")) -> Drawing:
        return drawn(gap)

    def mistyped(gap: int = fact("width_mm")) -> Drawing:
        return drawn(gap)

    assert "drawing tiny.gap: shows the rule gaps, which is not in the pack" in faults_of(
        sketch("gap", of=["gaps"], title="t", says=SAYS)(drawn)
    )
    assert "there is no fact no.such_fact" in faults_of(sketch("gap", of=["gap"], title="t", says=SAYS)(strange))
    assert "gap is annotated int, but width_mm is float" in faults_of(sketch("gap", of=["gap"], title="t", says=SAYS)(mistyped))
    assert "lists a drawing that is none" in faults_of(drawn)


@pytest.mark.parametrize(
    "bad",
    [
        Drawing(()),
        Drawing((View(()),)),
        Drawing((View((Line(0, 0, math.nan, 0),)),), {"gap": 1}),
        Drawing((View((Box(0, 0, math.inf, 1),)),), {"gap": 1}),
        Drawing((View((Line(0, 0, 1, 0),)),)),
        Drawing((View((Note(0, 0, "nowhere"),)),), {"gap": 1}),
        Drawing((View((Span(0, 0, 1, 0, says="nowhere"),)),), {"gap": 1}),
        "no drawing",
    ],
    ids=["no view", "empty view", "nan", "infinity", "caption unfilled", "no such words", "no such words of a span", "no drawing"],
)
def test_what_cannot_be_drawn_is_refused(bad: Any) -> None:
    made = sketch("gap", of=["gap"], title="The gap", says=SAYS)(drawn)
    with pytest.raises((ValueError, KeyError)):
        sound(made, bad)
    good = Drawing((View((Span(0, 0, 1, 0, says="span"), Note(0, 0, "note"))),), {"gap": 1})
    assert sound(made, good) is good
