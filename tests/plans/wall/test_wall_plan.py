"""The wall plan over HTTP: its figures add up, its drawing is the same plan, and bad input is told gently and all at once."""

import itertools
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

import httpx
import pytest

from plans.place import Json, canvas, client

SVG = "{http://www.w3.org/2000/svg}"
DOOR = {"name": "door <&> “A”", "left_mm": "2.6 m", "width_mm": "95 cm", "height_mm": 2100, "clearance_mm": 100}
SOFA = {"name": "sofa", "left_mm": 4000, "width_mm": 1800, "height_mm": 850, "clearance_mm": 150}
HOOKED = {"fittings": {"kind": "d-rings", "drop_mm": 60}}
WORKS = [
    canvas("tide & <7>", "63 cm", 900, mass_kg=4, **HOOKED),
    canvas("quay-2", 400, 500, mass_kg=2, **HOOKED),
    canvas("pier-3", "36 in", "24 in", mass_kg=11, **HOOKED),
    canvas("mole-4", 1200, 700, mass_kg=6),
]
BODY: Json = {"wall_name": "lobby-north", "works": WORKS, "obstacles": [DOOR, SOFA]}


@pytest.fixture(scope="module")
def service() -> Iterator[httpx.Client]:
    with client() as made:
        yield made


def planned(service: httpx.Client, **more: Any) -> Json:
    answer = service.post("/plans/wall", json={**BODY, **more})
    assert answer.status_code == 200, answer.text
    plan: Json = answer.json()
    return plan


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"order": "free"},
        {"spacing": "spread"},
        {"spacing": "gap", "gap_mm": 80},
        {"spacing": "gap"},
        {"rows": 2, "align": "top", "obstacles": []},
        {"rows": [["quay-2", "pier-3"], ["mole-4", "tide & <7>"]], "align": "bottom", "obstacles": []},
        {"wall_name": None, "wall": {"width_mm": "21 ft", "height_mm": "3 m"}},
    ],
    ids=str,
)
def test_the_figures_add_up_and_the_drawing_is_the_same_plan(service: httpx.Client, more: Json) -> None:
    plan = planned(service, **more)
    assert plan["fits"], plan
    for row in plan["rows"]:
        pieces = row["pieces"]
        assert sum(one["length_mm"] for one in pieces) == plan["wall_width_mm"]
        assert pieces[0]["from_mm"] == 0
        assert all(one["to_mm"] - one["from_mm"] == one["length_mm"] > 0 for one in pieces)
        assert all(a["to_mm"] == b["from_mm"] for a, b in itertools.pairwise(pieces))
        assert [one["name"] for one in pieces if one["kind"] == "work"] == row["works"]
    drawn = service.post("/plans/wall", json={**BODY, **more}, headers={"accept": "image/svg+xml"})
    assert drawn.headers["content-type"] == "image/svg+xml"
    root = ElementTree.fromstring(drawn.text)
    wall = next(one for one in root.iter(f"{SVG}g") if one.get("id") == "wall")
    high = plan["wall_height_mm"]

    def boxes(kind: str) -> list[tuple[int, ...]]:
        found = [one for one in wall.iter(f"{SVG}rect") if one.get("class") == kind]
        return [tuple(int(one.get(name, "")) for name in ("x", "y", "width", "height")) for one in found]

    assert boxes("wall") == [(0, 0, plan["wall_width_mm"], high)]
    assert boxes("work") == [(one["left_mm"], high - one["top_mm"], one["width_mm"], one["height_mm"]) for one in plan["works"]]
    hooks = [(int(one.get("data-x", "")), int(one.get("data-y", ""))) for one in wall.iter(f"{SVG}path") if one.get("class") == "hook"]
    known = [(point["x_mm"], point["y_mm"]) for one in plan["works"] for point in one.get("hooks_mm", ())]
    assert [one for one in hooks if one in known] == known
    assert len(hooks) == sum(len(one["hooks_at_mm"]) for one in plan["works"])
    chain = [one.text for one in root.iter(f"{SVG}text") if one.get("data-kind")]
    assert chain == [str(one["length_mm"]) for row in plan["rows"] for one in row["pieces"]]
    assert any("tide & <7>" in (one.text or "") for one in root.iter(f"{SVG}text"))
    assert {one.tag.removeprefix(SVG) for one in root.iter()} <= {"svg", "title", "style", "rect", "text", "g", "line", "path"}


