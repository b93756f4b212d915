"""The other commands: packs, limits, rules, published, and what --help says."""

import argparse
import json
from collections.abc import Iterator

import pytest

from hangworthy.cli.commands import COMMANDS, main
from hangworthy.cli.usage import parser
from hangworthy.demo import demo_venue_path


def _parsers() -> Iterator[tuple[str, argparse.ArgumentParser]]:
    top = parser(COMMANDS)
    yield "", top
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield from action.choices.items()


PARSERS = dict(_parsers())


@pytest.mark.parametrize("command", PARSERS)
def test_every_option_is_documented_and_every_command_has_an_example(command: str) -> None:
    described = PARSERS[command]
    for action in described._actions:
        if not isinstance(action, argparse._SubParsersAction):
            assert action.help, action.dest
            assert action.help != argparse.SUPPRESS
    text = described.format_help()
    assert "examples:" in text
    assert f"hangworthy {command}".strip() in text.split("examples:")[1]


def test_every_setting_is_named_by_the_help() -> None:
    from hangworthy.settings import Settings

    text = PARSERS[""].format_help()
    assert [name for name in Settings.__struct_fields__ if f"HANGWORTHY_{name.upper()}" not in text] == []


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["--version"]])
def test_help_and_version_end_with_0(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 0
    assert "hangworthy" in capsys.readouterr().out


@pytest.mark.parametrize(
    "arguments", [[], ["chek"], ["check"], ["check", "--fail-on", "never", "x"], ["check", "--form", "json", "x"], ["rules"]]
)
def test_a_wrong_command_line_ends_with_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert "usage: hangworthy" in capsys.readouterr().err


def _json(capsys: pytest.CaptureFixture[str], *arguments: str) -> object:
    assert main([*arguments, "--format", "json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_packs_lists_versions_and_rules(capsys: pytest.CaptureFixture[str]) -> None:
    listed = _json(capsys, "packs")
    assert isinstance(listed, dict)
    assert listed["faults"] == []
    canvas = next(one for one in listed["packs"] if one["name"] == "canvas")
    assert canvas["version"]
    assert canvas["distribution"].startswith("hangworthy ")
    flat = next(one for one in canvas["rules"] if one["code"] == "canvas.lies-flat")
    assert flat == {"code": "canvas.lies-flat", "by": "", "question": flat["question"], "effects": ["repair"], "due": "offer"}
    assert main(["packs"]) == 0
    out = capsys.readouterr().out
    assert "canvas.lies-flat" in out
    assert max(map(len, out.splitlines())) <= 80


def test_packs_shows_faults_and_ends_with_2_where_the_service_would_refuse(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("HANGWORTHY_PACKS", "nosuch")
    assert main(["packs"]) == 2
    out, err = capsys.readouterr()
    assert "pack nosuch is selected but not installed" in " ".join(out.split())
    assert "[unknown-pack]" in err
    monkeypatch.setenv("HANGWORTHY_ON_FAULT", "report")
    listed = _json(capsys, "packs")
    assert isinstance(listed, dict)
    assert listed["faults"][0]["kind"] == "unknown-pack"


def test_limits_are_those_in_force_at_the_venue(capsys: pytest.CaptureFixture[str]) -> None:
    listed = _json(capsys, "limits", "--venue", str(demo_venue_path()))
    assert isinstance(listed, list)
    by_name = {one["name"]: one for one in listed}
    assert by_name["canvas.flush_gap_mm"]["value"] == 4
    assert by_name["canvas.flush_gap_mm"]["default"] == 3
    assert by_name["canvas.flush_gap_mm"]["reason"]
    assert by_name["canvas.dry_oil_days"]["value"] == 42
    assert main(["limits"]) == 0
    assert "own policy" in capsys.readouterr().out


def test_a_rule_is_explained_each_way_of_measuring(capsys: pytest.CaptureFixture[str]) -> None:
    explained = _json(capsys, "rules", "canvas.taut")
    assert isinstance(explained, list)
    assert len(explained) >= 3
    assert all(one["question"].endswith("?") and one["explanation"] and one["limits"] and one["facts"] for one in explained)
    assert main(["rules", "canvas.lies-flat"]) == 0
    out = capsys.readouterr().out
    assert "Limit: canvas.corner_gap_mm = 6 mm" in out
    assert "Source: own policy" in out


def test_an_unknown_rule_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "canvas.lies-flaat"]) == 2
    assert capsys.readouterr().err == "there is no rule “canvas.lies-flaat”. Did you mean “canvas.lies-flat”?\n"
    assert main(["rules", "q"]) == 2
    assert "There are: canvas." in capsys.readouterr().err


def test_published_values_are_recomputed(capsys: pytest.CaptureFixture[str]) -> None:
    found = _json(capsys, "published", "--pack", "canvas")
    assert isinstance(found, list)
    assert len(found) >= 60
    assert all(one["agrees"] for one in found)
    assert main(["published"]) == 0
    out = capsys.readouterr().out
    assert "none outside the tolerance" in out
    assert main(["published", "--pack", "canvass"]) == 2
    assert "Did you mean “canvas”?" in capsys.readouterr().err
