"""Which numbers could be wrong without anybody noticing? A script, not a test: ``python tests/mutation.py [--pack NAME] [--quick]``.

Each limit's default and each number in a formula is nudged by ±10 % in turn, and all that concerns the pack is run again: its published
rows, its cases, then its own tests, until something fails. What nothing notices is reported. Survivors that are equivalent or meant stand
in ``mutation_survivors.toml`` with a reason.

Nudged: the first argument of every ``limit(...)``; every number in the modules of ``formulas``, 1, 2 and exponents included, be it at
module level, in a table, a default or a function. A library that packs rely on (the handbook) is held by those packs' evidence.

Not nudged: 0, which a tenth does not change; an index or slice, which chooses a place and measures nothing; a number in a message that is
raised. Whole numbers that count (``range``, ``round``) go to the next whole number instead.

Every nudge runs in a child forked from a parent that has imported everything except the packs, so that a child starts in milliseconds, sees
the nudged number from the first import on, and can neither spoil the next one nor hang the run. Needs a system with fork.
"""

import argparse
import ast
import json
import math
import os
import select
import signal
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

HERE = Path(__file__).parent
RULEPACKS = HERE.parent / "rulepacks"
SURVIVORS = HERE / "mutation_survivors.toml"
PREFIX = "hangworthy_"
FACTORS = (1.1, 0.9)
SECONDS = 120.0  # a child that takes longer hangs, and so is noticed
COUNTING = {"range", "round"}


class Place(NamedTuple):
    """One number: where it stands, in what, and as what. ``whole``: it counts, and goes to the next whole number.

    ``nth`` tells it from others that are written alike in the same function or table, from 1.
    """

    pack: str
    file: str
    line: int
    name: str
    value: str
    span: tuple[int, int, int, int]
    whole: bool = False
    nth: int = 1


class Outcome(NamedTuple):
    """What became of one nudge: ``by`` says what noticed it, "" that nothing did."""

    place: Place
    factor: float
    by: str
    seconds: float


# Finding the numbers


def folders() -> dict[str, Path]:
    """The packs and libraries under rulepacks/, by short name."""
    return {path.name.removeprefix(PREFIX): path for path in sorted(RULEPACKS.glob(f"{PREFIX}*")) if (path / "__init__.py").is_file()}


def is_pack(folder: Path) -> bool:
    """A pack assigns PACK; a library registers nothing."""
    body = ast.parse((folder / "__init__.py").read_text("utf-8")).body
    return any(isinstance(node, ast.Assign) and any(ast.unparse(target) == "PACK" for target in node.targets) for node in body)


def packs_for(name: str) -> list[str]:
    """The packs whose evidence concerns this one: itself, or those that import a library."""
    known = folders()
    if is_pack(known[name]):
        return [name]
    library = f"{PREFIX}{name}"
    return [other for other, path in known.items() if is_pack(path) and f"import {library}" in (path / "__init__.py").read_text("utf-8")]


def places_of(name: str) -> list[Place]:
    """Every number of a pack or library that is nudged, in the order of files and lines."""
    folder = folders()[name]
    found: list[Place] = []
    for path in sorted(folder.rglob("*.py")):
        parts = path.relative_to(folder).parts
        holds_formulas = not is_pack(folder) or parts[0] in ("formulas", "formulas.py")
        if not holds_formulas and path.name != "limits.py":
            continue
        text = path.read_text("utf-8")
        found += numbers_in(name, "/".join(parts), text, limits=not holds_formulas)
    return found


def numbers_in(pack: str, file: str, text: str, *, limits: bool) -> list[Place]:
    """The numbers of one module, in the order in which they are written."""
    finder = _Finder(pack, file, text, limits=limits)
    finder.visit(ast.parse(text))
    seen = Counter[tuple[str, str]]()
    numbered = []
    for place in sorted(finder.found, key=lambda place: place.span):
        seen[place.name, place.value] += 1
        numbered.append(place._replace(nth=seen[place.name, place.value]))
    return numbered


