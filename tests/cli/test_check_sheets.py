"""Sheets of works, CSV and XLSX: columns named by facts, what spreadsheets do to cells, and every fault with its row and column."""

import csv
import io
import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from hangworthy.cli import main

Captured = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "HANGWORTHY_VENUES", "HANGWORTHY_DEFAULT_VENUE", "HANGWORTHY_SERVER", "HANGWORTHY_KEY"):
        monkeypatch.delenv(name, raising=False)


def put(folder: Path, content: str | bytes, name: str = "works.csv") -> str:
    file = folder / name
    file.write_bytes(content.encode() if isinstance(content, str) else content)
    return str(file)


def book(folder: Path, *rows: Any, name: str = "works.xlsx", alter: Any = None) -> str:
    made = Workbook()
    sheet = made.active
    for row in rows:
        sheet.append(row)
    if alter:
        alter(made, sheet)
    made.save(folder / name)
    return str(folder / name)


def same_as(capsys: Captured, file: str, works: Any, tmp_path: Path, *options: str) -> None:
    """A sheet gives, to the byte, what the same works give in JSON."""
    expected = tmp_path / "expected.json"
    expected.write_text(json.dumps({"works": works}))
    code = main(["check", "--format", "json", str(expected)])
    wanted = capsys.readouterr()
    assert not wanted.err
    assert main(["check", "--format", "json", file, *options]) == code
    found = capsys.readouterr()
    assert (found.out, found.err) == (wanted.out, "")


def faults(capsys: Captured, *arguments: str) -> list[str]:
    assert main(["check", *arguments]) == 2
    out, err = capsys.readouterr()
    assert not out
    return [line.partition(": ")[2] for line in err.splitlines()]


CANVAS = {
    "kind": "stretched-canvas",
    "width_mm": "1,2 m",
    "height_mm": 900,
    "price": "1450.00",
    "currency": "EUR",
    "finished_on": "2026-03-31",
}
WORK = {
    "ref": "w-1",
    "title": "Größer",
    **CANVAS,
    "canvas": {"corner_gaps_mm": [0, 0, "6 ± 1", 0], "keyed": True, "bar_condition": ["split", "loose"]},
}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_german_csv_is_read_whatever_its_encoding(encoding: str, tmp_path: Path, capsys: Captured) -> None:
    text = (
        "ref;title;kind;width_mm;height_mm;price;currency;finished_on;canvas.corner_gaps_mm;canvas.keyed;canvas.bar_condition\r\n"
        'w-1;Größer;Stretched-Canvas;1,2 m;900;1450,00;EUR;31.03.2026;"0; 0; 6 ± 1; 0";ja;"split; loose"\r\n;;;;;;;;;;\r\n'
    )
    same_as(capsys, put(tmp_path, text.encode(encoding)), [{**WORK, "height_mm": "900"}], tmp_path)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_columns_are_named_by_facts_in_every_spelling(separator: str, tmp_path: Path, capsys: Captured) -> None:
    names = [
        "ref",
        "/canvas/keyed",
        "Canvas.Corner_Gaps_mm.0",
        "canvas.corner_gaps_mm.1",
        "canvas/corner_gaps_mm/2",
        "canvas.corner_gaps_mm.3",
    ]
    row = ["a", "no", "0", "1", "2 ± 1", "1/8 in"]
    text = "\n".join(separator.join(cells) for cells in (names, row))
    same_as(
        capsys, put(tmp_path, text), [{"ref": "a", "canvas": {"keyed": False, "corner_gaps_mm": ["0", "1", "2 ± 1", "1/8 in"]}}], tmp_path
    )


def test_the_line_of_the_separator_and_rows_of_comment_are_passed_over(tmp_path: Path, capsys: Captured) -> None:
    same_as(
        capsys, put(tmp_path, 'sep=;\nref;width_mm\n"# What is it?";"How wide?"\na;40 cm\n'), [{"ref": "a", "width_mm": "40 cm"}], tmp_path
    )


