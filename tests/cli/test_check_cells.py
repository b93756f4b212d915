"""Columns of a sheet headed with a unit, cells that say that nothing is known, lists with commas, and choices as a form calls them."""

from pathlib import Path
from typing import Any

import msgspec
import pytest

from cli.test_check_sheets import Captured, book, faults, same_as
from cli.test_check_sheets import put as file_of
from hangworthy.cli import main
from hangworthy.cli.cells import Column, put
from hangworthy.cli.columns import Facts
from hangworthy.cli.grids import Cell
from hangworthy.cli.headings import headed, stem
from hangworthy.contract import Section, WorkFacts, ask
from hangworthy.contract.effect import Stage
from hangworthy.contract.venue import WallFacts
from hangworthy.engine.schema import compose

# heading, cell -> what the same work says in JSON of its width
HEADED = [
    ("Width (cm)", "60,5", "60,5 cm"),
    ("width [in]", "24 1/2", "24 1/2 in"),
    ("Breite in cm", "61 ± 1", "61 ± 1 cm"),
    ("Breite (in cm)", "61", "61 cm"),
    ("Width, cm", "61", "61 cm"),
    ("Width inches", "24", "24 in"),
    ("width_cm", "61", "61 cm"),
    ("/width_cm", "61", "61 cm"),
    ("Width (cm)", "610 mm", "610 mm"),  # a unit of its own counts
    ("Width (in)", "5' 3\"", "5' 3\""),
    ("Width (mm)", "610", "610"),
    ("width_mm", "610", "610"),
    ("Width", "610", "610"),
]


@pytest.mark.parametrize(("heading", "cell", "meant"), HEADED)
def test_a_unit_in_the_heading_is_that_of_the_columns_numbers(
    heading: str, cell: str, meant: str, tmp_path: Path, capsys: Captured
) -> None:
    same_as(capsys, file_of(tmp_path, f"ref;{heading};title\na;{cell};x\n"), [{"ref": "a", "width_mm": meant, "title": "x"}], tmp_path)


def test_a_spreadsheets_numbers_take_the_unit_as_well(tmp_path: Path, capsys: Captured) -> None:
    sheet = book(tmp_path, ["ref", "Höhe (cm)", "mass_lb", "Rahmenbreite (cm)"], ["a", 60.5, 5, None])
    same_as(capsys, sheet, [{"ref": "a", "height_mm": "60.5 cm", "mass_kg": "5 lb"}], tmp_path)


def test_a_mapped_column_keeps_the_unit_of_its_heading(tmp_path: Path, capsys: Captured) -> None:
    file = file_of(tmp_path, "ref;Mein Maß (cm);Breite außen (roh)\na;60,5;700\n")
    work = {"ref": "a", "height_mm": "60,5 cm", "frame": {"width_mm": "700"}}
    same_as(capsys, file, [work], tmp_path, "--map", "Mein Maß (cm)=height_mm", "--map", "Breite außen (roh)=frame.width_mm")


def test_a_heading_with_a_unit_is_never_told_a_fact_in_another(tmp_path: Path, capsys: Captured) -> None:
    file = file_of(tmp_path, "ref;Breitte (cm);Width (kg);Tiefe (kg)\na;1;2;3\n")
    assert faults(capsys, file, "--map", "Tiefe (kg)=depth_mm") == [
        "row 1, column B: There is no fact “Breitte (cm)”. Did you mean “width_mm”? "
        "Map it with --map “Breitte (cm)=width_mm”; its numbers are then read in cm.",
        "row 1, column C: “kg” is no unit for width_mm; put the heading right, or leave the column out with --map “Width (kg)=”.",
        "row 1, column D: “kg” is no unit for depth_mm; put the heading right, or leave the column out with --map “Tiefe (kg)=”.",
    ]
    twice = file_of(tmp_path, "ref;Width (cm);Width (in)\na;61;24\n")
    assert faults(capsys, twice) == ["row 1, column C: This column holds the same fact as B; keep one of them."]


def test_what_is_far_from_every_fact_is_not_guessed_at(tmp_path: Path, capsys: Captured) -> None:
    assert faults(capsys, file_of(tmp_path, "ref;Notes\na;x\n")) == [
        "row 1, column B: There is no fact “Notes”. Map it with --map “Notes=FACT”, or leave it out with --map “Notes=”."
    ]


@pytest.mark.parametrize("heading", ["", " ", "(cm)", "_cm", "cm", "a" * 5000 + " cm", "(" * 5000, " in " * 2000, "_" * 5000])
def test_a_heading_of_any_form_is_parted(heading: str) -> None:
    parted = headed(heading)
    assert not parted.unit or parted.name