class _Finder(ast.NodeVisitor):
    """Walks a module with the names of what it is in."""

    def __init__(self, pack: str, file: str, text: str, *, limits: bool) -> None:
        self.pack, self.file, self.limits = pack, file, limits
        self.lines = text.encode().splitlines(keepends=True)  # ast counts columns in bytes
        self.names: list[str] = []
        self.whole = False
        self.found: list[Place] = []

    def _note(self, node: ast.expr) -> None:
        span = (node.lineno, node.col_offset, node.end_lineno or node.lineno, node.end_col_offset or node.col_offset)
        value = self._written(*span)
        self.found.append(Place(self.pack, self.file, node.lineno, ".".join(self.names) or "-", value, span, self.whole))

    def _written(self, line: int, column: int, last: int, end: int) -> str:
        """The text of a span; ast.get_source_segment would take the whole module apart for each number."""
        if line == last:
            return self.lines[line - 1][column:end].decode()
        return b"".join((self.lines[line - 1][column:], *self.lines[line : last - 1], self.lines[last - 1][:end])).decode()

    def _inside(self, name: str, node: ast.AST) -> None:
        self.names.append(name)
        self.generic_visit(node)
        self.names.pop()

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        self._inside(node.name, node)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self._inside(node.name, node)

    def visit_Assign(self, node: ast.Assign) -> None:
        self._assigned(ast.unparse(node.targets[0]), node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self._assigned(ast.unparse(node.target), node.value)

    def _assigned(self, target: str, node: ast.AST) -> None:
        """Inside a function the function's name says enough, and survives a renamed variable."""
        at_module_level = self.limits or not self.names
        if at_module_level:
            self.names.append(target)
        self.visit(node) if isinstance(node, ast.expr) else self.generic_visit(node)
        if at_module_level:
            self.names.pop()

    def visit_Call(self, node: ast.Call) -> None:
        called = ast.unparse(node.func)
        if self.limits:
            if called == "limit":
                default = node.args[0] if node.args else next(one.value for one in node.keywords if one.arg == "default")
                if not (isinstance(default, ast.Constant) and default.value == 0):
                    self._note(default)
            return
        outer, self.whole = self.whole, self.whole or called in COUNTING
        self.generic_visit(node)
        self.whole = outer

    def visit_Subscript(self, node: ast.Subscript) -> None:
        self.visit(node.value)

    def visit_Raise(self, node: ast.Raise) -> None:
        """A message is words."""

    def visit_Constant(self, node: ast.Constant) -> None:
        if not self.limits and type(node.value) in (int, float) and node.value != 0:
            self._note(node)


# Nudging


def nudged(text: str, place: Place, factor: float) -> ast.Module:
    """The module with one number changed."""
    tree = _Nudge(place, factor).visit(ast.parse(text))
    return ast.fix_missing_locations(tree)


class _Nudge(ast.NodeTransformer):
    def __init__(self, place: Place, factor: float) -> None:
        self.place, self.factor = place, factor

    def visit(self, node: ast.AST) -> ast.AST:
        if isinstance(node, ast.expr) and self.place.span == (node.lineno, node.col_offset, node.end_lineno, node.end_col_offset):
            if self.place.whole and isinstance(node, ast.Constant) and isinstance(node.value, int):
                beyond = math.ceil if self.factor > 1 else math.floor
                return ast.copy_location(ast.Constant(beyond(round(node.value * self.factor, 9))), node)
            return ast.copy_location(ast.BinOp(node, ast.Mult(), ast.Constant(self.factor)), node)
        return super().visit(node)


def install(place: Place, factor: float) -> None:
    """From now on this process imports the module with the number changed, past any compiled copy of it."""
    from importlib.machinery import SourceFileLoader

    target = str(folders()[place.pack] / place.file)
    code = compile(nudged(Path(target).read_text("utf-8"), place, factor), target, "exec")
    plain = SourceFileLoader.get_code
    SourceFileLoader.get_code = lambda self, name: code if self.get_filename(name) == target else plain(self, name)


# Evidence


def notice(packs: Sequence[str], own_tests: Sequence[Path]) -> str:
    """Run rows, then cases, then tests; return what fails first, "" when all hold."""
    import importlib

    try:
        loaded = [importlib.import_module(PREFIX + name).PACK for name in packs]
        for step, holds in (("rows", _rows_hold), ("cases", _cases_hold)):
            if not all(holds(pack) for pack in loaded):
                return step
    except Exception:
        return "import"
    return "" if _tests_hold(own_tests) else "tests"


def _rows_hold(pack: Any) -> bool:
    from hangworthy.rows import RowError, agrees, compute, read_rows

    try:
        return all(agrees(row, compute(pack, row)) for row in read_rows(pack))
    except RowError:
        return False


def _cases_hold(pack: Any) -> bool:
    from hangworthy.testing import cases_of, wrong_with

    return not any(wrong_with(pack, case) for case in cases_of(pack))


def _tests_hold(tests: Sequence[Path]) -> bool:
    import pytest

    if not tests:
        return True
    options = ["-x", "-q", "-p", "no:cacheprovider", "--assert=plain", f"--rootdir={HERE.parent}"]
    return pytest.main([*options, *map(str, tests)]) in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED)


