"""Rules: plain functions of the facts they name.

The signature is the whole declaration. ``fact("canvas.billow_mm")`` as a parameter's default names a fact; the host reads it
once, at load, and derives from it what is missing, what is shown, what is asked and how uncertainty spreads.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.effect import Effect, Stage
from hangworthy.contract.source import Source

RuleFunction = Callable[..., Any]


class FactRef(msgspec.Struct, frozen=True):
    """A fact that a rule names.

    ``optional``: the rule is called with None when the fact is missing, and must return Undecided rather than pass because
    of it. ``try_each``: a missing yes/no or choice is tried with each possible answer; what all answers agree on is known.
    ``as_given``: the figure is taken as it stands, and its uncertainty does not spread: for a rule that only sorts works by it, with a
    tolerance of its own, and would else be asked again for every ± of every work.
    """

    path: str
    optional: bool = False
    try_each: bool = False
    as_given: bool = False


def fact(path: str, *, optional: bool = False, try_each: bool = False, as_given: bool = False) -> Any:
    """Name a fact as the default of a rule's parameter: ``"width_mm"``, ``"canvas.billow_mm"``, ``"wall.rh_percent"``."""
    return FactRef(path, optional=optional, try_each=try_each, as_given=as_given)


class Where(msgspec.Struct, frozen=True):
    """The rule concerns works whose fact at ``path`` is one of ``values``."""

    path: str
    values: tuple[Any, ...]


class Given(msgspec.Struct, frozen=True):
    """The rule concerns works for which all these facts are given: for comparing a second measurement with a first."""

    paths: tuple[str, ...]


Condition = Where | Given


def where(path: str, *values: Any) -> Where:
    """Return the condition that the fact at ``path`` is one of ``values``."""
    return Where(path, values)


def given(*paths: str) -> Given:
    """Return the condition that all facts at ``paths`` are given."""
    return Given(paths)


class Words(msgspec.Struct, frozen=True, kw_only=True):
    """The rule's sentences: templates with ``{value}``, ``{limit}`` and the names that its check carries.

    ``measure`` is a noun phrase for the bench ("Twist of the frame"). ``met`` and ``unmet`` speak to the artist, ``remedy``
    says what to do (one text, or one per effect), ``better`` says how to measure better when the answer is too close.
    ``bench`` replaces the coordinator's sentence where there is no number to show.
    """

    measure: str
    met: str
    unmet: str
    remedy: str | Mapping[Effect, str]
    better: str = "Measure once more with a finer tool, in better light, and give the figure with its ±."
    bench: str = ""


class Rule(msgspec.Struct, frozen=True, kw_only=True):
    """One requirement. Build it with :func:`rule` or :func:`set_rule`; calling it calls the function."""

    name: str
    function: RuleFunction
    effects: tuple[Effect, ...]
    source: Source
    words: Words
    due: Stage = Stage.OFFER
    applies: tuple[Condition, ...] = ()
    uses: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    by: str = ""
    prefer: int = 0
    over_set: bool = False
    among: tuple[str, ...] = ()

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the rule's own function, as a test of it would."""
        return self.function(*args, **kwargs)

    @property
    def question(self) -> str:
        """The question that the rule answers: the first line of its docstring."""
        return (self.function.__doc__ or "").strip().split("\n", 1)[0].strip()


def rule(
    name: str,
    *,
    effect: Effect | Sequence[Effect],
    source: Source,
    words: Words,
    due: Stage = Stage.OFFER,
    applies: Sequence[Condition] = (),
    uses: Sequence[str] = (),
    cautions: Sequence[str] = (),
    by: str = "",
    prefer: int = 0,
) -> Callable[[RuleFunction], Rule]:
    """Make a function of named facts a rule.

    ``effect`` is what an unmet answer means, or all that it may mean where the check decides. ``uses`` names the limits it
    compares with. Rules of one ``name`` with different ``by`` are ways of measuring one thing: any one settles it, and
    ``prefer`` (lowest first) says which is asked for.
    """
    return _maker(
        name=name, effect=effect, source=source, words=words, due=due, applies=applies, uses=uses, cautions=cautions, by=by,
        prefer=prefer,
    )  # fmt: skip


def set_rule(
    name: str,
    *,
    effect: Effect | Sequence[Effect],
    source: Source,
    words: Words,
    among: Sequence[str] = (),
    due: Stage = Stage.OFFER,
    applies: Sequence[Condition] = (),
    uses: Sequence[str] = (),
    cautions: Sequence[str] = (),
) -> Callable[[RuleFunction], Rule]:
    """Make a function over several works a rule.

    Each fact parameter receives a tuple with one value per work; the function returns one Check (or Undecided) per work, in that order.
    Only works that agree in all facts of ``among`` are passed together. A work whose own facts are missing is unknown, and
    so is a met answer beside it: the missing facts might have clashed. An unmet answer must stand whatever the others turn out to be,
    as a clash does: a rule about an average is no set rule.
    """
    return _maker(
        name=name, effect=effect, source=source, words=words, due=due, applies=applies, uses=uses, cautions=cautions,
        over_set=True, among=tuple(among),
    )  # fmt: skip


def _maker(**details: Any) -> Callable[[RuleFunction], Rule]:
    effect = details.pop("effect")
    effects = (effect,) if isinstance(effect, Effect) else tuple(effect)
    for key in ("applies", "uses", "cautions"):
        details[key] = tuple(details[key])

    def make(function: RuleFunction) -> Rule:
        return Rule(function=function, effects=effects, **details)

    return make