def test_the_stem_of_a_fact_is_its_path_without_its_unit() -> None:
    class Sizes(Section):
        """Facts in units of several words, and two facts that differ in their unit only."""

        rebate_width_mm: float = ask("a", "a?")
        areal_mass_kg_m2: float = ask("b", "b?")
        dose_lx_hours: float = ask("c", "c?")
        near_mm: float = ask("d", "d?")
        near_m: float = ask("e", "e?")
        marks: tuple[str, ...] = ask("f", "f?")

    schema = compose(WorkFacts, WallFacts, {"sizes": [Sizes]}, Stage, 500)
    stems = {path: stem(slot) for path, slot in schema.by_path.items() if path.startswith("sizes.") and slot.unit}
    assert stems == {
        "sizes.rebate_width_mm": "sizes.rebate_width",
        "sizes.areal_mass_kg_m2": "sizes.areal_mass",
        "sizes.dose_lx_hours": "sizes.dose",
        "sizes.near_mm": "sizes.near",
        "sizes.near_m": "sizes.near",
    }
    facts = Facts(schema, {})
    found = facts.column(0, "sizes.rebate_width_cm")
    assert isinstance(found, Column)
    assert (found.slot.path, found.unit) == ("sizes.rebate_width_mm", "cm")
    for strange in ("sizes.rebate_cm", "sizes.near_cm"):
        assert isinstance(facts.column(0, strange), str)
    marks, work = facts.column(0, "sizes.marks"), dict[str, Any]()
    assert isinstance(marks, Column)
    assert put(work, marks, Cell("left, torn; right")) == ""
    assert put(work, msgspec.structs.replace(marks, slot=schema.by_path["title"]), Cell("a, b")) == ""
    assert work == {"sizes": {"marks": ["left, torn", "right"]}, "title": "a, b"}
    assert put(work, marks, Cell("left, torn")) == ""
    assert work["sizes"]["marks"] == ["left, torn"]


def test_cells_that_say_not_known_are_left_out_and_told_once(tmp_path: Path, capsys: Captured) -> None:
    text = "ref;kind;width_mm;height_mm;framed;finished_on;title\na;n/a;N/A;-;unknown;k. A.;?\nb;Unbekannt;–;?;k.A.;;-\n"
    assert main(["check", "--format", "json", file_of(tmp_path, text)]) == main(
        [
            "check",
            "--format",
            "json",
            file_of(tmp_path, '{"works": [{"ref": "a", "title": "?"}, {"ref": "b", "title": "-"}]}', "works.json"),
        ]
    )
    out, err = capsys.readouterr()
    first, second = out.splitlines()
    assert first == second
    (note,) = err.splitlines()
    first_three = "“n/a” in row 2, column B; “N/A” in row 2, column C; “-” in row 2, column D"
    assert note.endswith(f"works.csv: taken as not known, as if left empty: {first_three}; and 6 more.")


def test_a_choice_may_be_what_a_form_calls_it_in_any_language(tmp_path: Path, capsys: Captured) -> None:
    file = file_of(tmp_path, "ref;kind\na;Stretched canvas\nb;LEINWAND auf  Keilrahmen\nc;Original-Print\n")
    works = [{"ref": "a", "kind": "stretched-canvas"}, {"ref": "b", "kind": "stretched-canvas"}, {"ref": "c", "kind": "original-print"}]
    same_as(capsys, file, works, tmp_path)


def test_a_choice_is_not_guessed_from_one_of_its_words(tmp_path: Path, capsys: Captured) -> None:
    told = faults(capsys, file_of(tmp_path, "ref;kind\na;Leinwand\nb;Canvas\nc;Bild\n"))
    assert told[:2] == [
        "row 2, column B (kind): “Leinwand” is no choice for kind. Did you mean “stretched-canvas”?",
        "row 3, column B (kind): “Canvas” is no choice for kind. Did you mean “stretched-canvas”?",
    ]
    assert told[2].startswith("row 4, column B (kind): Kind of work cannot be “Bild”. The choices are: ")
    assert len(told) == 3


@pytest.mark.parametrize("cell", ["0, 0, 6 ± 1, 0", "0,0,6 ± 1,0", "0; 0; 6 ± 1; 0"])
def test_a_list_is_parted_by_commas_where_these_can_be_nothing_else(cell: str, tmp_path: Path, capsys: Captured) -> None:
    file = book(tmp_path, ["ref", "canvas.corner_gaps_mm", "canvas.bar_condition"], ["a", cell, "split, loose"])
    canvas = {"corner_gaps_mm": [part.strip() for part in cell.replace(",", ";").split(";")], "bar_condition": ["split", "loose"]}
    same_as(capsys, file, [{"ref": "a", "canvas": canvas}], tmp_path)


def test_a_list_whose_commas_may_be_decimal_ones_is_not_guessed_at(tmp_path: Path, capsys: Captured) -> None:
    told = faults(capsys, file_of(tmp_path, "ref;canvas.corner_gaps_mm;canvas.diagonals_mm\na;0, 0, 6;600,5\n"))
    said = "Part the values of this list with “;”, as in “0; 0; 6; 0”: a comma may be a decimal one."
    assert told == [f"row 2, column B (canvas.corner_gaps_mm): {said}", f"row 2, column C (canvas.diagonals_mm): {said}"]


def test_one_number_is_no_list_of_four(tmp_path: Path, capsys: Captured) -> None:
    (said,) = faults(capsys, book(tmp_path, ["ref", "canvas.corner_gaps_mm"], ["a", 5]))
    assert said.endswith("Corner gaps must be a list of 4 measurements; 1 were given.")


def test_words_where_a_number_belongs_are_told_to_leave_it_empty(tmp_path: Path, capsys: Captured) -> None:
    cell = 'row 2, column B (width_mm): “large” is not a measurement we can read: please write "61 cm", "24 1/2 in" or 610, '
    assert faults(capsys, file_of(tmp_path, "ref;width_mm\na;large\n")) == [cell + "or leave it empty if not known."]
    told = faults(capsys, file_of(tmp_path, '{"ref": "a", "width_mm": "n/a"}', "work.json"))
    assert told[0].endswith("or leave it out if not known.")
    told = faults(capsys, file_of(tmp_path, '{"ref": "a", "kind": "Canvas"}', "work.json"))
    assert "Did you mean “stretched-canvas”?" in told[0]
