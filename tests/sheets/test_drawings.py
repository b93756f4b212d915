"""Drawings: the coordinates read back from the SVG are the figures of the findings, to scale. Expected values: arithmetic by hand."""

import math
import re
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest

from hangworthy.contract import Box, Dot, Drawing, Line, Note, Span, View
from hangworthy.contract.finding import Evaluation, Finding
from hangworthy.engine.drawings import draw
from hangworthy.sheets.again import Again, told
from hangworthy.sheets.svg import SCALES, picture
from hangworthy.sheets.words import tongue
from sheets.making import CANVAS, CROPPED, MATTED, catalogue, evaluator, told_of

SVG = "{http://www.w3.org/2000/svg}"


def views(work: dict[str, Any], name: str, room: tuple[float, float] = (90.0, 60.0)) -> list[ElementTree.Element]:
    made = told_of([work])
    drawn = next(one for one in made.drawings[work["ref"]] if f"{one.pack}.{one.sketch.name}" == name)
    say = tongue("en")
    words = lambda key, named: drawn.says[key].format(**named)  # noqa: E731 - one line says it
    return [ElementTree.fromstring(picture(view, words, say.number, "a drawing", room).svg) for view in drawn.drawing.views]


def finding(work: dict[str, Any], rule: str) -> Finding:
    return next(one for one in told_of([work]).answer.works[0].findings if one.rule == rule)


def parts(root: ElementTree.Element, name: str) -> list[dict[str, float]]:
    found = []
    for one in root.iter():
        if one.get("data-part") == name:
            found.append({key: float(value) for key, value in one.attrib.items() if re.fullmatch(r"-?[\d.]+", value)})
    return found


def texts(root: ElementTree.Element) -> list[str]:
    return ["".join(one.itertext()) for one in root.iter(f"{SVG}text")]


def test_the_crop_window_leaves_what_the_finding_says_on_each_side() -> None:
    """625 × 920 into 600 × 900 with 15 mm agreed left and right (14 free) and 10 at top and bottom: 12.5 and 10 go, evenly."""
    (root,) = views(CROPPED, "paper.crop-window")
    (sheet,), (window,) = parts(root, "sheet"), parts(root, "window")
    assert (sheet["x"], sheet["y"], sheet["width"], sheet["height"]) == (0, 0, 625, 920)
    assert (window["x"], window["y"], window["width"], window["height"]) == (12.5, 10, 600, 900)
    bench = finding(CROPPED, "paper.has-a-frame").coordinator
    assert "top 10 mm, right 12.5 mm, bottom 10 mm, left 12.5 mm" in bench
    assert sorted(texts(root)) == sorted(["625", "920", "10", "10", "12.5", "12.5", "must stay"])
    (stays,) = parts(root, "stays")
    assert (stays["x"], stays["y"], stays["width"], stays["height"]) == (14, 30, 597, 845)


def test_the_mat_adds_up_to_its_frame_and_its_narrowest_border_is_the_findings() -> None:
    """350 × 500 in an A2 frame turned: the window laps 3 mm over each side; 6 mm more at the bottom than at the top (own policy)."""
    front, cut = views(MATTED, "paper.mat")
    (frame,), (window,), (sheet,) = parts(front, "frame"), parts(front, "window"), parts(front, "sheet")
    assert (frame["width"], frame["height"]) == (594, 420)
    assert (window["x"], window["y"], window["width"], window["height"]) == (50, 35, 494, 344)
    assert (sheet["x"], sheet["y"], sheet["width"], sheet["height"]) == (47, 32, 500, 350)
    borders = (window["x"], window["y"], frame["height"] - window["y"] - window["height"])
    assert min(borders) == finding(MATTED, "paper.mat-proportions").measured == 35
    assert borders[2] - borders[1] == 6
    (mat,), (wall,), (lap,) = parts(cut, "mat"), parts(cut, "rebate wall"), parts(cut, "dimension lap")
    assert (mat["width"], mat["height"]) == (50, 3.2)
    assert abs(wall["y2"] - wall["y1"]) == 10
    assert lap["x2"] - lap["x1"] == pytest.approx(3)


