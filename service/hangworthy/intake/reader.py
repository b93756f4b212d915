"""Reading a request's body: one typed decode when all is well; when not, every fault at once."""

import copy
import re
from collections.abc import Callable, Mapping
from operator import attrgetter
from typing import Any

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.reading import Reader, nearest
from hangworthy.engine.schema import Schema
from hangworthy.intake.faults import BadInput, FaultList, InputFault, quote
from hangworthy.intake.text import plain
from hangworthy.intake.wording import is_money, reversed_days

_DIFFICULT = (msgspec.DecodeError, msgspec.ValidationError, UnicodeDecodeError, RecursionError, ValueError, OverflowError)

# Encoding leaves a default out, and forms like to say the stage. Inside a text its quotation marks would stand behind backslashes.
_FIRST_STAGE = next(iter(Stage))
_STAGE = b'"stage"'
_SAID = re.compile(rb'"stage"[ \t\r\n]*:[ \t\r\n]*"%s"' % _FIRST_STAGE.value.encode())


class Intake:
    """Reads bodies of one schema. Safe to share; keeps nothing of what it read."""

    def __init__(self, schema: Schema, evaluators: Mapping[str, Evaluator] | None = None, default: str | None = None) -> None:
        """Prepare the decoder. With ``evaluators`` by venue, names of venues and walls and repeated refs are checked with the rest."""
        self.schema, self.evaluators, self.default = schema, evaluators, default
        self._decode: Any = msgspec.json.Decoder(schema.request).decode
        self._plain = msgspec.json.Decoder().decode
        self._encode = msgspec.json.Encoder().encode
        self._money = tuple(slot.path.split(".") for slot in schema.slots if slot.kind == "money")
        self._counts = tuple(slot.path.split(".") for slot in schema.slots if slot.kind == "count" and slot.count is None)
        self._prices = [_getter(path) for path in self._money]
        self._collectors: list[Any] = []  # at most one; shared by readers over other venues

    def over(self, evaluators: Mapping[str, Evaluator], default: str | None) -> "Intake":
        """Return the same reader over other venues; what was prepared is shared."""
        made = copy.copy(self)
        made.evaluators, made.default = evaluators, default
        return made

    def read(self, body: bytes) -> Any:
        """Return the decoded request. Raises BadInput with every fault that is in the body."""
        try:
            request = self._decoded(body)
            lossless = self._lossless(body, request)
        except _DIFFICULT as error:
            raise self._refusal(body, error) from None
        nowhere = self.evaluators is not None and self._venue(request.venue) is None
        if not lossless or nowhere:
            raise self._refusal(body, None)
        for work in request.works:
            if reversed_days(work.hang_from, work.hang_until):
                raise self._refusal(body, None)
        return request

    def _decoded(self, body: bytes) -> Any:
        """Decode a body; a count may be written 2.0, which JSON Schema and many a form take for the whole number it is."""
        try:
            return self._decode(body)
        except msgspec.ValidationError as error:
            if "`int" not in str(error):
                raise
            return msgspec.convert(self.with_whole_counts(self._plain(body)), self.schema.request)

    def with_whole_counts(self, value: Any) -> Any:
        """Return a body in which counts that were written 2.0 are whole numbers."""
        works = value.get("works") if isinstance(value, dict) else None
        for work in works if isinstance(works, list) else ():
            for *section, name in self._counts:
                facts = work.get(section[0]) if section and isinstance(work, dict) else work
                if isinstance(facts, dict) and type(facts.get(name)) is float and facts[name].is_integer():
                    facts[name] = int(facts[name])
        return value

    def _venue(self, name: str | None) -> Evaluator | None:
        wanted = self.default if name is None else name
        return (self.evaluators or {}).get(wanted or "")

    def _lossless(self, body: bytes, request: Any) -> bool:
        """Return whether decoding kept every name, and money is written plainly.

        A name that is given twice is dropped by every decoder; then the text holds more colons than what was kept. An escaped colon
        would hide one, so a text with such an escape is looked at closely too, as is one with an escaped zero character. Null and
        default values are kept only by the plain reading, which is therefore asked second.
        """
        escaped = b"\\u003" in body or b"\\u0000" in body
        kept = self._encode(request).count(b":")
        colons = body.count(b":")
        if colons == kept + 1 and request.stage is _FIRST_STAGE and body.count(_STAGE) == 1 and _SAID.search(body):
            kept += 1
        if not escaped and colons == kept and not self._priced(request):
            return True
        value = self._plain(body)
        if escaped or colons != self._encode(value).count(b":"):
            plain(body)
        return all(self._plain_money(work) for work in value["works"])

    def _priced(self, request: Any) -> bool:
        for work in request.works:
            for get in self._prices:
                if get(work) is not None:
                    return True
        return False

    def _plain_money(self, work: dict[str, Any]) -> bool:
        for path in self._money:
            value: Any = work
            for name in path:
                value = value.get(name) if isinstance(value, dict) else None
            if type(value) is str and not is_money(value):
                return False
        return True

    def _refusal(self, body: bytes, error: Exception | None) -> BadInput:
        """Return the refusal of a body: malformed when it is no JSON, otherwise with all its faults."""
        try:
            value = plain(body)
        except BadInput as bad:
            return bad
        if not self._collectors:
            # jsonschema takes longer to import than all the rest; a good body never needs it
            from hangworthy.intake.collect import Collector

            self._collectors.append(Collector(self.schema))
        faults = FaultList()
        works = self._collectors[0].collect(value, faults)
        self._further(value, works, faults)
        if not faults:
            faults.add(*_decoders_own(error))
        return BadInput("invalid", faults.listed())

    def _further(self, value: Any, works: list[Any], faults: FaultList) -> None:
        """Add what the schema cannot state: texts that are no quantity, walls and venues that are not there, refs given twice, days
        that are the wrong way round.
        """
        for place, work in enumerate(works):
            if said := reversed_days(work.hang_from, work.hang_until):
                faults.add(f"/works/{place}/hang_until", said)
        name = value.get("venue") if isinstance(value, dict) else None
        evaluator = self._venue(name) if name is None or isinstance(name, str) else None
        if self.evaluators is not None and evaluator is None and isinstance(name, str):
            faults.add("/venue", no_venue(name, list(self.evaluators)))
        elif self.evaluators is not None and evaluator is None and name is None and isinstance(value, dict):
            faults.add("/venue", f"Name the venue; there are: {', '.join([*self.evaluators][:5]) or 'none'}.")
        if evaluator is not None:
            try:
                evaluator.read(works)
            except BadWorks as bad:
                for fault in from_bad_works(bad).faults:
                    faults.add(fault.pointer, fault.message)
            return
        reader = Reader(self.schema)
        nowhere = [None] * (len(self.schema.slots) - self.schema.wall_start)
        for place, work in enumerate(works):
            for one in reader.read(work, nowhere).bad:
                faults.add(f"/works/{place}{one.pointer}", one.message)


