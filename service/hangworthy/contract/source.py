"""Where a limit or a rule comes from, said the same way everywhere."""

from typing import Literal

import msgspec

Provenance = Literal["published", "common practice", "own policy"]


class Source(msgspec.Struct, frozen=True, omit_defaults=True):
    """The provenance of a rule or a limit.

    ``provenance`` is *published* (``title`` and ``where`` name the text, its edition and table), *common practice*
    (a fact of the trade with no source) or *own policy* (no published limit exists; the programme's default).
    ``from_memory`` marks a figure that was not read in the text itself.
    """

    provenance: Provenance
    title: str = ""
    where: str = ""
    from_memory: bool = False


COMMON_PRACTICE = Source("common practice", title="Fact of the trade, no source")
OWN_POLICY = Source("own policy", title="The programme's own default; no published limit exists")


def published(title: str, where: str = "", *, from_memory: bool = False) -> Source:
    """Return the source of a published figure: title with edition, and the table or section in it."""
    return Source("published", title=title, where=where, from_memory=from_memory)
