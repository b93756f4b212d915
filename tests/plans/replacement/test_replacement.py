"""Replacements over HTTP: who is offered, in which order, and why not the others; and what must not change the answer."""

import random
from collections.abc import Iterator
from typing import Any

import httpx
import pytest

from plans.place import Json, canvas, client

STAYS = canvas("tide-7", 900, 600, price="900", currency="EUR", artist_ref="ar-1", mass_kg=4)
PRINT = {
    "ref": "tide-7-print", "title": "Low tide", "kind": "reproduction", "framed": False, "width_mm": 420, "height_mm": 594,
    "price": "950", "currency": "EUR", "artist_ref": "ar-1", "editions": {"image_of": "tide-7"},
}  # fmt: skip
TOO_WIDE = canvas("wall-eater", 13_000, 500)
SHEET = {"ref": "sheet-1", "kind": "work-on-paper", "technique": "watercolour", "framed": False, "width_mm": 420, "height_mm": 594}
QUAY = canvas("quay-2", 600, 500, technique="acrylic")
BODY: Json = {
    "wall_name": "corridor-2", "hang_from": "2026-01-05", "hang_until": "2026-02-01", "neighbours": [STAYS],
    "candidates": [PRINT, TOO_WIDE, SHEET, QUAY],
}  # fmt: skip


@pytest.fixture(scope="module")
def service() -> Iterator[httpx.Client]:
    with client() as made:
        yield made


def asked(service: httpx.Client, **more: Any) -> Json:
    answer = service.post("/plans/replacement", json={**BODY, **more})
    assert answer.status_code == 200, answer.text
    made: Json = answer.json()
    return made


def refs(answer: Json, key: str = "offers") -> list[str]:
    return [one["ref"] for one in answer[key]]


def why(answer: Json, ref: str) -> list[Json]:
    reasons: list[Json] = next(one["reasons"] for one in answer["not_offered"] if one["ref"] == ref)
    return reasons


def test_what_does_not_fit_or_clashes_is_not_offered_and_says_why(service: httpx.Client) -> None:
    answer = asked(service)
    assert set(refs(answer)) == {"sheet-1", "quay-2"}
    assert refs(answer, "not_offered") == ["tide-7-print", "wall-eater"]
    print_reasons = why(answer, "tide-7-print")
    assert {one["kind"] for one in print_reasons} == {"clash"}
    assert any("price of tide-7" in one["sentence"] for one in print_reasons)
    assert {one["rule"].partition(".")[2] for one in why(answer, "wall-eater") if one["kind"] == "not-fit"} == {"fits-wall"}
    assert all(one["sentence"].endswith(".") for each in answer["not_offered"] for one in each["reasons"])
    assert all(one["reasons"] for one in answer["offers"])
    assert [one["rank"] for one in answer["offers"]] == [1, 2]


def test_a_print_beside_no_original_is_no_clash(service: httpx.Client) -> None:
    """Taking the clash away never makes it worse: everything that was offered still is, and the print joins it."""
    before, after = asked(service), asked(service, neighbours=[])
    assert set(refs(before)) <= set(refs(after))
    assert "tide-7-print" in refs(after)


def test_frames_that_are_out_are_not_there(service: httpx.Client) -> None:
    """The sheet is of size A2, of which the demo's venue has eight; with all of those, and of the larger ones, out it has no frame."""
    some = asked(service, frames_out={"A2": 7})
    assert "sheet-1" in refs(some)
    assert any("A2" in text for one in some["offers"] if one["ref"] == "sheet-1" for text in one["reasons"])
    none = asked(service, frames_out={"A3": 12, "A2": 8, "A1": 4, "600 × 900": 3})
    assert "sheet-1" not in refs(none)
    assert any("frame" in one["sentence"] for one in why(none, "sheet-1"))
    willing = asked(service, frames_out={"A3": 12, "A2": 8, "A1": 4, "600 × 900": 3}, include_prepare=True)
    offer = next(one for one in willing["offers"] if one["ref"] == "sheet-1")
    assert offer["outcome"] == "prepare"
    assert offer["to_do"]
    assert refs(willing)[-1] == "sheet-1"


def test_the_place_that_is_free_counts(service: httpx.Client) -> None:
    answer = asked(service, place={"width_mm": "50 cm", "height_mm": "60 cm"})
    assert refs(answer) == ["sheet-1"]
    assert why(answer, "quay-2") == [{"kind": "place", "sentence": "It measures 600 × 500 mm; the place takes 500 × 600 mm."}]


def lit(ref: str, spent: int, wide: int = 400) -> Json:
    """A work of which only the light that it had in the last year differs: the dose left is a matter of arithmetic."""
    return canvas(ref, wide, 300, technique="watercolour", light={"exposure_year_lx_hours": spent, "fading_materials": ["none"]})


