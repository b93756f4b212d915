"""The never-rules of the house, read off the syntax tree; and that everything public is documented."""

import ast
import importlib
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import hangworthy.contract
import hangworthy.testing

ROOT = Path(__file__).parent.parent
SERVICE, RULEPACKS = ROOT / "service" / "hangworthy", ROOT / "rulepacks"
SOURCES = sorted([*SERVICE.rglob("*.py"), *RULEPACKS.rglob("*.py")])
HANDBOOK = "hangworthy_handbook"
PACK_NAMES = sorted(path.name for path in RULEPACKS.iterdir() if (path / "__init__.py").is_file())
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "service", "rulepacks", "openapi", "tests", "docker"}

MOST_LINES, MOST_FUNCTION_LINES = 260, 45
# Longer than the rest, each for a reason.
LONGER_FILES = {
    "service/hangworthy/contract/units.py": "one table of units; cutting it in two would hide that every spelling is there once",
    "service/hangworthy/history/port.py": "one agreement between service and store; its records and its promises are read side by side",
}
LONGER_FUNCTIONS: dict[str, str] = {}

FORMULA_MODULES = {"__future__", "collections", "dataclasses", "functools", "math", "typing"}  # a remembered number is still a number
PACK_MODULES = FORMULA_MODULES | {"datetime", "decimal", "enum", "fractions", "importlib", "itertools", "pathlib"}
PACK_MODULES |= {"re", "string"}
IMPURE = {"asyncio", "datetime", "logging", "os", "pathlib", "random", "secrets", "shutil", "socket", "subprocess", "threading"}
IMPURE |= {"time", "urllib", "uuid"}
IMPURE |= {"litestar", "sqlalchemy", "pluggy", "rich", "jsonschema"}
# The schema names the type of a date; only today() and now() would be a clock, and those are looked for by name.
ALLOWED_IN_ENGINE = {"datetime"}


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def imports(path: Path, node: ast.AST | None = None) -> Iterator[str]:
    """The absolute names of all modules that a file imports, wherever in it; relative ones resolved."""
    package = path.relative_to(SERVICE.parent if path.is_relative_to(SERVICE) else RULEPACKS).with_suffix("").parts
    for one in ast.walk(node or tree(path)):
        if isinstance(one, ast.Import):
            yield from (alias.name for alias in one.names)
        elif isinstance(one, ast.ImportFrom):
            base = ".".join(package[: len(package) - one.level]) if one.level else ""
            yield ".".join(part for part in (base, one.module) if part)


def under(folder: Path) -> list[Path]:
    return [path for path in SOURCES if path.is_relative_to(folder)]


def formulas() -> list[Path]:
    """Formula modules of the packs, and the whole handbook, which holds nothing else."""
    own = [path for path in under(RULEPACKS) if "formulas" in path.relative_to(RULEPACKS).parts or path.name == "formulas.py"]
    return own + under(RULEPACKS / HANDBOOK)


def test_there_is_something_to_read() -> None:
    assert len(SOURCES) > 30
    assert PACK_NAMES
    assert formulas()


@pytest.mark.parametrize("path", formulas(), ids=short)
def test_formulas_are_numbers_in_and_numbers_out(path: Path) -> None:
    pack = path.relative_to(RULEPACKS).parts[0]
    ours = (f"{pack}.formulas", HANDBOOK)
    strange = {name for name in imports(path) if name.split(".")[0] not in FORMULA_MODULES and not name.startswith(ours)}
    assert strange == set()


@pytest.mark.parametrize("name", [name for name in PACK_NAMES if name != HANDBOOK])
def test_a_pack_that_uses_the_handbook_says_so(name: str) -> None:
    """Else a change of the handbook would leave the fingerprint of the pack as it was."""
    uses = any(one.startswith(HANDBOOK) for path in under(RULEPACKS / name) if path.name != "__init__.py" or path.parent.name != name
               for one in imports(path))  # fmt: skip
    pack = importlib.import_module(name).PACK
    assert (HANDBOOK in {module.__name__ for module in pack.relies_on}) == uses


@pytest.mark.parametrize("path", under(RULEPACKS), ids=short)
def test_a_pack_imports_the_contract_itself_and_a_few_pure_modules(path: Path) -> None:
    own = {path.relative_to(RULEPACKS).parts[0], HANDBOOK}
    strange = {
        name
        for name in imports(path)
        if name != "hangworthy.contract" and name.split(".")[0] not in own | PACK_MODULES
    }  # fmt: skip
    assert strange == set()


@pytest.mark.parametrize("path", under(SERVICE / "contract"), ids=short)
def test_the_contract_imports_nothing_of_ours_above_it(path: Path) -> None:
    assert {name for name in imports(path) if name.startswith("hangworthy") and not name.startswith("hangworthy.contract")} == set()


# What may import what of ours: the readings know the contract, the engine both.
PURE = {"readings": ("contract", "readings"), "engine": ("contract", "engine", "readings")}


@pytest.mark.parametrize("path", [path for room in PURE for path in under(SERVICE / room)], ids=short)
def test_engine_and_readings_are_pure(path: Path) -> None:
    names = set(imports(path))
    known = tuple(f"hangworthy.{name}" for name in PURE[path.relative_to(SERVICE).parts[0]])
    assert {name for name in names if name.split(".")[0] in IMPURE - ALLOWED_IN_ENGINE} == set()
    assert {name for name in names if name.startswith("hangworthy") and not name.startswith(known)} == set()
    named = {node.id for node in ast.walk(tree(path)) if isinstance(node, ast.Name)}
    attributes = {node.attr for node in ast.walk(tree(path)) if isinstance(node, ast.Attribute)}
    assert named.isdisjoint({"open", "print", "input", "exec", "eval", "__import__"})
    assert attributes.isdisjoint({"today", "now", "utcnow", "environ", "getenv"})