def test_columns_can_be_mapped_and_passed_over(tmp_path: Path, capsys: Captured) -> None:
    file = put(tmp_path, "Nummer,Breite  (cm),Notiz\na,40 cm,x\n")
    maps = [put(tmp_path, '{"Nummer": "ref", "Notiz": ""}', "map.json"), put(tmp_path, '"Nummer" = "ref"\nNotiz = ""\n', "map.toml")]
    for one in maps:
        same_as(capsys, file, [{"ref": "a", "width_mm": "40 cm"}], tmp_path, "--map", one, "--map", "Breite (cm)=width_mm")
    assert "--map names “widht_mm”, which is no fact. Did you mean “width_mm”?" in faults(capsys, file, "--map", "Breite (cm)=widht_mm")[0]
    assert main(["check", file, "--map", "nowhere"]) == 2
    assert "neither NAME=FACT nor a JSON or TOML file" in capsys.readouterr().err


def test_columns_may_be_called_what_a_fact_is_called_in_any_language(tmp_path: Path, capsys: Captured) -> None:
    german = put(tmp_path, "Kennung;PREIS;Währung;Rahmenbreite;Höhe\na;120,50;EUR;60 cm;40 cm\n")
    work = {"ref": "a", "price": "120.50", "currency": "EUR", "height_mm": "40 cm", "frame": {"width_mm": "60 cm"}}
    same_as(capsys, german, [work], tmp_path)
    english = put(tmp_path, "Reference,Price,currency,Frame  width,Height\na,120.50,EUR,60 cm,40 cm\n")
    same_as(capsys, english, [work], tmp_path)


def test_a_heading_that_names_no_fact_is_told_the_nearest_of_paths_and_titles(tmp_path: Path, capsys: Captured) -> None:
    told = faults(capsys, put(tmp_path, "ref;Preiss;Passepartout;Lagerort\na;1;2;3\n"))
    assert told == [
        "row 1, column B: There is no fact “Preiss”. Did you mean “price”?",
        "row 1, column C: There is no fact “Passepartout”. It could be any of hanging.matted, paper.mat; write one of these.",
        "row 1, column D: There is no fact “Lagerort”. Map it with --map “Lagerort=FACT”, or leave it out with --map “Lagerort=”.",
    ]


def test_free_text_has_columns_of_its_own(tmp_path: Path, capsys: Captured) -> None:
    file = put(tmp_path, 'ref,title,Size,as_written.medium,/as_written/convention\na,A,"61 × 91,4 cm",oil on linen,height-first\nb,B,,,\n')
    written = {"dimensions": "61 × 91,4 cm", "medium": "oil on linen", "convention": "height-first"}
    works = [{"ref": "a", "title": "A", "as_written": written}, {"ref": "b", "title": "B"}]
    same_as(capsys, file, works, tmp_path, "--map", "Size=as_written.dimensions")
    wrong = put(tmp_path, "ref,title,as_written.convention,as_written.mediun\na,A,sideways,oil\n")
    assert faults(capsys, wrong) == ["row 1, column D: There is no fact “as_written.mediun”. Did you mean “as_written.medium”?"]
    said = faults(capsys, put(tmp_path, "ref,title,as_written.convention\na,A,sideways\n"))
    assert len(said) == 1
    assert said[0].startswith("row 2, column C (as_written.convention): ")


