"""The pane in front of a work: read where a text says so outright, asked where it may be several, and never taken from a medium."""

import pytest

from hangworthy.contract.reading import AsWritten
from hangworthy.contract.work import WorkFacts
from hangworthy.readings import read_line
from hangworthy.readings.glazing import GLASSES, panes

TOLD = [
    ("framed behind acrylic glass", "acrylic", True),
    ("gerahmt hinter Acrylglas", "acrylic", True),
    ("Aquarell auf Papier, unter Plexiglas® gerahmt", "acrylic", True),
    ("Etching on paper, framed under UV acrylic", "acrylic", True),
    ("Aquarell auf Papier, mit Plexiglas gerahmt", "acrylic", True),
    ("Lithograph, in acrylic glazing", "acrylic", None),
    ("Lithografie (unter Plexiglas)", "acrylic", None),
    ("Lithografie, im Holzrahmen hinter Acrylglas", "acrylic", None),
    ("Lithograph, framed behind polycarbonate", "polycarbonate", True),
    ("Lithograph, framed behind laminated glass", "laminated-glass", True),
    ("Lithografie, gerahmt hinter VSG", "laminated-glass", True),
    ("Lithograph, framed with tempered glass", "toughened-glass", True),
    ("Lithografie, hinter Floatglas gerahmt", "float-glass", True),
    ("Oil on canvas, framed without glass", "none", True),
    ("Öl auf Leinwand, ohne Glas gerahmt", "none", True),
    ("Radierung, unverglast", "none", None),
]


@pytest.mark.parametrize(("text", "pane", "framed"), TOLD)
def test_a_pane_is_read_where_the_text_says_so_outright(text: str, pane: str, framed: bool | None) -> None:
    for written in (AsWritten(medium=text), AsWritten(dimensions=f"60 x 40 cm (h x w); {text}")):
        said = {one.name: one for one in read_line(written).found}
        assert said["glazing"].value == pane
        assert (said["framed"].value if "framed" in said else None) is framed
        assert said["glazing"].rule == "glazing-told"
    assert said["width"].value == 400


@pytest.mark.parametrize(
    ("text", "rule", "choices"),
    [
        ("Watercolour on paper, framed behind glass", "glass-open", GLASSES),
        ("Aquarell auf Papier, unter Glas gerahmt", "glass-open", GLASSES),
        ("Aquarell auf Papier, gerahmt hinter entspiegeltem Museumsglas", "glass-open", GLASSES),
        ("Radierung auf Papier (hinter Glas)", "glass-open", GLASSES),
        ("Etching, framed and glazed", "pane-open", (*GLASSES, "acrylic", "polycarbonate")),
        ("Radierung, gerahmt und verglast", "pane-open", (*GLASSES, "acrylic", "polycarbonate")),
        ("Etching, framed behind glass; framed behind acrylic", "glazing-open", (*GLASSES, "acrylic", "polycarbonate")),
    ],
)
def test_which_pane_is_asked_where_it_may_be_several(text: str, rule: str, choices: tuple[str, ...]) -> None:
    told = read_line(AsWritten(medium=text))
    assert "glazing" not in {one.name for one in told.found}
    assert [(one.rule, one.choices) for one in told.unsure if "glazing" in one.names] == [(rule, choices)]


@pytest.mark.parametrize(
    "text",
    [
        "Glass", "Pigment on glass", "Wood, glass and ceramic", "Steel, aluminium and perspex", "Screenprint on paper and Perspex",
        "Öl hinter Glas", "Hinterglasmalerei, gerahmt", "painted under glass and framed", "C-print mounted under Plexiglas, framed",
        "C-Print unter Acrylglas kaschiert", "Photograph mounted onto acrylic glass", "Oil under acrylic varnish", "Stoneware, glazed",
        "Stoneware, unglazed", "to be framed behind glass", "wird hinter Glas gerahmt", "nicht unter Glas gerahmt",
        "Spannrahmen hinter Glas", "framed behind glass or acrylic", "a frame with glass", "framed behind fibreglass",
        "seen behind the glass sheet of a window",
    ],
)  # fmt: skip
def test_what_a_work_is_made_of_is_no_pane(text: str) -> None:
    assert panes(text) == []
    assert "glazing" not in {name for one in read_line(AsWritten(medium=text, dimensions=text)).unsure for name in one.names}


def test_a_pane_is_nothing_that_the_work_is_made_of() -> None:
    for text in ("Oil on canvas, framed behind acrylic glass", "Öl auf Leinwand, gerahmt hinter Glas"):
        assert [one.value for one in read_line(AsWritten(medium=text)).found if one.name == "kind"] == ["stretched-canvas"]


def test_texts_that_name_different_panes_are_asked() -> None:
    told = read_line(AsWritten(medium="Etching, framed behind acrylic", dimensions="40 x 30 cm; framed behind laminated glass"))
    assert "glazing" not in {one.name for one in told.found}
    assert "glazing-open" in {one.rule for one in told.unsure}
    same = read_line(AsWritten(medium="Etching, framed behind acrylic", dimensions="40 x 30 cm; framed behind perspex"))
    assert [one.value for one in same.found if one.name == "glazing"] == ["acrylic"]
    assert same.unread == ()


def test_the_fact_takes_it_up() -> None:
    from hangworthy.contract.work import GlazingFacts

    assert GlazingFacts.asks["material"].reads == "glazing"
    assert WorkFacts.asks["framed"].reads == "framed"