def test_the_layers_of_a_frame_lie_in_its_rebate_as_thick_as_they_are() -> None:
    work = {
        **MATTED, "framed": True, "frame": {"rebate_depth_mm": 14}, "glazing": {"material": "acrylic", "thickness_mm": 3, "gap_mm": 3.2},
        "paper": {"thickness_mm": 0.5, "backing_mm": 5, "mat": "cotton-rag"},
    }  # fmt: skip
    (root,) = views(work, "paper.rebate")
    layers = [parts(root, name)[0] for name in ("pane", "gap", "sheet", "backing")]
    assert [one["height"] for one in layers] == [3, 3.2, 0.5, 5]
    ends = [one["y"] + one["height"] for one in layers]
    assert ends == pytest.approx([3, 6.2, 6.7, 11.7])
    assert finding(work, "paper.rebate-deep-enough").measured == pytest.approx(ends[-1])
    (rebate,) = parts(root, "dimension rebate")
    assert abs(rebate["y2"] - rebate["y1"]) == finding(work, "paper.rebate-deep-enough").at_most == 14


def test_braces_stand_where_no_bar_is_left_too_long() -> None:
    """1680 mm against 1500 mm: one brace in the middle leaves 840 mm."""
    (root,) = views(CANVAS, "canvas.braces")
    (brace,) = parts(root, "upright brace")
    assert brace["x"] + brace["width"] / 2 == 840
    spans = parts(root, "dimension free")
    assert [one["x2"] - one["x1"] for one in spans] == [840, 840]
    found = finding(CANVAS, "canvas.braced")
    assert found.measured == 1680
    assert found.at_most is not None
    assert max(one["x2"] - one["x1"] for one in spans) <= found.at_most


def test_the_corner_that_stands_off_is_the_findings_and_stands_off_by_its_figure() -> None:
    around, side = views(CANVAS, "canvas.standing-corner")
    (corner,) = parts(around, "standing corner")
    assert (corner["cx"], corner["cy"]) == (1680, 900)  # the third of four, clockwise from the upper left
    (gap,) = parts(side, "dimension gap")
    assert abs(gap["y2"] - gap["y1"]) == finding(CANVAS, "canvas.lies-flat").measured == 9
    (back,) = parts(side, "back of the bar")
    falls = (back["y2"] - back["y1"]) / (back["x2"] - back["x1"])
    assert falls == pytest.approx(9 / 1680, rel=1e-3)


def test_hooks_are_where_the_finding_says_they_go() -> None:
    """A wall of 6400 mm, one work of 1680 mm: 2360 mm free at each end; hooks 900 mm apart about its middle; 1450 + 450 − 120 high."""
    wall, close = views(CANVAS, "hanging.hooks-on-wall")
    hooks = parts(wall, "hook")
    assert [one["cx"] for one in hooks] == [2750, 3650]
    assert {-one["cy"] for one in hooks} == {1780} == {finding(CANVAS, "hanging.hook-heights").measured}
    assert "Hooks 1780 mm above the floor, 2750 mm and 3650 mm" in finding(CANVAS, "hanging.hook-places").coordinator
    (work,), (room,) = parts(wall, "work"), parts(wall, "wall")
    assert (work["x"], work["width"], -work["y"] - work["height"]) == (2360, 1680, 1000)
    assert (room["width"], room["height"]) == (6400, 3200)
    assert [(one["cx"], one["cy"]) for one in parts(close, "hook")] == [(390, 120), (1290, 120)]


def test_without_a_wall_the_hooks_are_drawn_above_the_floor() -> None:
    work = {key: value for key, value in CANVAS.items() if key != "wall_name"}
    (root,) = views(work, "hanging.hook-height")
    (hooks,) = parts(root, "dimension hooks")
    assert abs(hooks["y2"] - hooks["y1"]) == 1780