def test_the_least_light_comes_first(service: httpx.Client) -> None:
    """For 28 days at 120 lx, 10 h a day; what was spent before is added by the rule, so that less of it is a smaller share."""
    spent = [40_000, 0, 90_000, 20_000, 60_000]
    works = [lit(f"w-{place}", one) for place, one in enumerate(spent)]
    answer = asked(service, candidates=works, neighbours=[])
    assert refs(answer) == [f"w-{place}" for place in sorted(range(5), key=lambda place: spent[place])]
    shares = [one["spends"] for one in answer["offers"]]
    assert shares == sorted(shares)
    assert all(0 < one <= 1 for one in shares)
    assert all(f"{one['spends'] * 100:.0f} %" in " ".join(one["reasons"]) for one in answer["offers"])


def many(seed: int, count: int) -> list[Json]:
    rng = random.Random(seed)
    made = []
    for place in range(count):
        one = rng.choice([PRINT, TOO_WIDE, SHEET, QUAY, lit("x", rng.randint(0, 200_000))])
        made.append({**one, "ref": f"c-{place:03}", "width_mm": rng.randint(200, 3000)})
    return made


def test_the_order_of_the_request_does_not_matter(service: httpx.Client) -> None:
    works, rng = many(1, 24), random.Random(2)
    stay = [STAYS, canvas("pier-1", 400, 400), canvas("pier-2", 500, 300)]
    first = asked(service, candidates=works, neighbours=stay, most=500)
    for _ in range(4):
        rng.shuffle(works)
        rng.shuffle(stay)
        assert asked(service, candidates=works, neighbours=stay, most=500) == first


def test_one_candidate_more_changes_nothing_for_the_others(service: httpx.Client) -> None:
    works = many(3, 20)
    whole = asked(service, candidates=works, most=500)
    for left_out in ("c-004", "c-011", "c-019"):
        some = asked(service, candidates=[one for one in works if one["ref"] != left_out], most=500)
        for key in ("offers", "not_offered"):
            rest = [{**one, "rank": 0} for one in whole[key] if one["ref"] != left_out]
            assert [{**one, "rank": 0} for one in some[key]] == rest


def test_no_more_are_offered_than_asked_for(service: httpx.Client) -> None:
    works = [lit(f"w-{place}", 1000 * place) for place in range(9)]
    answer = asked(service, candidates=works, neighbours=[], most=4)
    assert (refs(answer), answer["left_off"]) == (["w-0", "w-1", "w-2", "w-3"], 5)


BAD: list[tuple[Json, dict[str, str]]] = [
    ({"candidates": []}, {"/candidates": "at least one work"}),
    ({"candidates": [canvas("a", "9 kg", 1)]}, {"/candidates/0/width_mm": "is a weight", "/candidates/0/height_mm": "between"}),
    ({"candidates": [QUAY, QUAY]}, {"/candidates/1/ref": "twice"}),
    ({"neighbours": [QUAY]}, {"/neighbours/0/ref": "in one of the two"}),
    ({"neighbours": 5}, {"/neighbours": "list"}),
    ({"neighbours": {}}, {"/neighbours": "list"}),
    ({"neighbours": [canvas("n", -1, 5)]}, {"/neighbours/0/width_mm": "between", "/neighbours/0/height_mm": "between"}),
    ({"wall_name": "coridor-2"}, {"/wall_name": "Did you mean “corridor-2”?"}),
    ({"wall_name": None}, {"/wall_name": "missing"}),
    ({"hang_from": "2026-02-30"}, {"/hang_from": "such as 2026-03-31"}),
    ({"hang_from": "2026-03-01"}, {"/hang_until": "before the first"}),
    ({"place": {"width_mm": 0}}, {"/place/width_mm": "between 1 mm", "/place/height_mm": "missing"}),
    ({"frames_out": {"A9": 1, "A2": 9}}, {"/frames_out/A9": "no frame “A9”", "/frames_out/A2": "from 0 to 8"}),
    ({"frames_out": {"A2": 0.5}}, {"/frames_out/A2": "whole number"}),
    ({"frames_out": [1]}, {"/frames_out": "counts by name"}),
    ({"most": 0, "stage": "ofer", "include_prepare": "yes"}, {
        "/most": "from 1 to 500", "/stage": "Did you mean “offer”?", "/include_prepare": "true or false",
    }),
    ({"candidate": []}, {"/candidate": "Did you mean “candidates”?"}),
    ({"venue": "mouse"}, {"/venue": "There is no venue “mouse”."}),
]  # fmt: skip


@pytest.mark.parametrize(("more", "want"), BAD, ids=lambda one: str(one)[:60])
def test_bad_input_is_told_with_its_place(service: httpx.Client, more: Json, want: dict[str, str]) -> None:
    answer = service.post("/plans/replacement", json={**BODY, **more})
    assert answer.status_code == 422, answer.text
    told = {one["pointer"]: one["message"] for one in answer.json()["errors"]}
    assert told.keys() == want.keys()
    assert all(part in told[pointer] for pointer, part in want.items())


def test_too_many_candidates_are_refused_with_the_number_that_may_be_sent(service: httpx.Client) -> None:
    answer = service.post("/plans/replacement", json={**BODY, "candidates": [{"ref": f"w{n}"} for n in range(501)]})
    assert answer.json()["errors"] == [{"pointer": "/candidates", "message": "At most 500 works can be planned at once; 501 were given."}]


