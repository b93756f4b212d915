"""Rules: plain functions of the facts they name.

The signature is the whole declaration. ``fact("canvas.billow_mm")`` as a parameter's default names a fact; the host reads it
once, at load, and derives from it what is missing, what is shown, what is asked and how uncertainty spreads.

Rules that read the same handful of facts may name them together, as a NamedTuple whose every field is a fact::

    class Size(NamedTuple):
        width: float = fact("width_mm")
        height: float = fact("height_mm")

A parameter annotated ``size: Size`` (``sizes: tuple[Size, ...]`` in a set rule), without a default, then stands for all of them.
"""

import functools
import inspect
from collections.abc import Callable, Mapping, Sequence
from itertools import accumulate
from typing import Any, get_args, get_origin, get_type_hints

import msgspec

from hangworthy.contract.effect import Effect, Stage
from hangworthy.contract.source import Source
from hangworthy.contract.steps import Step, Tool

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
    ``bench`` replaces the coordinator's sentence where there is no number to show. ``either`` replaces the remedy where the effect hangs
    on a fact that is tried and not known yet (``try_each``): it says what to do in either case.
    """

    measure: str
    met: str
    unmet: str
    remedy: str | Mapping[Effect, str]
    better: str = "Measure once more with a finer tool, in better light, and give the figure with its ±."
    bench: str = ""
    either: str = ""


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
    step: Step | None = None
    tools: tuple[Tool, ...] = ()
    spends: bool = False
    another_wall: bool = False
    ours: bool = False

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the rule's own function, as a test of it would."""
        return self.function(*args, **kwargs)

    @property
    def question(self) -> str:
        """The question that the rule answers: the first line of its docstring."""
        return (self.function.__doc__ or "").strip().split("\n", 1)[0].strip()

    @property
    def hazard(self) -> bool:
        """Whether all else waits while it is unmet: it isolates what a conservator or framer has to clear first."""
        return self.step is Step.ISOLATE and max(effect.rank for effect in self.effects) >= Effect.REPAIR.rank

    @property
    def done_by_us(self) -> bool:
        """Whether the programme does what the remedy says, and not the artist: then it says “We …”."""
        return self.ours or self.step is Step.HANG


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
    step: Step | None = None,
    tools: Sequence[Tool] = (),
    spends: bool = False,
    another_wall: bool = False,
    ours: bool = False,
) -> Callable[[RuleFunction], Rule]:
    """Make a function of named facts a rule.

    ``effect`` is what an unmet answer means, or all that it may mean where the check decides. ``uses`` names the limits it compares with.
    Rules of one ``name`` with different ``by`` are ways of measuring one thing: any one settles it, and ``prefer`` (lowest first) says
    which is asked for. ``step`` says when on a preparation sheet the remedy comes, ``tools`` what it takes; without a step it follows from
    effect and stage. A rule of ``Step.ISOLATE`` that may mean repair or refuse is a hazard, as mould and loose paint are: while it is
    unmet, the remedies and questions of all others wait until the work is cleared. ``spends`` marks a rule that measures what hanging a
    work uses up for good, as light does: of two works that may hang, the one that uses up the smaller share of such limits is the better
    choice. ``another_wall`` marks a rule whose remedy, where it is more than advice, is another wall: nothing that is done to the work
    mends it. Of rules that read facts of the wall alone that is known without it. ``ours`` marks a rule whose remedy is for the programme
    to carry out, as at the bench; what is done at the wall (``Step.HANG``) always is.
    """
    return _maker(
        name=name, effect=effect, source=source, words=words, due=due, applies=applies, uses=uses, cautions=cautions, by=by,
        prefer=prefer, step=step, tools=tools, spends=spends, another_wall=another_wall, ours=ours,
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
    step: Step | None = None,
    tools: Sequence[Tool] = (),
) -> Callable[[RuleFunction], Rule]:
    """Make a function over several works a rule.

    Each fact parameter receives a tuple with one value per work; the function returns one Check (or Undecided) per work, in that order.
    Only works that agree in all facts of ``among`` are passed together. A work whose own facts are missing is unknown, and
    so is a met answer beside it: the missing facts might have clashed. An unmet answer must stand whatever the others turn out to be,
    as a clash does: a rule about an average is no set rule.
    """
    return _maker(
        name=name, effect=effect, source=source, words=words, due=due, applies=applies, uses=uses, cautions=cautions,
        over_set=True, among=tuple(among), step=step, tools=tools,
    )  # fmt: skip


def _maker(**details: Any) -> Callable[[RuleFunction], Rule]:
    effect = details.pop("effect")
    effects = (effect,) if isinstance(effect, Effect) else tuple(effect)
    for key in ("applies", "uses", "cautions", "tools"):
        details[key] = tuple(details[key])

    def make(function: RuleFunction) -> Rule:
        return Rule(function=spread(function, details.get("over_set", False)), effects=effects, **details)

    return make


def _together(annotation: Any) -> Any:
    """Return the NamedTuple behind an annotation if each of its fields is a fact, else None."""
    one = get_args(annotation)[0] if get_origin(annotation) is tuple and get_args(annotation) else annotation
    defaults = getattr(one, "_field_defaults", None)
    if not defaults or set(defaults) != set(one._fields) or not all(isinstance(ref, FactRef) for ref in defaults.values()):
        return None
    return one


def spread(function: RuleFunction, over_set: bool) -> RuleFunction:
    """Return the function with facts that it names together as one parameter each, which is how the host reads and calls it."""
    layout = [(one, _together(one.annotation)) for one in inspect.signature(function).parameters.values()]
    if not any(group for _, group in layout):
        return function

    ends = [*accumulate(len(group._fields) if group else 1 for _, group in layout)]
    spans = [(start, end, group) for start, end, (_, group) in zip([0, *ends], ends, layout, strict=False)]

    @functools.wraps(function)
    def asked(*values: Any) -> Any:
        return function(*[
            values[start] if not group else tuple(map(group, *values[start:end])) if over_set else group(*values[start:end])
            for start, end, group in spans
        ])  # fmt: skip

    own_hints, parameters = get_type_hints(function), []
    for one, group in layout:
        if not group:
            parameters.append(one.replace(annotation=own_hints.get(one.name, one.empty)))
            continue
        for name, hint in get_type_hints(group).items():
            seen: Any = hint
            if over_set:
                seen = tuple[seen, ...]
            parameters.append(inspect.Parameter(f"{one.name}_{name}", one.kind, default=group._field_defaults[name], annotation=seen))
    asked.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    asked.__annotations__ = {one.name: one.annotation for one in parameters if one.annotation is not one.empty}
    return asked
