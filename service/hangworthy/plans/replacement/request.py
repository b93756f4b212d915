"""The request of a replacement: its wire type for the document, and the reader that tells every fault at once."""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from hangworthy.contract.effect import Stage
from hangworthy.engine.catalogue import MOST_WORKS
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.reading import nearest
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import QUANTITY_TEXT, Schema
from hangworthy.intake import BadInput, Intake
from hangworthy.intake.faults import FaultList, pointer_of, quote
from hangworthy.intake.text import plain
from hangworthy.intake.wording import is_day
from hangworthy.plans.asked import hung_at, works_of
from hangworthy.plans.fields import REQUIRED, Fields

MOST_NEIGHBOURS, USUAL_OFFERS, LARGEST_MM, MOST_FRAMES = 100, 20, 200_000, 10_000

_Text = Annotated[str, Meta(min_length=1, max_length=80)]
_Length = Annotated[float, Meta(ge=1, le=LARGEST_MM)] | Annotated[str, QUANTITY_TEXT]


class PlaceAsked(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """The place that became free: what hangs there may be no larger."""

    width_mm: Annotated[_Length, Meta(description="Its width.", extra_json_schema={"x-unit": "mm"})]
    height_mm: Annotated[_Length, Meta(description="Its height.", extra_json_schema={"x-unit": "mm"})]


_FIELDS: dict[str, tuple[Any, str]] = {
    "venue": (_Text | None, "The venue's name; without it the service's default venue."),
    "neighbours": (None, "The works that stay: on this wall, or on another of the venue where they name one."),
    "stage": (Stage | None, "What is to be known by now; without it, hanging."),
    "include_prepare": (bool | None, "Whether to offer works that still need something done as well; without it, only ready ones."),
    "hang_from": (date | None, "From which day the work will hang."),
    "hang_until": (date | None, "Until which day it will hang."),
    "place": (PlaceAsked | None, "The place that became free, where it is not the whole wall."),
    "frames_out": (
        Annotated[dict[_Text, Annotated[int, Meta(ge=0, le=MOST_FRAMES)]], Meta(max_length=MOST_WORKS)] | None,
        "How many of each stock frame are out, by the frame's name; the others are free.",
    ),
    "most": (Annotated[int, Meta(ge=1, le=MOST_WORKS)] | None, f"How many works to offer at most; without it, {USUAL_OFFERS}."),
}


def wire_of(schema: Schema) -> type[msgspec.Struct]:
    """Return the wire type of a request, with works as the installed packs describe them."""
    work: Any = schema.work
    candidates = Annotated[list[work], Meta(min_length=1, max_length=MOST_WORKS, description="The works to choose from.")]
    kinds = {name: kind for name, (kind, _) in _FIELDS.items()}
    kinds["neighbours"] = Annotated[list[work], Meta(max_length=MOST_NEIGHBOURS)] | None
    wall = Annotated[_Text, Meta(description="The wall's name, as the venue lists it.")]
    fields: list[Any] = [("candidates", candidates), ("wall_name", wall)]
    fields += [(name, Annotated[kinds[name], Meta(description=about)], None) for name, (_, about) in _FIELDS.items()]
    doc = "A wall on which a place is free, the works that stay, and the works to choose from."
    return msgspec.defstruct("ReplacementRequest", fields, kw_only=True, forbid_unknown_fields=True, namespace={"__doc__": doc})


class Asked(msgspec.Struct, frozen=True):
    """A request that was read."""

    evaluator: Evaluator
    wall_name: str
    candidates: list[Any]
    neighbours: list[Any]
    stage: Stage
    include_prepare: bool
    place: tuple[float, float] | None
    most: int


class Reader:
    """Reads one body."""

    def __init__(self, intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None) -> None:
        """Take the reader of works and the venues that the caller may name."""
        self.intake, self.evaluators, self.default = intake, evaluators, default
        self.faults = FaultList()

    def read(self, body: bytes) -> Asked:
        """Return the request. Raises BadInput with everything that is wrong with it."""
        value = plain(body)
        top = Fields(self.faults, (), value, ("candidates", "wall_name", *_FIELDS), "A replacement")
        venue = top.text("venue", "The venue", 80)
        evaluator = self.evaluators.get(venue or self.default or "")
        candidates = works_of(self.intake, evaluator, top.given.get("candidates"), venue, "candidates", self.faults)
        neighbours = []
        if top.given.get("neighbours"):
            neighbours = works_of(self.intake, evaluator, top.given["neighbours"], venue, "neighbours", self.faults, most=MOST_NEIGHBOURS)
        elif not isinstance(top.given.get("neighbours", []), list | None):
            top.fault("neighbours", "The neighbours must be a list of works, in square brackets.")
        self._twice(candidates, neighbours)
        wall = top.text("wall_name", "The wall's name", 80, REQUIRED)
        if evaluator is not None and wall is not None and wall not in evaluator.ruleset.places:
            walls = list(evaluator.ruleset.places)
            top.fault("wall_name", f"This venue has no wall {quote(wall)}; it has {', '.join(walls[:5]) or 'none'}.{nearest(wall, walls)}")
        stage = Stage(top.choice("stage", "The stage", tuple(one.value for one in Stage), Stage.HANGING.value))
        prepare = top.flag("include_prepare", "Whether to offer works that need something done", False)
        days = self._days(top)
        place = self._place(top)
        most = top.whole("most", "The number of offers", 1, MOST_WORKS, USUAL_OFFERS)
        evaluator = self._with_free_frames(top, evaluator)
        if self.faults or evaluator is None or wall is None:
            raise BadInput("invalid", self.faults.listed())
        beside = [one if one.wall_name is not None else hung_at([one], wall)[0] for one in neighbours]
        return Asked(evaluator, wall, hung_at(candidates, wall, **days), beside, stage, prepare, place, most)

    def _twice(self, candidates: list[Any], neighbours: list[Any]) -> None:
        known = {one.ref for one in candidates}
        for number, one in enumerate(neighbours):
            if one.ref in known:
                self.faults.add(f"/neighbours/{number}/ref", "This work stays and is also to choose from; name it in one of the two.")

    def _days(self, top: Fields) -> dict[str, date]:
        found = {}
        for name, title in (("hang_from", "The first day"), ("hang_until", "The last day")):
            value = top.given.get(name)
            if value is None:
                continue
            if isinstance(value, str) and is_day(value):
                found[name] = date.fromisoformat(value)
            else:
                top.fault(name, f"{title} must be a day of the calendar, such as 2026-03-31.")
        if len(found) == 2 and found["hang_until"] < found["hang_from"]:
            top.fault("hang_until", "The last day is before the first; has one of them slipped?")
        return found

    def _place(self, top: Fields) -> tuple[float, float] | None:
        value = top.given.get("place")
        if value is None:
            return None
        fields = Fields(self.faults, ("place",), value, PlaceAsked.__struct_fields__, "The place")
        sides = [fields.length(name, "A side of the place", 1, LARGEST_MM, REQUIRED) for name in PlaceAsked.__struct_fields__]
        return None if sides[0] is None or sides[1] is None else (sides[0], sides[1])

    def _with_free_frames(self, top: Fields, evaluator: Evaluator | None) -> Evaluator | None:
        """Return an evaluator of the venue with the frames that are not out; the same one where none are."""
        out = top.given.get("frames_out")
        if out is None or evaluator is None:
            return evaluator
        if not isinstance(out, dict) or len(out) > MOST_WORKS:
            top.fault("frames_out", 'The frames that are out must be counts by name, such as {"A2": 3}.')
            return evaluator
        venue = evaluator.ruleset.venue
        stock = {one.name: one for one in venue.frames or ()}
        for name, count in out.items():
            pointer = pointer_of(("frames_out", name))
            if name not in stock:
                known = ", ".join([*stock][:5]) or "none"
                self.faults.add(pointer, f"This venue has no frame {quote(name)}; it has {known}.{nearest(name, list(stock))}")
            elif isinstance(count, bool) or not isinstance(count, int | float) or not 0 <= count <= stock[name].count or count % 1:
                self.faults.add(pointer, f"This must be a whole number from 0 to {stock[name].count}, which is how many there are.")
        if self.faults:
            return evaluator
        left = tuple(msgspec.structs.replace(one, count=one.count - int(out.get(name, 0))) for name, one in stock.items())
        return Evaluator(Ruleset(evaluator.ruleset.catalogue, msgspec.structs.replace(venue, frames=left))).on(evaluator.day)