@pytest.mark.parametrize("path", under(SERVICE / "api"), ids=short)
def test_the_api_knows_no_store(path: Path) -> None:
    assert {name for name in imports(path) if name.split(".")[0] == "sqlalchemy"} == set()


@pytest.mark.parametrize("path", [path for path in SOURCES if not path.is_relative_to(SERVICE / "testing")], ids=short)
def test_nothing_that_runs_imports_the_testing_kit(path: Path) -> None:
    assert {name for name in imports(path) if name.startswith("hangworthy.testing")} == set()


BUILT_AT_IMPORT = {
    "Litestar",
    "PluginManager",
    "create_app",
    "create_engine",
    "Settings",
    "settings_from",
    "Ruleset",
    "Evaluator",
    "discover",
}


def _at_import(module: ast.Module) -> Iterator[ast.AST]:
    """What runs when a module is imported: everything outside functions, and outside the guard of a script."""
    waiting: list[ast.AST] = list(module.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(node, ast.If) and "__name__" in ast.unparse(node.test):
            continue
        yield node
        waiting += ast.iter_child_nodes(node)


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_nothing_is_built_or_read_from_the_environment_at_import(path: Path) -> None:
    nodes = list(_at_import(tree(path)))
    called = {ast.unparse(node.func).rpartition(".")[2] for node in nodes if isinstance(node, ast.Call)}
    assert called.isdisjoint(BUILT_AT_IMPORT)
    assert {ast.unparse(node) for node in nodes if isinstance(node, ast.Attribute) and node.attr in ("environ", "getenv")} == set()


@pytest.mark.parametrize("path", under(SERVICE), ids=short)
def test_the_service_names_no_pack(path: Path) -> None:
    text = path.read_text("utf-8")
    assert [name for name in PACK_NAMES if name in text] == []


@pytest.mark.parametrize("module", [hangworthy.contract, hangworthy.testing], ids=lambda module: module.__name__)
def test_what_is_public_is_listed_sorted_and_complete(module) -> None:
    imported = set()
    for node in tree(Path(module.__file__)).body:
        if isinstance(node, ast.ImportFrom):
            imported |= {alias.asname or alias.name for alias in node.names}
    assert set(module.__all__) == imported
    assert module.__all__ == sorted(set(module.__all__), key=_as_ruff_sorts)
    assert [name for name in module.__all__ if not hasattr(module, name)] == []


def _as_ruff_sorts(name: str) -> tuple[int, str]:
    """Constants first, then classes, then functions."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2), name


def _public(node: ast.AST, prefix: str = "") -> Iterator[tuple[str, ast.AST]]:
    for one in ast.iter_child_nodes(node):
        if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            if one.name.startswith("_"):
                continue
            yield prefix + one.name, one
            if isinstance(one, ast.ClassDef):
                yield from _public(one, f"{one.name}.")


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_everything_public_has_a_docstring(path: Path) -> None:
    module = tree(path)
    missing = [name for name, node in _public(module) if not ast.get_docstring(node)]
    if module.body and not ast.get_docstring(module):
        missing.append("the module")
    assert missing == []


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_files_and_functions_are_short(path: Path) -> None:
    lines = path.read_text("utf-8").count("\n")
    assert lines <= MOST_LINES or short(path) in LONGER_FILES
    long = [
        f"{node.name}: {node.end_lineno - node.lineno + 1} lines"
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.end_lineno - node.lineno + 1 > MOST_FUNCTION_LINES
        and f"{short(path)}:{node.name}" not in LONGER_FUNCTIONS
    ]  # fmt: skip
    assert long == []


def test_exceptions_that_are_no_longer_needed_are_gone() -> None:
    assert [name for name in LONGER_FILES if (ROOT / name).read_text("utf-8").count("\n") <= MOST_LINES] == []


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_nothing_is_left_for_later(path: Path) -> None:
    text = path.read_text("utf-8")
    assert [word for word in ("TODO", "FIXME", "XXX", "NotImplementedError") if word in text] == []


def test_the_top_level_holds_what_belongs_there() -> None:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:  # an unpacked archive has no repository: then the folder itself is looked at
        names = {path.name for path in ROOT.iterdir() if not path.name.endswith(".egg-info")}
    else:
        names = {line.split("/")[0] for line in done.stdout.splitlines()}
    assert {name for name in names if not name.startswith(".")} - TOP_LEVEL == set()


def _loaded_by(statement: str) -> set[str]:
    code = f"import sys\n{statement}\nprint(' '.join(sorted({{name.split('.')[0] for name in sys.modules}})))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.mark.parametrize(
    "statement",
    ["import hangworthy.contract", "import hangworthy.engine.evaluate, hangworthy.engine.ruleset", f"import {', '.join(PACK_NAMES)}"],
    ids=["contract", "engine", "packs"],
)
def test_a_script_needs_no_web_stack(statement: str) -> None:
    assert _loaded_by(statement).isdisjoint(
        {"litestar", "sqlalchemy", "rich", "jsonschema", "uvicorn", "httpx", "pytest", "scipy", "numpy"}
    )