def test_every_fault_names_row_and_column(tmp_path: Path, capsys: Captured) -> None:
    text = "ref,widht_mm,width_mm,canvas.keyed,canvas.corner_gaps_mm.0,price,,ref\na,1,9 kg,perhaps,0,1,x,b\n\nb,,2,,,one,,c,too,many\n"
    told = faults(capsys, put(tmp_path, text))
    assert "row 1, column B: There is no fact “widht_mm”. Did you mean “width_mm”?" in told
    assert "row 1, column G: This column has no heading; name its fact, or take it out." in told
    assert "row 1, column H: This column holds the same fact as A; keep one of them." in told
    assert any(one.startswith("row 4: This row has more cells than the header") for one in told)
    told = faults(
        capsys, put(tmp_path, text.replace("widht_mm", "depth_mm").replace(",,ref", "").replace(",x,b", "").replace(",,c,too,many", ""))
    )
    assert 'row 2, column C (width_mm): “9 kg” is a weight, but this is a length: please write "61 cm", "24 1/2 in" or 610.' in told
    assert "row 2, column D (canvas.keyed): Keys must be yes or no." in told
    assert any(
        one.startswith("row 2, column E (canvas.corner_gaps_mm.0): Corner gaps must be a list of 4 measurements; 1 were given.")
        for one in told
    )
    assert any(one.startswith("row 4, column F (price): Price must be an ordinary amount") for one in told)
    assert any(one.startswith("row 4, column C (width_mm): Width must be between") for one in told)


def test_money_in_a_sheet_is_not_guessed_and_a_currency_is_written_in_capitals(tmp_path: Path, capsys: Captured) -> None:
    told = faults(capsys, put(tmp_path, 'ref,price,currency\na,1.200,eur\nb,"1.200,50",usd\nc,12.345,EUR\n'))
    assert sorted(told) == [
        "row 2, column B (price): “1.200” can be read as 1200 or as 1.20: please write 1200.00, without separators for thousands.",
        "row 3, column B (price): “1.200,50” has separators for thousands: please write 1200.50, without them.",
        "row 4, column B (price): “12.345” can be read as 12345 or as 12.345: please write 12345.00, without separators for thousands.",
    ]
    sheet = book(tmp_path, ["ref", "price", "currency"], ["a", 59.96999999999999, "eur"])
    same_as(capsys, sheet, [{"ref": "a", "price": 59.97, "currency": "EUR"}], tmp_path)


def test_two_numbers_in_the_field_of_one_are_told_apart(tmp_path: Path, capsys: Captured) -> None:
    told = faults(capsys, put(tmp_path, "ref,editions.number,editions.edition_size\na,3/20,\nb,,3 von 20\nc,2000000,many\n"))
    assert sorted(told) == [
        "row 2, column B (editions.number): “3/20” is two numbers: write 3 here, and 20 under “Edition”.",
        "row 3, column C (editions.edition_size): “3 von 20” is two numbers: write 20 here, and 3 under “Number”.",
        "row 4, column B (editions.number): Number must be a whole number between 0 and 1,000,000.",
        "row 4, column C (editions.edition_size): Edition must be a whole number between 0 and 1,000,000.",
    ]


def test_two_rows_of_one_reference_are_told_at_the_second(tmp_path: Path, capsys: Captured) -> None:
    assert faults(capsys, put(tmp_path, "ref\na\nb\na\n")) == [
        "row 4, column A (ref): This reference is there twice; give each work of a request its own."
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "This holds no rows; the first row must name the facts."),
        ("ref\n", "this holds no works below its header."),
        ("title\nx\n", "There is no column for ref."),
        ('ref,title\na,"never closed\nb,2\n', "A quotation mark is opened and not closed"),
        (b"ref\0,title\na,b\n", "holds zero characters"),
        (b"\xd0\xcf\x11\xe0old", "old or an encrypted Excel file"),
        (b"PK\x03\x04 no package", "This is no XLSX file"),
        (b"ref\n\x81\x8d\n", "neither UTF-8 nor the Windows code page"),
    ],
)
def test_what_is_no_sheet_is_told_in_a_sentence(content: Any, said: str, tmp_path: Path, capsys: Captured) -> None:
    (told,) = faults(capsys, put(tmp_path, content))
    assert said in told