def tests_of(names: Sequence[str]) -> list[Path]:
    """The folders with the packs' own tests."""
    return [path for name in dict.fromkeys(names) if (path := HERE / "packs" / name).is_dir()]


def prepare(tests: Sequence[Path]) -> None:
    """Import all that children need and that no nudge touches: the host, the kit, and what the tests import from elsewhere."""
    import importlib

    os.environ |= {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}  # threads do not survive a fork
    wanted = {"pytest", "hypothesis", "hangworthy.testing", "hangworthy.engine.evaluate"}
    for path in (path for folder in tests for path in folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                wanted |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                wanted |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    local = {path.stem for path in HERE.iterdir()}
    for name in sorted(wanted):
        if not name.startswith(PREFIX) and name.split(".")[0] not in local:
            try:
                importlib.import_module(name)
            except ImportError:  # the name of a function, not of a module
                continue
    from hypothesis import settings

    # The same few examples for every nudge; those that fail must not be remembered for the next honest run.
    settings.register_profile("nudge", max_examples=25, database=None, derandomize=True, deadline=None)
    settings.load_profile("nudge")
    assert not [name for name in sys.modules if name.startswith(PREFIX)], "a pack was imported before it could be nudged"


# Children


def in_child(work: Callable[[], str]) -> tuple[int, int]:
    """Start a child that does the work and writes its answer; return its process id and the end of the pipe to read."""
    reading, writing = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    answer = "crash"
    try:
        os.setsid()
        for stream in (1, 2):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
        answer = work()
    except BaseException:
        answer = "crash"
    finally:
        os.write(writing, json.dumps(answer).encode())
        os._exit(0)


def wait_for(child: int, reading: int, seconds: float) -> str:
    """The child's answer; "hangs" when it gives none in time, and it is ended."""
    ready, _, _ = select.select([reading], [], [], seconds)
    said = os.read(reading, 1000) if ready else b'"hangs"'
    if not ready:
        os.killpg(child, signal.SIGKILL)
    os.close(reading)
    os.waitpid(child, 0)
    return str(json.loads(said or b'"crash"'))


def attempts(places: Sequence[Place], factors: Sequence[float]) -> Iterator[tuple[Place, float]]:
    """All nudges to be tried; one that leaves a whole number as it is, is none."""
    yield from ((place, factor) for place in places for factor in factors)


def run(name: str, factors: Sequence[float], jobs: int, report: Callable[[Outcome], None]) -> list[Outcome]:
    """Try every nudge of one pack. Raises SystemExit when its evidence fails as it stands."""
    packs = packs_for(name)
    tests = tests_of([*packs, name])
    if (fails := wait_for(*in_child(lambda: notice(packs, tests)), SECONDS)) != "":
        raise SystemExit(f"{name}: its {fails} fail as they stand; put that right first")

    def nudge(place: Place, factor: float) -> str:
        install(place, factor)
        return notice(packs, tests)

    outcomes: list[Outcome] = []
    running: list[tuple[Place, float, float, int, int]] = []
    waiting = list(attempts(places_of(name), factors))[::-1]
    while waiting or running:
        while waiting and len(running) < jobs:
            place, factor = waiting.pop()
            running.append((place, factor, time.monotonic(), *in_child(lambda p=place, f=factor: nudge(p, f))))
        place, factor, started, child, reading = running.pop(0)
        by = wait_for(child, reading, SECONDS)
        outcomes.append(Outcome(place, factor, by, time.monotonic() - started))
        report(outcomes[-1])
    return outcomes


# Reporting


def read_survivors(path: Path = SURVIVORS) -> list[dict[str, Any]]:
    """The survivors that are explained: pack, file, name, value and reason; perhaps for one factor, or the nth such value, only."""
    entries: list[dict[str, Any]] = tomllib.loads(path.read_text("utf-8")).get("survivor", []) if path.is_file() else []
    for entry in entries:
        if not {"pack", "file", "name", "value", "reason"} <= set(entry) <= {"pack", "file", "name", "value", "reason", "factor", "nth"}:
            raise SystemExit(f"{path.name}: an entry needs pack, file, name, value and reason, and may have a factor and nth: {entry}")
    return entries


def explains(entry: dict[str, Any], place: Place, factor: float | None = None) -> bool:
    """Whether an entry is about this nudge."""
    same = all(entry[key] == getattr(place, key) for key in ("pack", "file", "name", "value"))
    return same and entry.get("nth", place.nth) == place.nth and (factor is None or entry.get("factor", factor) == factor)


def table(rows: Sequence[Sequence[str]]) -> str:
    """Columns, aligned."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return "\n".join("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows)


def main(arguments: Sequence[str] | None = None) -> int:
    """Return 0 when every survivor is explained and every explanation used; 1 when not."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", 1)[0])
    parser.add_argument("--pack", action="append", choices=sorted(folders()), help="only this one; may be given again (default: all)")
    parser.add_argument("--quick", action="store_true", help="nudge up only; explanations that were not needed are not reported")
    parser.add_argument("--jobs", type=int, default=1, help="how many children at a time (default: 1)")
    asked = parser.parse_args(arguments)
    names, factors = asked.pack or sorted(folders()), FACTORS[:1] if asked.quick else FACTORS
    entries, used, open_rows = read_survivors(), set[int](), 0
    prepare(tests_of([other for name in names for other in (*packs_for(name), name)]))
    head = ("pack", "file", "line", "name", "value", "nth", "factor")
    for name in names:
        started = time.monotonic()
        marks = {"": "S", "rows": ".", "cases": ".", "tests": "."}
        outcomes = run(name, factors, max(1, asked.jobs), lambda one, marks=marks: print(marks.get(one.by, "!"), end="", flush=True))
        rows = []
        for place, factor, by, _ in outcomes:
            if by:
                continue
            known = [number for number, entry in enumerate(entries) if explains(entry, place, factor)]
            used |= set(known)
            if not known:
                rows.append((place.pack, place.file, str(place.line), place.name, place.value, str(place.nth), f"× {factor}"))
        open_rows += len(rows)
        counts = ", ".join(f"{by or 'nothing'} {count}" for by, count in sorted(Counter(one.by for one in outcomes).items()))
        print(f"\n{name}: {len(outcomes)} nudges in {time.monotonic() - started:.0f} s; noticed by: {counts}; {len(rows)} not explained")
        if rows:
            print(table([head, *rows]))
    unused = [] if asked.quick else [entry for number, entry in enumerate(entries) if number not in used and entry["pack"] in names]
    for entry in unused:
        print("no longer needed: " + ", ".join(f"{key} = {value}" for key, value in entry.items() if key != "reason"))
    return 1 if open_rows or unused else 0


if __name__ == "__main__":
    sys.exit(main())
