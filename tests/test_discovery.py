"""Discovery: packs that work, and every way in which one can be broken, without the service ever being broken with it."""

import importlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hangworthy.contract import ENTRY_POINT_GROUP, Outcome
from hangworthy.discovery import discover, installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import PackFaults
from hangworthy.engine.ruleset import Ruleset, Venue
from small_packs import evaluate

OUTSIDE = Path(__file__).parent / "outside_pack"
# A group of its own keeps these tests apart from whatever is installed.
GROUP = "hangworthy.test-packs"
GOOD = (OUTSIDE / "hum_pack.py").read_text("utf-8")


@pytest.fixture
def site(tmp_path, monkeypatch):
    """Put a module and its distribution's metadata on the path, as an installer would, without one."""
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    before = set(sys.modules)

    def install(name: str, source: str, *, version: str = "1.0", module: str | None = None, entry: str | None = None) -> None:
        module = module or name.replace("-", "_")
        (tmp_path / f"{module}.py").write_text(source, "utf-8")
        info = tmp_path / f"{name.replace('-', '_')}-{version}.dist-info"
        info.mkdir()
        (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n", "utf-8")
        (info / "entry_points.txt").write_text(f"[{GROUP}]\n{entry or name} = {module}\n", "utf-8")
        importlib.invalidate_caches()

    yield install
    for name in set(sys.modules) - before:
        if name.startswith("pack_"):
            del sys.modules[name]


HOOK = "from hangworthy.contract import *\n@hookimpl\ndef hangworthy_rulepack():\n    "
BROKEN = {
    "pack-missing-import": ("import no_such_module_anywhere\n", "import-error", "no_such_module_anywhere"),
    "pack-syntax": ("def broken(:\n", "import-error", "SyntaxError"),
    "pack-exits": ("import sys\nsys.exit(3)\n", "import-error", "SystemExit"),
    "pack-interrupts": ("raise KeyboardInterrupt\n", "import-error", "KeyboardInterrupt"),
    "pack-misspelt": (HOOK.replace("rulepack", "rulepak") + "return None\n", "misspelt-hook", "hangworthy_rulepak"),
    "pack-arguments": (HOOK.replace("rulepack()", "rulepack(config)") + "return None\n", "misspelt-hook", "hangworthy_rulepack"),
    "pack-no-hook": ("X = 1\n", "no-hook", "@hookimpl"),
    "pack-unmarked": ("def hangworthy_rulepack():\n    return None\n", "no-hook", "@hookimpl"),
    "pack-raises": (HOOK + "raise RuntimeError('boom')\n", "hook-error", "RuntimeError: boom"),
    "pack-hook-exits": (HOOK + "raise SystemExit\n", "hook-error", "SystemExit"),
    "pack-wrong-return": (HOOK + "return 'a pack'\n", "hook-error", "str, not a RulePack"),
    "pack-returns-none": (HOOK + "return None\n", "hook-error", "NoneType, not a RulePack"),
    "pack-no-cases": (GOOD.replace('cases={"is-quiet": CASES}', "cases=None"), "hook-error", "cases"),
    "pack-slow": ("import time\ntime.sleep(2)\n", "slow-pack", "did not load within 0.3 s"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_pack_is_a_fault_that_names_its_distribution_and_the_others_load(site, name) -> None:
    source, kind, said = BROKEN[name]
    site("pack-good", GOOD, entry="a-good-one")
    site(name, source, version="2.7")
    installed, faults = discover(load_seconds=0.3 if kind == "slow-pack" else 30, group=GROUP)
    assert [one.pack.name for one in installed] == ["hum"]
    [fault] = faults
    assert (fault.kind, fault.pack, fault.distribution, fault.version) == (kind, name, name, "2.7")
    assert said in fault.message
    assert str(fault).startswith(f"[{kind}] {name} 2.7: entry point {name}")


def test_a_good_pack_carries_its_origin_and_a_fingerprint_of_its_files(site, tmp_path) -> None:
    site("pack-good", GOOD)
    [one], faults = discover(group=GROUP)
    assert faults == []
    assert (one.distribution, one.case_names) == ("pack-good 1.0", {"is-quiet"})
    assert len(one.fingerprint) == 16
    assert installed_pack(one.pack, files=tmp_path / "pack_good.py").fingerprint == one.fingerprint
    (tmp_path / "pack_good.py").write_text(GOOD.replace("limit(30", "limit(31"), "utf-8")
    assert installed_pack(one.pack, files=tmp_path / "pack_good.py").fingerprint != one.fingerprint


def test_the_fingerprint_of_a_folder_is_over_its_sources_only(site, tmp_path) -> None:
    site("pack-good", GOOD)
    [one], _ = discover(group=GROUP)
    folder = tmp_path / "folder"
    (folder / "cases").mkdir(parents=True)
    (folder / "cases" / "is-quiet.toml").write_text("", "utf-8")
    before = installed_pack(one.pack, files=folder).fingerprint
    (folder / "notes.txt").write_text("x", "utf-8")
    assert installed_pack(one.pack, files=folder).fingerprint == before
    (folder / "cases" / "is-quiet.toml").write_text("# changed", "utf-8")
    assert installed_pack(one.pack, files=folder).fingerprint != before


def test_packs_are_selected_by_name_and_a_name_that_is_not_there_is_a_fault(site) -> None:
    site("pack-good", GOOD)
    site("pack-broken", "import no_such_module_anywhere\n")
    installed, faults = discover(["pack-good"], group=GROUP)
    assert ([one.pack.name for one in installed], faults) == (["hum"], [])
    installed, faults = discover(["pack-goood"], group=GROUP)
    assert installed == []
    assert [(fault.kind, fault.pack) for fault in faults] == [("unknown-pack", "pack-goood")]
    assert "pack-broken, pack-good" in faults[0].message
    assert "installed are: none" in discover(["x"], group="hangworthy.nobody")[1][0].message


def test_two_distributions_of_one_pack_are_both_left_out_and_both_named(site) -> None:
    site("pack-good", GOOD)
    site("pack-good-fork", GOOD, version="9.9")
    installed, faults = discover(group=GROUP)
    assert faults == []
    with pytest.raises(PackFaults) as caught:
        build_catalogue(installed, faults)
    [fault] = caught.value.faults
    assert fault.kind == "duplicate-pack"
    assert "pack-good 1.0" in fault.message
    assert "pack-good-fork 9.9" in fault.message


def test_a_too_new_pack_names_its_distribution(site) -> None:
    site("pack-new", GOOD.replace('version="0.3.0",', 'version="0.3.0",\n    api=99,'), version="4.2")
    with pytest.raises(PackFaults, match=r"\[too-new\] pack-new 4\.2.*contract 99"):
        build_catalogue(discover(group=GROUP)[0])


def test_refuse_or_report(site) -> None:
    site("pack-good", GOOD)
    site("pack-broken", "import no_such_module_anywhere\n", version="2.7")
    installed, faults = discover(group=GROUP)
    with pytest.raises(PackFaults, match=r"pack-broken 2\.7"):
        build_catalogue(installed, faults)
    one = Evaluator(Ruleset(build_catalogue(installed, faults, tolerate=True), Venue(name="test")))
    answer = evaluate(one, {"hum": {"powered": False}})
    assert (answer.outcome, answer.at_worst, answer.settled) == (Outcome.READY, Outcome.REFUSE, False)
    assert "no_such_module_anywhere" in answer.faults[0]


def test_packs_given_by_hand() -> None:
    from pathlib import Path as Folder

    import msgspec

    pack = discover()[0][0].pack
    assert installed_pack(pack).fingerprint != installed_pack(msgspec.structs.replace(pack, version="x")).fingerprint
    nowhere = msgspec.structs.replace(pack, cases=Folder("/nowhere/at/all"))
    assert installed_pack(nowhere).case_names == frozenset()


SCRIPT = """
import json, sys
import msgspec
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.testing import cases_of, check_case, conform

installed, faults = discover()
catalogue = build_catalogue(installed, faults)
_, components = msgspec.json.schema_components([catalogue.schema.request])
works = [{"ref": "a", "hum": {"powered": True, "level_dba": 42}}, {"ref": "b", "hum": {"powered": True}}]
request = msgspec.convert({"works": works}, catalogue.schema.request)
answer = Evaluator(Ruleset(catalogue, Venue(name="test"))).evaluate(request.works)
mine = next(one for one in installed if one.pack.name == "hum")
conform(mine.pack)
for case in cases_of(mine.pack):
    check_case(mine.pack, case)
print(json.dumps({
    "distribution": mine.distribution,
    "packs": [one.pack.name for one in installed],
    "facts": sorted(components["Hum"]["properties"]),
    "findings": [[found.state for found in work.findings if found.rule == "hum.is-quiet"] for work in answer.works],
    "questions": [question.fact for question in answer.works[1].questions if question.fact.startswith("/hum")],
}))
"""


def _run(command: list[str], environment: dict[str, str]) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False, env={"PATH": os.environ["PATH"], **environment})
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_complete_outside_pack_is_installed_and_seen_everywhere(tmp_path) -> None:
    source, target = tmp_path / "source", tmp_path / "site"
    shutil.copytree(OUTSIDE, source, ignore=shutil.ignore_patterns("__pycache__", "build", "*.egg-info"))
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-build-isolation", "--no-index"]
    _run([*command, "--disable-pip-version-check", "--target", str(target), str(source)], {})
    seen = json.loads(_run([sys.executable, "-c", SCRIPT], {"PYTHONPATH": str(target)}))
    assert seen["distribution"] == "hum-pack 0.3.0"
    assert "hum" in seen["packs"]
    assert len(seen["packs"]) > 1, "the built-in packs are there as well"
    assert seen["facts"] == ["level_dba", "powered"]
    assert seen["findings"] == [["unmet"], ["unknown"]]
    assert seen["questions"] == ["/hum/level_dba"]


def test_the_group_is_what_the_outside_packs_own_project_names() -> None:
    assert f'[project.entry-points."{ENTRY_POINT_GROUP}"]' in (OUTSIDE / "pyproject.toml").read_text("utf-8")
