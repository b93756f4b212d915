"""Reading one line on the command line."""

import json
from pathlib import Path

import pytest

from hangworthy.cli import main
from hangworthy.contract.reading import MOST_CHARACTERS


def test_a_line_is_read_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "H 60 x W 91,4 cm, 2.4 kg", "--medium", "oil on linen"]) == 0
    shown = capsys.readouterr().out
    assert "/height_mm  600 mm" in shown
    assert "/mass_kg  2.4 kg" in shown
    assert "/kind  stretched-canvas" in shown


def test_what_is_open_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "24 x 36 in gallery"]) == 0
    shown = capsys.readouterr().out
    assert "? “24 x 36 in”: Which number is the height? Nothing here says so." in shown
    assert "Either 24 in high and 36 in wide, or 36 in high and 24 in wide." in shown
    assert "Not understood: gallery." in shown


def test_a_line_is_read_in_german(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "24,5 x 36 in gallery, 2.4 kg", "--medium", "oil on board", "--lang", "de"]) == 0
    shown = capsys.readouterr().out
    assert "/mass_kg  2,4 kg" in shown
    assert "„2.4 kg“: Eine Zahl mit einer Gewichtseinheit. Sicherheit 90 %." in shown
    assert "/kind  panel (Tafel oder Platte)" in shown
    assert "/medium  oil on board\n" in shown
    assert "? „24,5 x 36 in“: Welche Zahl ist die Höhe? Hier steht es nicht." in shown
    assert "Entweder 24,5 in hoch und 36 in breit oder 36 in hoch und 24,5 in breit." in shown
    assert "Nicht verstanden: gallery." in shown


def test_programs_get_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", "24 x 36 in", "--convention", "width-first", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {one["fact"]: one["value"] for one in told["facts"]} == {"/height_mm": pytest.approx(914.4), "/width_mm": pytest.approx(609.6)}


@pytest.mark.parametrize(("line", "sentence"), [([], "write what to read"), (["1" * (MOST_CHARACTERS + 1)], "at most 500 characters")])
def test_what_cannot_be_read_ends_with_two(line: list[str], sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", *line]) == 2
    assert sentence in capsys.readouterr().err


def test_what_free_text_leaves_open_is_told_with_the_work(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    works = [
        {"ref": "a", "width_mm": 500, "as_written": {"dimensions": "H 60 W 40 cm"}},
        {"ref": "b", "as_written": {"dimensions": "24 x 36 in"}},
    ]
    file = tmp_path / "works.json"
    file.write_text(json.dumps(works), encoding="utf-8")
    main(["check", str(file)])
    told = " ".join(capsys.readouterr().out.split())
    assert "Width: 500 mm was given, but “H 60 W 40 cm” says 400 mm. What was given counts." in told
    assert "? “24 x 36 in”: Which number is the height?" in told
