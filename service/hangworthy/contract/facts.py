"""Facts: how a pack, a work or a wall declares the properties that rules may name.

A section is a class whose annotations say what a rule sees and whose defaults say how to ask::

    class CanvasFacts(Section):
        billow_mm: float = ask("Belly", "How deep is the belly of the canvas?", how="...", lo=0, hi=200)

The unit is the end of the name. The host turns the sections into one typed submission, so nothing is said twice.
"""

from typing import Any, ClassVar, Literal, get_type_hints

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.contract.means import Means
from hangworthy.contract.steps import Tool

Four = tuple[float, float, float, float]
Pair = tuple[float, float]
AskedOf = Literal["artist", "coordinator"]

TEXT_LENGTH = 200
# What a reading of free text can give: the kind of fact, its unit and, for a list, its length. A fact takes it up with ``reads``.
Readable = tuple[str, str, int | None]
_LENGTH: Readable = ("number", "mm", None)
_PAIR: Readable = ("number", "mm", 2)
_CHOICE: Readable = ("choice", "", None)
_COUNT: Readable = ("count", "", None)
_YES_NO: Readable = ("yes_no", "", None)
READABLE: dict[str, Readable] = {
    **dict.fromkeys(("height", "width", "depth", "frame_height", "frame_width", "frame_depth"), _LENGTH),
    **dict.fromkeys(("image_size", "window_size"), _PAIR),
    **dict.fromkeys(("kind", "technique", "process", "proof_kind", "glazing"), _CHOICE),
    **dict.fromkeys(("edition_number", "edition_size", "proof_number", "artist_proofs", "printer_proofs", "hors_commerce"), _COUNT),
    **dict.fromkeys(("framed", "friable"), _YES_NO),
    "weight": ("number", "kg", None),
    "medium": ("text", "", None),
}


class Ask(msgspec.Struct, frozen=True):
    """How one fact is asked for.

    ``title`` names it, ``prompt`` is the question shown, ``how`` says how to measure. ``lo`` and ``hi`` are the sane range
    in the fact's unit. ``asked_of`` says who can answer. ``private`` facts never reach a log. ``required`` facts must be
    there for the submission to be read at all (only a work's ``ref``). ``reads`` names what a reading of free text may fill it with, one
    of READABLE; a pair is width first. ``since`` names a day of the work from which the fact counts the days: the host fills it where that
    day is given and the fact is not. ``tools`` are what it is measured with. ``means`` says what the fact is to the host's own plans.
    ``due`` is the first stage at which anybody can tell it, where that is not the offer; ``kinds`` are the kinds of work that it can be
    told of, where these are not all: a form and a sheet ask for it from then on, and of those.
    """

    title: str
    prompt: str
    how: str = ""
    lo: float | None = None
    hi: float | None = None
    max_length: int = TEXT_LENGTH
    asked_of: AskedOf = "artist"
    private: bool = False
    required: bool = False
    pattern: str | None = None
    reads: str = ""
    since: str = ""
    tools: tuple[Tool, ...] = ()
    means: Means | None = None
    due: Stage = Stage.OFFER
    kinds: tuple[str, ...] = ()


def ask(title: str, prompt: str, how: str = "", **details: Any) -> Any:
    """Declare a fact; the keywords are the fields of :class:`Ask`.

    Returns ``Any`` because the annotation beside it, not this call, states the type that a rule sees.
    """
    return Ask(title=title, prompt=prompt, how=how, **details)


class Section:
    """Base of every group of facts. Subclass it; never instantiate it."""

    asks: ClassVar[dict[str, Ask]] = {}

    def __init_subclass__(cls) -> None:
        """Collect the declared facts, inherited ones first, so that a section may build on another."""
        own = {name: value for name, value in vars(cls).items() if isinstance(value, Ask)}
        cls.asks = {**cls.asks, **own}

    @classmethod
    def types(cls) -> dict[str, Any]:
        """Return the annotation of each declared fact, resolved.

        Raises TypeError when a fact has no annotation or an annotation has no ``ask``.
        """
        hints = {name: hint for name, hint in get_type_hints(cls).items() if name != "asks"}
        if stray := sorted(set(hints) ^ set(cls.asks)):
            raise TypeError(f"{cls.__name__}: {', '.join(stray)} needs both an annotation and ask(...)")
        return {name: hints[name] for name in cls.asks}
