"""``hangworthy sheet``: from a file of works to a page, or a PDF, without a server."""

import json
from pathlib import Path
from typing import Any

import pytest

from hangworthy.cli import main
from hangworthy.sheets import printing

WORKS: dict[str, Any] = {"works": [{"ref": "a", "title": "Ebb", "kind": "panel"}, {"ref": "b", "title": "Flow", "kind": "panel"}]}


@pytest.fixture
def works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HANGWORTHY_DATABASE", "none")
    file = tmp_path / "works.json"
    file.write_text(json.dumps(WORKS), encoding="utf-8")
    return file


def test_it_writes_a_page_for_each_work_or_for_one(works: Path, tmp_path: Path) -> None:
    output = tmp_path / "sheet.html"
    assert main(["sheet", str(works), "--output", str(output), "--lang", "de", "--paper", "letter"]) == 0
    text = output.read_text("utf-8")
    assert "Ebb" in text
    assert "Flow" in text
    assert "Vorbereitungsblatt" in text
    assert "size: letter" in text
    assert main(["sheet", str(works), "--output", str(output), "--work", "b"]) == 0
    assert "Ebb" not in output.read_text("utf-8")


def test_it_prints_where_printing_is_installed(works: Path, tmp_path: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    output = tmp_path / "sheet.pdf"
    assert main(["sheet", str(works), "--output", str(output), "--work", "a"]) == 0
    assert output.read_bytes().startswith(b"%PDF-")
    output.unlink()
    monkeypatch.setattr(printing, "can_print", lambda: False)
    assert main(["sheet", str(works), "--output", str(output)]) == 2
    assert "hangworthy[pdf]" in capsys.readouterr().err
    assert not output.exists()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--output", "sheet.docx"], "must end in .html or .pdf"),
        (["--output", "sheet.html", "--work", "c"], "there is no work “c” in the file; there are: a, b."),
        (["--output", "no/such/folder/sheet.html"], "No such file or directory"),
    ],
    ids=["form", "work", "folder"],
)
def test_what_cannot_be_done_is_said(works: Path, arguments: list[str], told: str, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(works.parent)
    assert main(["sheet", str(works), *arguments]) == 2
    assert told in capsys.readouterr().err


def test_every_fault_of_the_file_is_told(tmp_path: Path, capsys: Any) -> None:
    file = tmp_path / "bad.json"
    file.write_text('{"works": [{"ref": "a", "width_mm": "9 kg", "height_mm": -1}]}', encoding="utf-8")
    assert main(["sheet", str(file), "--output", str(tmp_path / "s.html")]) == 2
    told = capsys.readouterr().err
    assert "/works/0/width_mm" in told
    assert "/works/0/height_mm" in told
