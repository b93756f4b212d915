"""The rule pack: what a plugin returns to the host."""

from collections.abc import Mapping, Sequence
from types import ModuleType
from typing import TYPE_CHECKING

import msgspec

from hangworthy.contract.facts import Section
from hangworthy.contract.limits import Limits, NoLimits
from hangworthy.contract.rule import Rule

if TYPE_CHECKING:  # importing it would cost every pack and script 14 ms
    from importlib.resources.abc import Traversable

API = 1


class RulePack(msgspec.Struct, frozen=True, kw_only=True):
    """A pack: rules, the limits they use, the facts only it asks for, its cases, one version over all of them.

    ``name`` is lower-case and also the name of its section of facts and the first part of its rules' codes. ``sections`` adds
    facts: ``{"canvas": CanvasFacts}``; a section that the contract shares (``glazing``) is extended. ``cases`` is the folder with one
    ``<rule>.toml`` per rule, or a mapping from rule name to such a text for a pack in one file. ``published`` is the file, or the
    text, with the rows that its ``formulas`` are held against. ``relies_on`` lists modules outside the pack's folder that its answers
    depend on: they count towards its fingerprint. A section named ``wall`` adds facts about walls. ``api`` is the contract's version
    that the pack was written for. ``fits``, made with
    ``frame_fits``, says into which of a venue's stock frames a work goes.
    """

    name: str
    version: str
    title: str
    rules: Sequence[Rule]
    cases: "Traversable | Mapping[str, str]"
    limits: type[Limits] = NoLimits
    sections: Mapping[str, type[Section]] = {}
    published: "Traversable | str" = ""
    formulas: object = None
    relies_on: Sequence[ModuleType] = ()
    fits: Rule | None = None
    api: int = API