def test_an_xlsx_gives_what_its_cells_mean(tmp_path: Path, capsys: Captured) -> None:
    names = [
        "ref",
        "title",
        "kind",
        "width_mm",
        "height_mm",
        "framed",
        "price",
        "currency",
        "finished_on",
        "from_rh_percent",
        "editions.number",
    ]
    row = [17, 12.5, "stretched-canvas", "1,2 m", 900, True, 1450, "EUR", datetime(2026, 3, 31), 0.45, 3.0]

    def percent(_: Any, sheet: Any) -> None:
        sheet["J2"].number_format = "0 %"

    work = {"ref": "17", "title": "12.5", **CANVAS, "price": 1450, "framed": True, "from_rh_percent": 45.0, "editions": {"number": 3}}
    same_as(capsys, book(tmp_path, names, row, alter=percent), [work], tmp_path)


def test_what_a_spreadsheet_has_done_to_a_cell_is_told(tmp_path: Path, capsys: Captured) -> None:
    names = ["ref", "medium", "width_mm", "height_mm", "depth_mm", "mass_kg", "title"]

    def spoil(_: Any, sheet: Any) -> None:
        sheet["B2"] = date(2050, 12, 1)  # what was typed as 12/50
        sheet["C2"], sheet["C2"].number_format = 0.4, "0%"
        sheet["D2"] = "=1+1"
        sheet["E2"] = "#REF!"
        sheet["F2"] = "#NAME?"
        sheet["E2"].data_type = "e"
        sheet.merge_cells("G2:G3")

    told = faults(capsys, book(tmp_path, names, ["a", None, None, None, None, None, "x"], ["b"], alter=spoil))
    assert told[0].startswith("row 2, column B (medium): The spreadsheet took this for the day 2050-12-01; format the column as text")
    assert told[1].startswith("row 2, column C (width_mm): This is a percentage for the spreadsheet")
    assert told[2].startswith("row 2, column D (height_mm): This is a formula without a stored result")
    assert told[3].startswith("row 2, column E (depth_mm): The spreadsheet shows the error #REF! here")
    assert told[4].startswith("row 2, column F (mass_kg): The spreadsheet shows the error #NAME? here")
    assert told[5].startswith("row 2, column G (title): The cells G2:G3 are merged")
    assert told[6].startswith("row 3, column G (title): The cells G2:G3 are merged")


def test_a_formula_with_a_stored_result_counts_as_the_result(tmp_path: Path, capsys: Captured) -> None:
    """openpyxl stores no results, so the sheet's own XML is given one, as spreadsheet programs write it (ECMA-376, 18.3.1.4)."""
    import zipfile

    file = book(tmp_path, ["ref", "width_mm"], ["a", "=200*2"])
    parts = {}
    with zipfile.ZipFile(file) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    sheet = "xl/worksheets/sheet1.xml"
    parts[sheet] = (
        parts[sheet].replace(b"<f>200*2</f><v />", b"<f>200*2</f><v>400</v>").replace(b"<f>200*2</f><v></v>", b"<f>200*2</f><v>400</v>")
    )
    assert b"<v>400</v>" in parts[sheet]
    with zipfile.ZipFile(file, "w") as package:
        for name, content in parts.items():
            package.writestr(name, content)
    same_as(capsys, file, [{"ref": "a", "width_mm": 400}], tmp_path)


def test_hidden_sheets_are_passed_over_and_others_named(tmp_path: Path, capsys: Captured) -> None:
    def more(made: Any, sheet: Any) -> None:
        sheet.title = "old"
        sheet.sheet_state = "hidden"
        for name in ("new", "extra"):
            one = made.create_sheet(name)
            one.append(["ref"])
            one.append([name])

    file = book(tmp_path, ["ref"], ["hidden"], alter=more)
    for options, ref in (((), "new"), (("--sheet", "extra"), "extra"), (("--sheet", "old"), "hidden")):
        main(["check", "--format", "json", file, *options])
        out, err = capsys.readouterr()
        assert json.loads(out)["works"][0]["ref"] == ref
        assert ("Only the sheet “new” was read, not extra; choose with --sheet." in err) == (not options)
    assert "There is no sheet “mouse”; there are: old, new, extra." in faults(capsys, file, "--sheet", "mouse")[0]