def _getter(path: list[str]) -> Callable[[Any], Any]:
    """Return the reader of one fact of a decoded work; None where its section is not there."""
    if len(path) == 1:
        return attrgetter(path[0])
    section, name = path
    return lambda work: getattr(getattr(work, section), name, None)


def no_venue(name: str, names: list[str]) -> str:
    """Return the sentences for a venue that this service does not have."""
    known = f" There are: {', '.join(names[:5])}. Leave it out for the default."
    return f"There is no venue {quote(name)}.{nearest(name, names) or known}"


def from_bad_works(error: BadWorks) -> BadInput:
    """Return the refusal for facts that the engine could not read."""
    faults = FaultList()
    for place, one in error.bad:
        faults.add(f"/works/{place}{one.pointer}", one.message)
    return BadInput("invalid", faults.listed())


def _decoders_own(error: Exception | None) -> tuple[str, str]:
    """Return place and sentence from the decoder itself, for the case that only it saw what is wrong."""
    text, _, where = str(error).partition(" - at `$")
    steps = where.rstrip("`").replace("[", "/").replace("]", "").replace(".", "/")
    kind = text.split(",")[0][:80] if isinstance(error, msgspec.ValidationError) else ""
    return steps, InputFault(steps, f"This value cannot be read{': ' + kind if kind else ''}.").message
