"""Each pack can be deleted: without its folder and its line the house stands, and the other packs answer as before, byte for byte."""

import importlib
import json
import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import hangworthy
from hangworthy.contract import RulePack
from hangworthy.demo import demo_venue_path, demo_works

ROOT = Path(__file__).parent.parent.parent
ENTRY_POINTS: dict[str, str] = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["entry-points"][
    "hangworthy.rulepacks"
]
PACKS: dict[str, RulePack] = {name: importlib.import_module(module).PACK for name, module in sorted(ENTRY_POINTS.items())}
SECONDS = 90  # for one interpreter; it takes about one

# Runs with nothing on its path but the copy and other people's packages; -S keeps out what an editable install hooks in.
DRIVER = """
import contextlib, io, json, sys
copy, *places = json.loads(sys.argv[1])
sys.path[:0] = [copy + "/service", copy + "/rulepacks"]
sys.path += places
from hangworthy.cli import main

def run(*arguments):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(arguments)
    return {"code": code, "out": out.getvalue(), "err": err.getvalue()}

answers = [run(*arguments) for arguments in json.load(sys.stdin)]
ours = [getattr(module, "__file__", None) for name, module in sys.modules.items() if name.startswith("hangworthy")]
json.dump({"answers": answers, "ours": [file for file in ours if file]}, sys.stdout)
"""

Answer = dict[str, Any]
Run = Callable[..., list[Answer]]


def copy_without(target: Path, gone: str) -> None:
    """Copy the service and the packs, all but one, with the distribution's record of what is left."""
    lost = ENTRY_POINTS.get(gone, "no such folder")
    for room in ("service", "rulepacks"):
        shutil.copytree(ROOT / room, target / room, ignore=shutil.ignore_patterns(lost, "*.egg-info"))
    record = target / "service" / f"hangworthy-{hangworthy.__version__}.dist-info"
    record.mkdir()
    (record / "METADATA").write_text(f"Metadata-Version: 2.1\nName: hangworthy\nVersion: {hangworthy.__version__}\n", "utf-8")
    lines = [f"{name} = {module}" for name, module in ENTRY_POINTS.items() if name != gone]
    (record / "entry_points.txt").write_text("\n".join(["[hangworthy.rulepacks]", *lines, ""]), "utf-8")


def run_in(copy: Path, commands: list[list[str]]) -> list[Answer]:
    """Run commands in one fresh interpreter that sees only the copy; prove that it did."""
    places = sorted({sysconfig.get_paths()[name] for name in ("purelib", "platlib")})
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", DRIVER, json.dumps([str(copy), *places])],
        input=json.dumps(commands), capture_output=True, text=True, timeout=SECONDS, check=False, env={}, cwd=copy,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert [file for file in said["ours"] if not Path(file).is_relative_to(copy)] == []
    return list(said["answers"])


def works_without(pack: RulePack) -> list[dict[str, Any]]:
    """The demo's works without the facts that a pack declares."""
    works: list[dict[str, Any]] = json.loads(demo_works())["works"]
    for work in works:
        for section, facts in pack.sections.items():
            left = {name: value for name, value in work.pop(section, {}).items() if name not in facts.asks}
            if left:
                work[section] = left
    return works


def venue_without(pack: RulePack) -> str:
    """The demo's venue without its say on the limits of a pack, and without the facts about walls that it declares."""
    own = "|".join(re.escape(name) for name in (pack.sections["wall"].asks if "wall" in pack.sections else ()))
    theirs = re.compile(rf'"{re.escape(pack.name)}\.' + (rf"|(?:{own})\s*=" if own else ""))
    lines = demo_venue_path().read_text("utf-8").splitlines()
    return "\n".join(line for line in lines if not theirs.match(line)) + "\n"


def check_of(folder: Path, pack: RulePack) -> list[str]:
    """The command that evaluates the demo as it stands without a pack's facts and limits."""
    venue, works = folder / f"{pack.name}.toml", folder / f"{pack.name}.json"
    venue.write_text(venue_without(pack), "utf-8")
    works.write_text(json.dumps({"works": works_without(pack)}), "utf-8")
    return ["check", "--format", "json", "--venue", str(venue), str(works)]


def findings(answer: Answer, gone: str) -> bytes:
    """The findings of all other packs, work by work."""
    assert answer["code"] in (0, 1), answer["err"]
    assert answer["err"] == ""
    works = json.loads(answer["out"])["works"]
    kept = [[work["ref"], [one for one in work["findings"] if one["pack"] != gone]] for work in works]
    return json.dumps(kept).encode()


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Answer]:
    """What the house with all its packs answers to each of the demos."""
    copy, asked = tmp_path_factory.mktemp("whole"), tmp_path_factory.mktemp("asked")
    copy_without(copy, "")
    answers = run_in(copy, [["packs", "--format", "json"], *(check_of(asked, pack) for pack in PACKS.values())])
    listed = json.loads(answers[0]["out"])
    assert ([one["name"] for one in listed["packs"]], listed["faults"], answers[0]["code"]) == (list(PACKS), [], 0)
    return dict(zip(PACKS, answers[1:], strict=True))


def a_fact_of(pack: RulePack) -> dict[str, Any] | None:
    """A work with a fact that only this pack declares, as not known; None for a pack that only asks about walls, or nothing."""
    for section, facts in pack.sections.items():
        if section != "wall":
            return {"ref": "a", section: {next(iter(facts.asks)): None}}
    return None


@pytest.mark.parametrize("name", PACKS)
def test_without_a_pack_the_others_answer_as_before(name: str, whole: dict[str, Answer], tmp_path: Path) -> None:
    pack, copy, asked = PACKS[name], tmp_path / "copy", tmp_path / "asked"
    asked.mkdir()
    copy_without(copy, name)
    fact = asked / "fact.json"
    fact.write_text(json.dumps(a_fact_of(pack) or {"ref": "a"}), "utf-8")
    commands = [["packs"], ["packs", "--format", "json"], check_of(asked, pack), ["limits"], ["published"], ["check", str(fact)]]
    text, packs, check, limits, published, refused = run_in(copy, commands)
    listed = json.loads(packs["out"])
    assert [one["name"] for one in listed["packs"]] == [other for other in PACKS if other != name]
    assert listed["faults"] == []
    assert [one["code"] for one in (text, packs, limits, published)] == [0, 0, 0, 0]
    assert [code for code in (f"{name}.{rule.name}" for rule in pack.rules) if code in text["out"]] == []
    assert findings(check, name) == findings(whole[name], name)
    stray = a_fact_of(pack)
    assert refused["code"] == (2 if stray else 0)
    assert not stray or next(one for one in stray if one != "ref") in refused["err"]


@pytest.mark.parametrize("name", PACKS)
def test_what_is_compared_says_something(name: str, whole: dict[str, Answer]) -> None:
    """The pack does speak in the whole house, and so does some other one: else there would be nothing to lose, or to keep."""
    spoke = [one["pack"] for work in json.loads(whole[name]["out"])["works"] for one in work["findings"]]
    assert name in spoke
    assert len(PACKS) == 1 or set(spoke) == set(PACKS)
