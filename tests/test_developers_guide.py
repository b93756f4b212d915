"""The pack printed in DEVELOPERS.md is complete: it conforms, and its fact is asked for."""

import re
import types
from pathlib import Path

from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.settings import Settings
from hangworthy.testing import conform

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def printed_pack() -> types.ModuleType:
    source = next(block for block in re.findall(r"```python\n(.*?)```", GUIDE, re.DOTALL) if "hangworthy_rulepack" in block)
    module = types.ModuleType("printed_pack")
    exec(compile(source, "DEVELOPERS.md", "exec"), vars(module))
    return module


def test_the_printed_pack_conforms() -> None:
    conform(printed_pack().PACK)


def test_the_printed_packs_fact_is_asked_for() -> None:
    evaluator = Evaluator(Ruleset(build_catalogue([installed_pack(printed_pack().PACK)]), Venue(name="anywhere")))
    work = evaluator.ruleset.schema.work(ref="a", kind="panel")
    answer = evaluator.evaluate([work]).works[0]
    assert [question.fact for question in answer.questions] == ["/scent/strength"]
    assert (answer.outcome, answer.at_worst, answer.settled) == ("ready", "prepare", False)


def test_the_map_and_the_commands_leave_nothing_out() -> None:
    the_map = GUIDE.partition("## The map")[2].partition("## Never")[0]
    house = ROOT / "service" / "hangworthy"
    rooms = [f"{path.name}/" for path in house.iterdir() if (path / "__init__.py").is_file()]
    modules = [path.name for path in house.glob("*.py") if not path.name.startswith("__")]
    assert [name for name in (*rooms, *modules) if name not in the_map] == []
    benchmarks = [path.name for path in (ROOT / "tests" / "benchmarks").glob("bench_*.py")]
    assert [name for name in benchmarks if f"`{name}`" not in GUIDE and f"/{name}`" not in GUIDE] == []


def test_every_setting_is_in_the_guide() -> None:
    for name in Settings.__struct_fields__:
        assert f"`HANGWORTHY_{name.upper()}`" in GUIDE