def test_more_rows_than_one_request_takes_are_parted_and_said(tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hangworthy.cli.inputs.MOST_WORKS", 2)
    main(["check", "--format", "jsonl", put(tmp_path, "ref\na\nb\nc\n")])
    out, err = capsys.readouterr()
    assert [(one["line"], one["work"]["ref"]) for one in map(json.loads, out.splitlines())] == [(2, "a"), (3, "b"), (4, "c")]
    assert "within each 2 only" in err


@pytest.mark.parametrize("form", ["csv", "xlsx"])
@pytest.mark.parametrize(
    "options",
    [[], ["--kind", "stretched-canvas"], ["--kind", "original-print", "--stage", "hanging"], ["--stage", "return", "--lang", "de"]],
)
def test_a_template_is_read_back_and_asks_nobody_anything_yet(form: str, options: list[str], tmp_path: Path, capsys: Captured) -> None:
    file = str(tmp_path / f"sheet.{form}")
    assert main(["template", "--format", form, "--output", file, *options]) == 0
    assert faults(capsys, file) == ["the whole input: this holds no works below its header."]


def test_a_template_holds_only_what_concerns_the_kind_and_the_stage(tmp_path: Path, capsys: Captured) -> None:
    def columns(*options: str) -> set[str]:
        file = tmp_path / "sheet.csv"
        assert main(["template", "--format", "csv", "--output", str(file), *options]) == 0
        return set(file.read_text("utf-8-sig").splitlines()[0].split(","))

    every, canvas, paper = columns(), columns("--kind", "stretched-canvas"), columns("--kind", "work-on-paper")
    assert {"ref", "width_mm", "canvas.billow_mm", "paper.sheet_faults"} <= every
    assert "canvas.billow_mm" in canvas - paper
    assert "paper.sheet_faults" in paper - canvas
    assert canvas < columns("--kind", "stretched-canvas", "--stage", "hanging")
    # An artist is not asked for what the bench finds, a machine works out or a canvas cannot have.
    assert not {"condition.found_faults", "editions.fingerprint", "canvas.tap_hz", "process"} & canvas
    assert not {"condition.found_faults", "editions.fingerprint"} & every
    assert "process" in every & columns("--kind", "photograph")
    assert {"condition.found_faults", "canvas.tap_hz"} <= columns("--kind", "stretched-canvas", "--stage", "arrival")
    assert main(["template", "--format", "csv", "--kind", "stretched-canvass"]) == 2
    assert "Did you mean “stretched-canvas”?" in capsys.readouterr().err


def test_a_template_says_units_in_words(capsys: Captured) -> None:
    assert main(["template", "--format", "csv", "--kind", "stretched-canvas"]) == 0
    said = capsys.readouterr().out
    assert "In days, or with its own unit." in said
    assert "In d, or" not in said


def test_an_xlsx_template_can_be_filled_in(tmp_path: Path, capsys: Captured) -> None:
    file = tmp_path / "sheet.xlsx"
    assert main(["template", "--format", "xlsx", "--output", str(file), "--kind", "stretched-canvas"]) == 0
    made = load_workbook(file)
    sheet = made["works"]
    head = {cell.value: cell for cell in sheet[1]}
    assert sheet.freeze_panes == "B2"
    assert "How wide is the work, unframed?" in head["width_mm"].comment.text
    assert sheet.cell(2, head["editions.number"].column).number_format == "@"  # 12/50 stays what was typed
    lists = {str(one.sqref).partition("2:")[0]: one.formula1 for one in sheet.data_validations.dataValidation}
    assert lists[head["canvas.keyed"].column_letter] == '"yes,no"'
    assert "stretched-canvas" in lists[head["kind"].column_letter]
    values = {"ref": "a", "kind": "stretched-canvas", "width_mm": "63 in", "canvas.keyed": "yes", "canvas.corner_gaps_mm": "0; 0; 6 ± 1; 0"}
    for name, value in values.items():
        sheet.cell(2, head[name].column).value = value
    made.save(file)
    work = {
        "ref": "a",
        "kind": "stretched-canvas",
        "width_mm": "63 in",
        "canvas": {"keyed": True, "corner_gaps_mm": ["0", "0", "6 ± 1", "0"]},
    }
    same_as(capsys, str(file), [work], tmp_path)


def test_a_template_asks_in_german_and_keeps_the_names_of_the_facts(capsys: Captured) -> None:
    def rows(*options: str) -> list[list[str]]:
        assert main(["template", "--format", "csv", "--kind", "stretched-canvas", *options]) == 0
        text = capsys.readouterr().out.removeprefix("\ufeff")
        return list(csv.reader(io.StringIO(text), delimiter=";" if options else ","))

    plain, german = rows(), rows("--lang", "de")
    assert german[0] == plain[0]
    asked = dict(zip(*german, strict=True))
    assert asked["canvas.age_days"].endswith("Einheit: Tage; eine andere bitte dazuschreiben.")
    assert asked["canvas.keyed"].endswith("Bitte ja oder nein schreiben.")
    assert asked["kind"].startswith("Was für ein Werk ist es?")
    assert "Eines von: Leinwand auf Keilrahmen; Tafel oder Platte;" in asked["kind"]
    assert asked["canvas.corner_gaps_mm"].endswith("4 Werte mit „;“ dazwischen.")
    assert not [text for text in asked.values() if " or " in text or "One of" in text or "Write" in text]


def test_each_choice_of_a_german_template_is_read_as_what_it_says(tmp_path: Path, capsys: Captured) -> None:
    file = tmp_path / "sheet.xlsx"
    assert main(["template", "--format", "xlsx", "--output", str(file), "--stage", "return", "--lang", "de"]) == 0
    made = load_workbook(file)
    sheet = made["Werke"]
    head = {cell.column_letter: cell for cell in sheet[1]}
    offered = {}
    for one in made["Werke"].data_validations.dataValidation:
        letter = str(one.sqref).partition("2:")[0]
        own = one.formula1.strip('"').split(",")
        offered[letter] = [cell[0].value for cell in made["choices"][one.formula1.split("!")[1]]] if "!" in one.formula1 else own
    names = {cell.value: offered[letter] for letter, cell in head.items() if letter in offered}
    assert names["canvas.keyed"] == ["ja", "nein"]
    assert "Öl, dick aufgetragen" in names["technique"]  # its comma parts no list
    for row in range(max(map(len, offered.values()))):
        sheet.cell(row + 2, 1).value = f"w{row}"
        for letter, choices in offered.items():
            sheet.cell(row + 2, head[letter].column).value = choices[row % len(choices)]
    made.save(file)
    main(["check", "--format", "json", str(file)])
    answer, err = capsys.readouterr()
    assert err == ""
    assert len(json.loads(answer)["works"]) == max(map(len, offered.values()))


def test_a_bomb_of_a_package_is_not_unpacked(tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hangworthy.cli.grids.MOST_UNPACKED", 1_000)
    assert "far too large once unpacked" in faults(capsys, book(tmp_path, ["ref"], ["a"]))[0]


def test_standard_input_is_what_it_is_said_to_be(tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    for form, content in (("csv", b"ref\na\n"), ("jsonl", b'{"ref":"a"}\n'), ("xlsx", Path(book(tmp_path, ["ref"], ["a"])).read_bytes())):
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(content)))
        main(["check", "--format", "json", "--input", form, "-"])
        assert json.loads(capsys.readouterr().out)["works"][0]["ref"] == "a"