def test_every_limit_of_the_venue_is_kept(service: httpx.Client) -> None:
    """At the demo's venue: 50 mm at each end, 200 mm above the floor; two hooks above 10 kg or 900 mm; middles at 1450 mm."""
    plan = planned(service)
    assert [len(one["hooks_at_mm"]) for one in plan["works"]] == [1, 1, 2, 2]
    assert [(one["bottom_mm"] + one["top_mm"]) / 2 for one in plan["works"]] == [1450, 1450, 1450, 1450]
    assert [one["hooks_mm"][0]["y_mm"] for one in plan["works"][:3]] == [1840, 1640, 1695]
    assert "hooks_mm" not in plan["works"][3]
    assert "below its top edge" in plan["works"][3]["notes"][-1]
    assert plan["proof"]["proven"]
    tall = planned(service, works=[canvas("tall", 300, 2800)], obstacles=[])
    assert tall["works"][0]["bottom_mm"] == 200
    assert "hangs higher" in tall["works"][0]["notes"][0]
    assert all(len(sentence.split()) < 26 for sentence in plan["cautions"])


def test_what_does_not_fit_says_by_how_much_and_what_would_free_it(service: httpx.Client) -> None:
    """2 m of wall for 630 + 400 + 915 + 1200 mm, 50 mm at each end and three gaps of 100 mm: 1545 mm too wide."""
    plan = planned(service, wall_name=None, wall={"width_mm": 2000, "height_mm": 3200}, obstacles=[], gap_mm=100)
    assert (plan["fits"], plan["too_wide_mm"]) == (False, 1545)
    assert [one["kind"] for one in plan["would_fit"]] == ["more-rows", "fewer-works"]
    again = planned(
        service, wall_name=None, wall={"width_mm": 2000, "height_mm": 3200}, obstacles=[], gap_mm=100, rows=plan["would_fit"][0]["mm"]
    )
    assert again["fits"]
    close = planned(service, wall_name=None, wall={"width_mm": 3500, "height_mm": 3200}, obstacles=[], gap_mm=100)
    assert close["would_fit"][0] == {"kind": "smaller-gap", "mm": 85, "sentence": "With gaps of 85 mm instead of 100 mm it fits."}
    assert planned(service, wall_name=None, wall={"width_mm": 3500, "height_mm": 3200}, obstacles=[], gap_mm=85)["fits"]
    high = planned(service, line_mm=3000)
    assert (high["fits"], high["too_high_mm"]) == (False, 300)  # 3000 + 450 above a top of 3200 less 50
    assert high["would_fit"][0]["kind"] == "other-height"


SIZED = canvas("a", 400, 300)
BAD: list[tuple[Json, dict[str, str]]] = [
    ({"works": []}, {"/works": "at least one work"}),
    ({"works": [canvas("a", -400, 300)]}, {"/works/0/width_mm": "between 10 mm and 20,000 mm; −400 mm"}),
    ({"works": [SIZED, SIZED]}, {"/works/1/ref": "twice"}),
    ({"works": [canvas("a", "9 kg", 300)], "rows": 9}, {"/works/0/width_mm": "is a weight", "/rows": "from 1 to 4"}),
    ({"works": [{"ref": "a"}]}, {"/works/0/framed": "needs outer sizes"}),
    ({"works": [{"ref": "a", "framed": True}]}, {"/works/0/frame/width_mm": "outer", "/works/0/frame/height_mm": "outer"}),
    ({"works": [canvas(f"w{n}", 10, 10) for n in range(41)]}, {"/works": "At most 40 works can be planned at once; 41 were given."}),
    ({"works": [canvas("a", 1e300, 300)]}, {"/works/0/width_mm": ""}),
    ({"works": [canvas("a", 400, 300, wall_name="boardroom")]}, {"/works/0/wall_name": "another wall"}),
    ({"wall_name": "loby-north"}, {"/wall_name": "Did you mean “lobby-north”?"}),
    ({"wall": {"width_mm": 3000, "height_mm": 3000}}, {"/wall": "one of the two"}),
    ({"wall_name": None}, {"/wall": "one of the two"}),
    ({"wall_name": None, "wall": {"width_mm": -1, "height_mm": 1e9}}, {"/wall/width_mm": "between", "/wall/height_mm": "between"}),
    ({"obstacles": [{**SOFA, "left_mm": 6000}]}, {"/obstacles/0": "reaches beyond the wall, which is 6400 mm wide"}),
    ({"obstacles": [{**SOFA, "width_mm": -3}, {}]}, {
        "/obstacles/0/width_mm": "between 1 mm", "/obstacles/1/name": "missing", "/obstacles/1/left_mm": "missing",
        "/obstacles/1/width_mm": "missing", "/obstacles/1/height_mm": "missing",
    }),
    ({"obstacles": [SOFA] * 41}, {"/obstacles": "at most 40"}),
    ({"gap_mm": "15 ± 1 cm", "line_mm": "3 kg"}, {"/gap_mm": "without ±", "/line_mm": "is a weight"}),
    ({"gap_mm": 10**400}, {"/gap_mm": "not finite or far too large"}),
    ({"spacing": "gap", "wall_name": None, "wall": {"width_mm": 3000, "height_mm": 3000}, "gap_mm": None}, {}),
    ({"rows": 0, "align": "middle", "order": 3}, {"/rows": "from 1 to 4", "/align": "one of", "/order": "one of"}),
    ({"rows": [["a"], ["b"]]}, {"/rows": "every work once; look at “b”"}),
    ({"rows": [[]]}, {"/rows": "lists of refs"}),
    ({"spcing": "gap"}, {"/spcing": "Did you mean “spacing”?"}),
    ({"venue": "mouse"}, {"/venue": "There is no venue “mouse”."}),
]  # fmt: skip


