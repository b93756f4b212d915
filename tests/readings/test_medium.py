"""The kind of work against labels made by hand before the classifier was, and words as artists write them."""

from collections import Counter

import pytest

from hangworthy.contract.reading import AsWritten
from hangworthy.contract.work import WorkFacts
from hangworthy.readings import RULES, read_line
from hangworthy.readings.media import TERMS
from hangworthy.readings.medium import read_medium
from readings.lines import HALVES, labels


@pytest.mark.parametrize("half", HALVES)
def test_the_kind_is_the_labelled_one(half: str) -> None:
    wrong = []
    for row in labels(half):
        kind, _, _ = read_medium(row["medium"])
        print(f"{row['medium']}: {kind.family or '?'}, {kind.kind or '?'} by {kind.rule}")
        if (kind.family or "", kind.kind or "") != (row["family"], row["kind"]):
            wrong.append(f"{row['medium']}: {kind.family}, {kind.kind} by {kind.rule}")
    assert len(labels(half)) == 150
    assert len(wrong) <= 0.02 * 150, wrong


def test_each_confidence_is_what_was_counted() -> None:
    tried, right = Counter[str](), Counter[str]()
    for row in labels("development"):
        kind, _, _ = read_medium(row["medium"])
        if kind.kind:
            tried[kind.rule] += 1
            right[kind.rule] += (kind.family, kind.kind) == (row["family"], row["kind"])
    counted = {name: rule.ground for name, rule in RULES.items() if isinstance(rule.ground, tuple) and not name.startswith("label-")}
    assert {rule: (right[rule], tried[rule]) for rule in tried} == counted


# Common practice, no source: what the words mean to anybody in the trade.
AS_ARTISTS_WRITE = [
    ("Oil on linen", "stretched-canvas", {"technique": "oil"}),
    ("acrylic on canvas", "stretched-canvas", {"technique": "acrylic"}),
    ("Öl auf Leinwand", "stretched-canvas", {"technique": "oil"}),
    ("Acryl auf Keilrahmen", "stretched-canvas", {"technique": "acrylic"}),
    ("Öl auf Leinwand auf Keilrahmen", "stretched-canvas", {"technique": "oil"}),
    ("Öl/Lw.", "stretched-canvas", {"technique": "oil"}),
    ("Öl a. Lwd.", "stretched-canvas", {"technique": "oil"}),
    ("Aquarell / Papier", "work-on-paper", {"technique": "watercolour"}),
    ("Tusche/Aquarell auf Papier", "work-on-paper", {}),
    ("Acryl auf Holz", "panel", {"technique": "acrylic"}),
    ("Eitempera auf Holztafel", "panel", {"technique": "tempera"}),
    ("Mischtechnik auf Leinwand", "stretched-canvas", {"technique": "mixed"}),
    ("Aquarell auf Papier", "work-on-paper", {"technique": "watercolour"}),
    ("Bleistift auf Papier", "work-on-paper", {"technique": "graphite"}),
    ("Radierung auf Bütten", "original-print", {"process": "etching"}),
    ("Siebdruck", "original-print", {"process": "screenprint"}),
    ("Linocut on Japanese paper", "original-print", {"process": "linocut"}),
    ("Screenprint on paper, ed. 12/50", "original-print", {"process": "screenprint"}),
    ("C-print", "photograph", {"process": "chromogenic"}),
    ("Fotografie, Silbergelatineabzug", "photograph", {"process": "gelatin-silver"}),
    ("Art print on paper", "reproduction", {}),
    ("Giclée print on paper", None, {"process": "inkjet"}),
    ("Bronze", None, {}),
    ("Bronze on a marble base", "sculpture", {}),
    ("Tapestry, wool", "textile", {}),
    ("charcoal and pastel on paper", "work-on-paper", {}),
    ("Qzx on wrmpf", None, {}),
    ("", None, {}),
]


@pytest.mark.parametrize(("text", "kind", "facts"), AS_ARTISTS_WRITE, ids=lambda value: str(value)[:30])
def test_words_of_artists(text: str, kind: str | None, facts: dict[str, str]) -> None:
    read, found, unsure = read_medium(text)
    assert read.kind == kind
    said = {one.name: one.value for one in found if one.name in ("technique", "process")}
    assert said == facts
    assert (kind is None) == any("kind" in one.names for one in unsure)


def test_of_several_materials_the_main_one_is_asked() -> None:
    _, found, unsure = read_medium("Ink and watercolour on paper")
    assert [one.value for one in found if one.name == "technique"] == []
    assert [one.choices for one in unsure if "technique" in one.names] == [("ink", "watercolour", "mixed")]


@pytest.mark.parametrize(("text", "asked"), [("Pastel on paper", True), ("Kreide auf Papier", True), ("Oil pastel on paper", False)])
def test_powder_is_asked_since_fixative_is_not_told(text: str, asked: bool) -> None:
    _, found, unsure = read_medium(text)
    assert any("friable" in one.names for one in unsure) == asked
    assert "friable" not in {one.name for one in found}


def test_every_value_is_one_that_the_facts_know() -> None:
    types = WorkFacts.types()
    known = {role: set(types[fact].__args__) for role, fact in (("drawn", "technique"), ("printed", "process"), ("carved", "kind"))}
    homes = {
        "drawn": "drawn",
        "dusty": "drawn",
        "painted": "drawn",
        "printed": "printed",
        "photo": "printed",
        "unclear": "printed",
        "carved": "carved",
    }
    strays = [(phrase, term) for phrase, term in TERMS.items() if term.value and term.value not in known[homes[term.role]]]
    assert strays == []


@pytest.mark.parametrize(
    ("text", "framed"),
    [
        ("oil on canvas, framed", True),
        ("Öl auf Leinwand (gerahmt)", True),
        ("Etching on paper; Unframed ", False),
        ("Radierung, ungerahmt", False),
        ("Oil on canvas, to be framed", None),
        ("Oil on canvas, not framed", None),
        ("Oil on canvas, framed, unframed", None),
        ("framed oil on canvas", None),
    ],
)
def test_a_frame_is_read_where_nothing_else_is_said(text: str, framed: bool | None) -> None:
    said = [one for one in read_medium(text)[1] if one.name == "framed"]
    assert [one.value for one in said] == ([] if framed is None else [framed])
    assert all(text[one.start : one.end].lower() in ("framed", "unframed", "gerahmt", "ungerahmt") for one in said)


def test_dimensions_and_medium_that_differ_about_the_frame_are_asked() -> None:
    told = read_line(AsWritten(dimensions="60 x 40 cm, framed 80 x 60 cm (h x w)", medium="oil on canvas, unframed"))
    assert "framed" not in {one.name for one in told.found}
    assert ("framed",) in [one.names for one in told.unsure if one.rule == "framed-open"]
    told = read_line(AsWritten(dimensions="60 x 40 cm, framed 80 x 60 cm (h x w)", medium="oil on canvas, framed"))
    assert [one.value for one in told.found if one.name == "framed"] == [True]