def test_a_size_in_free_text_counts_as_in_an_evaluation(service: httpx.Client) -> None:
    written = {"ref": "quay-2", "framed": False, "kind": "stretched-canvas", "as_written": {"dimensions": "H 50 cm, W 60 cm"}}
    room = {"width_mm": 590, "height_mm": 600}
    answer = asked(service, candidates=[written], place=room)
    assert [one["sentence"] for one in why(answer, "quay-2") if one["kind"] == "place"] == [
        "It measures 600 × 500 mm; the place takes 590 × 600 mm."
    ]


HUGE = {"ref": "huge", "kind": "panel", "technique": "acrylic", "width_mm": "6 m", "height_mm": "4 m", "mass_kg": 80}
SMALL = {"ref": "small", "kind": "panel", "technique": "acrylic", "framed": False, "width_mm": 600, "height_mm": 400, "mass_kg": 3}


def room(service: httpx.Client, *candidates: Json, **more: Any) -> Json:
    return asked(service, wall_name="boardroom", neighbours=[], candidates=list(candidates), **more)


def test_what_is_too_large_without_a_frame_is_so_with_one(service: httpx.Client) -> None:
    """The wall is 4800 × 2700 mm. Whether there is a frame is not said; or it is said, and how large it is nobody has measured."""
    answer = room(service, HUGE, {**HUGE, "ref": "framed", "framed": True}, {**HUGE, "ref": "wide", "height_mm": None}, SMALL)
    assert refs(answer) == ["small"]
    for ref, size in (("huge", "6000 × 4000"), ("framed", "6000 × 4000"), ("wide", "6000 × not known")):
        found = why(answer, ref)
        assert [one["rule"] for one in found if one["kind"] == "not-fit"] == ["hanging.fits-wall"]
        assert [one["sentence"] for one in found if one["kind"] == "place"] == [f"It measures {size} mm; the wall is 4800 × 2700 mm."]


def test_a_work_of_unknown_size_is_not_offered_and_one_of_an_unknown_frame_is_still_to_be_asked(service: httpx.Client) -> None:
    works = [
        {"ref": "ref-only"},
        {"ref": "no-height", "kind": "panel", "framed": False, "width_mm": 600},
        {"ref": "no-frame-size", "kind": "panel", "framed": True},
        {**SMALL, "ref": "framed-or-not", "framed": None},
    ]
    answer = room(service, *works)
    assert {ref: [one["sentence"] for one in why(answer, ref)] for ref in refs(answer, "not_offered")} == {
        "ref-only": ["Its size is not known; missing: width, height."],
        "no-height": ["Its size is not known; missing: height."],
        "no-frame-size": ["Its size is not known; missing: frame width, frame height."],
    }
    assert {one["kind"] for each in answer["not_offered"] for one in each["reasons"]} == {"not-known"}
    (offer,) = answer["offers"]
    assert (offer["ref"], offer["at_worst"]) == ("framed-or-not", "refuse")
    assert "Framed" in offer["still_to_ask"]
    smaller = room(service, works[3], place={"width_mm": 700, "height_mm": 700})
    assert why(smaller, "framed-or-not") == [
        {"kind": "not-known", "sentence": "Its outer size is not known, so it may not go into the place; missing: framed."}
    ]


def test_a_frame_smaller_than_its_work_leaves_the_size_unknown(service: httpx.Client) -> None:
    odd = {**SMALL, "ref": "odd", "framed": True, "frame": {"width_mm": 400, "height_mm": 500}}
    found = why(room(service, odd, include_prepare=True), "odd")
    assert found == [
        {"kind": "not-known", "sentence": "The frame (400 × 500 mm) is smaller than the work (600 × 400 mm); please check both."}
    ]
    half = {**odd, "height_mm": None}
    assert "work (600 × not known mm)" in why(room(service, half), "odd")[0]["sentence"]


def test_what_only_another_wall_mends_rules_this_one_out(service: httpx.Client) -> None:
    """On the stair water settles on the wall; that is no work's fault, and no work's to mend."""
    answer = asked(service, wall_name="garden-stair", neighbours=[], candidates=[SMALL], include_prepare=True)
    (found,) = [one for one in why(answer, "small") if one["kind"] == "wall"]
    assert (found["rule"], found["effect"]) == ("climate.no-dew", "prepare")
    assert found["remedy"] == "Look for an inner wall; spacers do not help against water."


def test_what_is_to_do_is_told_to_whoever_does_it(service: httpx.Client) -> None:
    """At 120 lx, 10 h a day, a watercolour may not hang here for a year; without fittings it cannot hang at all."""
    tender = {**SMALL, "ref": "tender", "technique": "watercolour", "fittings": {"kind": "none"}, "light": {"fading_materials": ["none"]}}
    answer = asked(service, neighbours=[], candidates=[tender], hang_until="2026-12-31", include_prepare=True)
    todo = {one["rule"]: (one["asked_of"], one["remedy"]) for one in answer["offers"][0]["to_do"]}
    assert todo["hanging.has-fittings"][0] == "artist"
    who, remedy = todo["light.dose"]
    assert who == "coordinator"
    assert remedy.startswith("Hang it here for ")
    assert "coordinator" not in remedy
