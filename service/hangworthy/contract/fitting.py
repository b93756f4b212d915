"""How works of a kind go into stock frames: what a pack may declare, so that plans can share the frames out."""

from collections.abc import Callable, Sequence

import msgspec

from hangworthy.contract.effect import Effect
from hangworthy.contract.facts import Four, Pair
from hangworthy.contract.rule import Condition, Rule, RuleFunction, Words, rule
from hangworthy.contract.source import Source

_NOTHING: Four = (0.0, 0.0, 0.0, 0.0)
_UNSAID = Words(measure="", met="", unmet="", remedy="")  # a fitting makes no finding, so it has no sentences


class FrameFit(msgspec.Struct, frozen=True, kw_only=True):
    """How one work goes into frames of one size.

    ``frame`` is the size's name in the venue's stock. ``crop_mm`` goes at the top, right, bottom and left, and leaves ``shown_mm`` of a
    work of ``whole_mm`` in view. ``most_mm`` is what may go on each side: agreed, and free of marks. ``more_mm`` is what of the crop is not
    agreed yet, side by side: a plan only uses a fit of which nothing is left to agree to. ``inner_mm`` is the frame's inner size as the
    work goes in, and ``takes_mm`` the largest that goes in.
    """

    frame: str
    whole_mm: Pair
    shown_mm: Pair
    inner_mm: Pair
    takes_mm: Pair
    turned: bool = False
    matted: bool = False
    crop_mm: Four = _NOTHING
    most_mm: Four = _NOTHING
    more_mm: Four = _NOTHING

    @property
    def agreed(self) -> bool:
        """Whether all of the crop is agreed."""
        return not any(self.more_mm)


def frame_fits(*, source: Source, applies: Sequence[Condition] = (), uses: Sequence[str] = ()) -> Callable[[RuleFunction], Rule]:
    """Make a function of named facts say into which stock frames a work goes: it returns a tuple of :class:`FrameFit`.

    Its signature is that of a rule. The sizes are the fact ``venue.frames``; how many there are of each does not matter here.
    """
    return rule("frame-fits", effect=Effect.ADVISE, source=source, words=_UNSAID, applies=applies, uses=uses)
