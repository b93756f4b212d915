"""hangworthy check --lang: the sentences in another language, over what the request says; the decisions as ever."""

import json
from pathlib import Path

import pytest

from hangworthy.cli import main
from hangworthy.cli.words import words_in

WORK = {"ref": "slack", "kind": "stretched-canvas", "width_mm": 900, "height_mm": 600, "canvas": {"billow_mm": 9.5, "keyed": True}}


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "FORCE_COLOR", "COLUMNS", "HANGWORTHY_VENUES", "HANGWORTHY_DEFAULT_VENUE", "HANGWORTHY_ON_FAULT"):
        monkeypatch.delenv(name, raising=False)


def told(capsys: pytest.CaptureFixture[str], file: Path, *options: str) -> dict[str, object]:
    assert main(["check", str(file), "--format", "json", *options]) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_the_option_goes_before_what_the_request_says(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain, german = tmp_path / "plain.json", tmp_path / "german.json"
    plain.write_text(json.dumps({"works": [WORK]}))
    german.write_text(json.dumps({"works": [WORK], "language": "de"}))
    assert "language" not in told(capsys, plain)
    assert told(capsys, german) == told(capsys, plain, "--lang", "de")
    assert told(capsys, german, "--lang", "en") == told(capsys, plain)
    assert "Ihr Bauch ist 9,5 mm tief" in str(told(capsys, plain, "--lang", "de"))


def test_choices_are_shown_as_a_file_takes_them_and_as_they_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "works.json"
    file.write_text(json.dumps(WORK))
    assert main(["check", str(file), "--lang", "de"]) == 0
    assert "swollen (gequollen)" in capsys.readouterr().out


def test_the_whole_table_is_in_the_language_of_the_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, german = tmp_path / "works.json", tmp_path / "german.json"
    works = [{**WORK, "as_written": {"dimensions": "24 x 36 in gallery"}}, {"ref": "b", "kind": "panel"}]
    file.write_text(json.dumps({"works": works}))
    german.write_text(json.dumps({"works": works, "language": "de"}))
    main(["check", str(file), "--lang", "de"])
    told = capsys.readouterr().out
    main(["check", str(german)])
    assert capsys.readouterr().out == told
    for words in ("Was uns auffiel", "Was zu tun ist", "Noch zu beantworten, das Wichtigste zuerst:", "2 Werke im Abschnitt offer: ",
                  "Nicht verstanden: gallery."):  # fmt: skip
        assert words in told
    english = {words for words in words_in("en").table.values() if isinstance(words, str)}
    assert [one for one in english if "{" not in one and len(one) > 5 and one.strip(", ") in told] == []


def test_a_language_that_there_is_not_is_a_bad_call(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "works.json"
    file.write_text(json.dumps({"works": [WORK], "language": "fr"}))
    assert main(["check", str(file)]) == 2
    assert "/language: The language cannot be “fr”. The choices are: en, de." in capsys.readouterr().err
    with pytest.raises(SystemExit) as ended:
        main(["check", str(file), "--lang", "fr"])
    assert ended.value.code == 2
    assert "choose from" in capsys.readouterr().err