@pytest.mark.parametrize("room", [(40.0, 30.0), (70.0, 48.0), (180.0, 120.0)])
def test_a_picture_is_to_scale_and_as_large_as_usual_scales_allow(room: tuple[float, float]) -> None:
    for root in (*views(CANVAS, "canvas.braces", room), *views(MATTED, "paper.mat", room)):
        _, _, width, height = (float(one) for one in root.attrib["viewBox"].split())
        scale = float(root.attrib["data-scale"])
        assert float(root.attrib["width"].removesuffix("mm")) * scale == pytest.approx(width, rel=1e-2)
        assert float(root.attrib["height"].removesuffix("mm")) * scale == pytest.approx(height, rel=1e-2)
        assert scale in SCALES


def test_nothing_reaches_out_of_a_picture_and_everything_is_grey() -> None:
    for name in ("canvas.braces", "canvas.standing-corner", "hanging.hooks-on-wall"):
        for root in views(CANVAS, name):
            left, top, width, height = (float(one) for one in root.attrib["viewBox"].split())
            for one in root.iter():
                for x, y in (("x", "y"), ("x1", "y1"), ("x2", "y2"), ("cx", "cy")):
                    if x in one.attrib and "transform" not in one.attrib:
                        assert left <= float(one.attrib[x]) <= left + width
                        assert top <= float(one.attrib[y]) <= top + height
                for colour in (one.get("fill"), one.get("stroke")):
                    assert colour is None or colour == "none" or len(set(re.findall(r"[0-9a-f]", colour))) == 1 or colour == "#ececec"


def test_words_in_a_drawing_cannot_break_out_of_it() -> None:
    view = View((Box(0, 0, 10, 10, part='"><script>'), Note(5, 5, "a", named={"x": "</text><script>alert(1)</script>"})))
    made = picture(view, lambda key, named: str(named["x"]), str, 'label"><script>', (50, 50))
    root = ElementTree.fromstring(made.svg)
    assert [one.tag for one in root.iter() if one.tag.endswith("script")] == []


def test_every_shape_is_drawn() -> None:
    shapes = (Line(0, 0, 5, 0), Box(0, 0, 5, 5, fill="hatched"), Dot(1, 1), Note(1, 1, "a"), Span(0, 0, 5, 0, "below"), Span(0, 0, 3, 4))
    root = ElementTree.fromstring(picture(View(shapes), lambda key, named: "words", str, "all", (50, 50)).svg)
    tags = {one.tag.removeprefix(SVG) for one in root.iter()}
    assert {"line", "rect", "circle", "text", "path"} <= tags
    assert {"5.0", "words"} <= set(texts(root))
    assert math.isclose(Span(0, 0, 3, 4).length, 5.0)


def test_a_drawing_is_left_out_when_its_finding_is_answered_otherwise_today() -> None:
    """As if the limits had changed since: the stored finding has another figure than the one that is asked for now."""
    again = told_of([CANVAS]).answer
    answer = msgspec.json.decode(msgspec.json.encode(again), type=Evaluation)  # as a store gives it back
    stale = next(one for one in answer.works[0].findings if one.rule == "canvas.lies-flat")
    stale.measured = 8.0
    made = told(answer, [CANVAS], Again(evaluator(), _read([CANVAS]), again), "en")
    names = {one.sketch.name for one in made.drawings["tide-7"]}
    assert "standing-corner" not in names
    assert "braces" in names
    assert made.changed == {"tide-7"}
    assert told(answer, [CANVAS], None, "en").drawings == {}


def _read(works: list[dict[str, Any]]) -> list[Any]:
    return [msgspec.convert(work, catalogue().schema.work) for work in works]


def test_a_sketch_that_fails_spoils_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    ruleset, reads = evaluator().ruleset, evaluator().read(_read([CANVAS]))
    whole = {one.sketch.name for one in draw(ruleset, reads)[0]}

    def raises(*_: Any) -> Drawing:
        raise RuntimeError("a pack's fault")

    broken = tuple(
        msgspec.structs.replace(one, sketch=msgspec.structs.replace(one.sketch, function=raises)) if one.sketch.name == "braces" else one
        for one in ruleset.sketches
    )
    monkeypatch.setattr(ruleset, "sketches", broken)
    assert {one.sketch.name for one in draw(ruleset, reads)[0]} == whole - {"braces"}
    with pytest.raises(RuntimeError, match="a pack's fault"):
        draw(ruleset, reads, strict=True)
