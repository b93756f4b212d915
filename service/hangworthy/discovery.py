"""Discovery: from entry points to packs and faults. The only runtime user of pluggy's manager.

Packs are loaded one by one, sorted by name, each on a thread with a deadline: one that is broken, misspelt, too new or that never
finishes is a fault that names its distribution, and the others still load.
"""

import hashlib
import threading
from collections.abc import Iterable, Mapping
from functools import lru_cache
from importlib.metadata import Distribution, EntryPoint, entry_points
from pathlib import Path
from types import ModuleType
from typing import Any, cast

import pluggy

from hangworthy.contract import ENTRY_POINT_GROUP, PROJECT, HookSpecs, RulePack
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES, file_of, written_in
from hangworthy.engine.catalogue import Installed
from hangworthy.engine.fault import Fault

_COUNTED = (".py", ".toml")
_WORDING = frozenset(map(file_of, LANGUAGES))  # no answer depends on how it is worded in another language


def discover(
    select: Iterable[str] | None = None, *, load_seconds: float = 10.0, group: str = ENTRY_POINT_GROUP
) -> tuple[list[Installed], list[Fault]]:
    """Load the packs of the entry-point group.

    ``select`` names the entry points to load (all, when None); a name that is not there is a fault. ``load_seconds`` [s] is how long
    one pack may take to import.
    """
    found = sorted(entry_points(group=group), key=lambda entry: (entry.name, _origin(entry)))
    faults: list[Fault] = []
    if select is not None:
        wanted = set(select)
        known = {entry.name for entry in found}
        faults += [_unknown(name, known) for name in sorted(wanted - known)]
        found = [entry for entry in found if entry.name in wanted]
    installed = []
    for entry in found:
        one = _load(entry, load_seconds)
        if isinstance(one, Fault):
            faults.append(one)
        else:
            installed.append(one)
    return installed, faults


def installed_pack(pack: RulePack, *, distribution: str = "", files: Path | None = None) -> Installed:
    """Return a pack given by hand as the host would have found it; ``files`` is what its fingerprint is taken over."""
    return Installed(
        pack=pack, distribution=distribution, fingerprint=_fingerprint(pack, files), case_names=_case_names(pack),
        texts={language: written_in(pack.texts, language) for language in LANGUAGES if language != DEFAULT_LANGUAGE},
    )  # fmt: skip


def _unknown(name: str, known: set[str]) -> Fault:
    return Fault(
        "unknown-pack",
        f"pack {name} is selected but not installed; installed are: {', '.join(sorted(known)) or 'none'}",
        name,
    )


def _origin(entry: EntryPoint) -> tuple[str, str]:
    return _name_and_version(entry.dist) if entry.dist else ("", "")


@lru_cache(maxsize=64)  # it reads a file, and several packs may come in one distribution
def _name_and_version(distribution: Distribution) -> tuple[str, str]:
    told = distribution.metadata
    return told["Name"], told["Version"]


def _load(entry: EntryPoint, seconds: float) -> Installed | Fault:
    """Load one entry point on a thread of its own, so that one that hangs is a fault and not a hanging service."""
    distribution, version = _origin(entry)
    box: list[Any] = []
    thread = threading.Thread(target=lambda: box.append(_attempt(entry)), name=f"load-{entry.name}", daemon=True)
    thread.start()
    thread.join(seconds)
    if not box:
        text = f"entry point {entry.name}: {entry.value} did not load within {seconds:g} s"
        return Fault("slow-pack", text, entry.name, distribution, version)
    kind, result = box[0]
    if kind:
        return Fault(kind, f"entry point {entry.name}: {result}", entry.name, distribution, version)
    return cast(Installed, result)


def _attempt(entry: EntryPoint) -> tuple[str, Any]:
    """Return ("", the installed pack) or the kind of fault and its text."""
    try:
        module = entry.load()
    except BaseException as error:  # noqa: BLE001 - a pack's import may do anything, even exit; none of it may stop the host
        return "import-error", f"{entry.value} cannot be imported: {type(error).__name__}: {error}"
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(HookSpecs)
    try:
        manager.register(module, name=entry.name)
        manager.check_pending()
        answers = manager.hook.hangworthy_rulepack()
    except pluggy.PluginValidationError as error:
        return "misspelt-hook", f"{error}; the only hook is hangworthy_rulepack()"
    except BaseException as error:  # noqa: BLE001 - the same boundary around the hook itself
        return "hook-error", f"hangworthy_rulepack() raised {type(error).__name__}: {error}"
    if not answers and not manager.get_hookcallers(module):
        return "no-hook", f"{entry.value} has no hook; mark hangworthy_rulepack() with @hookimpl"
    pack = answers[0] if answers else None
    if not isinstance(pack, RulePack):
        return "hook-error", f"hangworthy_rulepack() returned {type(pack).__name__}, not a RulePack"
    try:
        return "", installed_pack(pack, distribution=" ".join(_origin(entry)).strip(), files=_files_of(module))
    except (AttributeError, TypeError, OSError, UnicodeDecodeError) as error:
        return "hook-error", f"the files, cases or texts of the pack cannot be read: {error}"


def _files_of(module: ModuleType) -> Path | None:
    """Return the folder of a package, or the file of a single module."""
    if getattr(module, "__path__", None):
        return Path(next(iter(module.__path__)))
    return Path(module.__file__) if module.__file__ else None


def _fingerprint(pack: RulePack, files: Path | None) -> str:
    """Digest the pack's files, and what it relies on, by name and content, so that versions that differ in one limit differ."""
    digest = hashlib.sha256(f"{pack.name} {pack.version}".encode())
    for root in (files, *map(_files_of, pack.relies_on)):
        for path in _counted(root):
            digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def _counted(root: Path | None) -> list[Path]:
    if root is None or root.is_file():
        return [] if root is None else [root]
    return sorted(
        path for path in root.rglob("*") if path.suffix in _COUNTED and path.name not in _WORDING and "__pycache__" not in path.parts
    )


def _case_names(pack: RulePack) -> frozenset[str]:
    cases = pack.cases
    if isinstance(cases, Mapping):
        return frozenset(cases)
    files = cases.iterdir() if cases.is_dir() else ()
    return frozenset(one.name.removesuffix(".toml") for one in files if one.name.endswith(".toml"))
