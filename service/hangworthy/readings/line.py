"""A whole line, read: dimensions, medium and edition together."""

from hangworthy.contract.reading import AsWritten, EditionRead, KindRead, Size, Source
from hangworthy.readings.dimensions import read_dimensions
from hangworthy.readings.edition import read_edition
from hangworthy.readings.medium import read_medium
from hangworthy.readings.model import Found, Reading, Unsure


def read_line(line: AsWritten) -> Reading:
    """Return all that a line says. Pure; never raises; time in proportion to the length of the texts."""
    found, unsure = list[Found](), list[Unsure]()
    unread = list[tuple[Source, int, int]]()
    kind: KindRead | None = None
    sizes: tuple[Size, ...] = ()
    edition: EditionRead | None = None
    if line.dimensions is not None:
        told = read_dimensions(line.dimensions, line.convention)
        sizes = told.sizes
        found += told.found
        unsure += told.unsure
        unread += [("dimensions", *place) for place in told.unread]
        if not told.sizes and not told.found:
            unsure.append(Unsure(("height", "width"), "dimensions", 0, len(line.dimensions), "nothing-read"))
    if line.medium is not None:
        kind, more, open_ = read_medium(line.medium)
        _add(found, unsure, more)
        unsure += open_
    if line.edition is not None:
        edition, some, asked = read_edition(line.edition)
    elif line.medium is not None:
        edition, some, asked = read_edition(line.medium, "medium", strict=True)
    else:
        some, asked = (), ()
    return Reading((*found, *some), (*unsure, *asked), sizes, kind, edition, tuple(unread))


# What both a medium and a line of dimensions may say, and the rule where they disagree.
_OPEN = {"framed": "framed-open", "glazing": "glazing-open"}


def _add(found: list[Found], unsure: list[Unsure], more: list[Found]) -> None:
    """Add what a medium says. Where the dimensions say otherwise whether it is framed, or behind which pane, it is asked."""
    told = {one.name: one for one in found}
    for one in more:
        other = told.get(one.name)
        if other is None:
            found.append(one)
        elif other.value != one.value:
            found.remove(other)
            unsure.append(Unsure((one.name,), one.source, one.start, one.end, _OPEN[one.name]))