@pytest.mark.parametrize(("more", "want"), BAD, ids=lambda one: str(one)[:60])
def test_bad_input_is_told_with_its_place(service: httpx.Client, more: Json, want: dict[str, str]) -> None:
    answer = service.post("/plans/wall", json={"wall_name": "lobby-north", "works": [SIZED], **more})
    if not want:  # the demo's venue has a gap of its own, which counts for any of its walls
        assert answer.status_code == 200, answer.text
        return
    assert answer.status_code == 422, answer.text
    told = {one["pointer"]: one["message"] for one in answer.json()["errors"]}
    assert told.keys() == want.keys()
    assert all(part in told[pointer] for pointer, part in want.items())


def test_what_is_no_request_at_all_is_refused(service: httpx.Client) -> None:
    assert service.post("/plans/wall", content=b"{", headers={"content-type": "application/json"}).status_code == 400
    assert service.post("/plans/wall", content=b"{}", headers={"content-type": "text/plain"}).status_code == 415
    listed = service.post("/plans/wall", json=[])
    assert (listed.status_code, listed.json()["errors"][0]["message"]) == (422, "A wall plan must be an object, in curly brackets.")
    assert service.post("/plans/wall?x=1", json=BODY).status_code == 422


@pytest.mark.parametrize(
    ("accept", "kind"),
    [
        ("*/*", "application/json"),
        ("image/svg+xml", "image/svg+xml"),
        ("image/svg+xml, */*;q=0.1", "image/svg+xml"),
        ("application/json, image/svg+xml;q=0.5", "application/json"),
        ("image/svg+xml;q=0", "application/json"),
        ("image/svg+xml;q=x", "application/json"),
    ],
)
def test_the_drawing_is_sent_to_whom_it_suits(service: httpx.Client, accept: str, kind: str) -> None:
    answer = service.post("/plans/wall", json=BODY, headers={"accept": accept})
    assert answer.headers["content-type"].split(";")[0] == kind
    assert answer.headers["vary"] == "accept"


def test_a_size_in_free_text_counts_as_in_an_evaluation(service: httpx.Client) -> None:
    written = {"ref": "mole-4", "framed": False, "as_written": {"dimensions": "H 70 cm, W 120 cm"}}
    work = planned(service, works=[*WORKS[:-1], written])["works"][-1]
    assert (work["ref"], work["width_mm"], work["height_mm"]) == ("mole-4", 1200, 700)
    unsaid = service.post("/plans/wall", json={**BODY, "works": [{**written, "as_written": {"dimensions": "70 x 120 cm"}}]})
    assert [one["pointer"] for one in unsaid.json()["errors"]] == ["/works/0/width_mm", "/works/0/height_mm"]


def test_a_frame_smaller_than_its_work_is_a_fault_and_is_not_hung(service: httpx.Client) -> None:
    odd = canvas("odd", "1 m", 500, framed=True, frame={"width_mm": "90 cm", "height_mm": "40 cm"})
    low = canvas("low", 600, 400, framed=True, frame={"width_mm": 700, "height_mm": 399})
    good = canvas("good", 600, 400, framed=True, frame={"width_mm": 600, "height_mm": 420})
    answer = service.post("/plans/wall", json={**BODY, "works": [odd, low, good]})
    assert answer.status_code == 422
    assert {one["pointer"]: one["message"] for one in answer.json()["errors"]} == {
        "/works/0/frame/width_mm": "The frame (900 × 400 mm) is smaller than the work (1000 × 500 mm); please check both.",
        "/works/1/frame/height_mm": "The frame (700 × 399 mm) is smaller than the work (600 × 400 mm); please check both.",
    }
    bare = {**odd, "framed": False}
    assert [one["width_mm"] for one in planned(service, works=[bare, good], obstacles=[])["works"]] == [1000, 600]


def test_remedies_are_worded_for_the_coordinator_who_plans(service: httpx.Client) -> None:
    weak = canvas(
        "weak", 600, 400, mass_kg=8, fittings={"kind": "d-rings"}, hanging={"points": 1, "ring_rating_kg": 90, "hook_rating_kg": 4}
    )
    (work,) = planned(service, works=[weak], obstacles=[])["works"]
    assert [one["remedy"] for one in work["said"] if one["rule"] == "hanging.fittings-hold"] == ["Use hooks rated for 32 kg or more."]
