"""Small inputs of a frame plan, made by hand and by chance."""

import random
from datetime import date, timedelta
from typing import Any

from hangworthy.contract import FrameFit
from hangworthy.plans.frames.wanted import Earlier, FramesAway, PlanFrame, PlanInput, PlanWork

START = date(2027, 3, 1)
STOCK = (("A3", 297.0, 420.0), ("A2", 420.0, 594.0), ("A1", 594.0, 841.0))
NAMES = ("A3", "A2", "A1")


def frame(name: str, count: int = 1) -> PlanFrame:
    size = next(one for one in STOCK if one[0] == name)
    return PlanFrame(name=name, count=count, width_mm=size[1], height_mm=size[2])


def fit(name: str, width: float, height: float, consent: float = 0.0, *, ask: float = 40.0) -> FrameFit | None:
    """Return how a sheet goes into a frame, upright, centred: the plainest geometry there is."""
    inner = next((one[1], one[2]) for one in STOCK if one[0] == name)
    over = [max(0.0, side - most) for side, most in zip((width, height), inner, strict=True)]
    across, down = over[0] / 2, over[1] / 2
    if max(across, down) > ask:
        return None
    more = tuple(max(0.0, side - consent) for side in (down, across, down, across))
    shown = (width - over[0], height - over[1])
    return FrameFit(
        frame=name, whole_mm=(width, height), shown_mm=shown, inner_mm=inner, takes_mm=inner, matted=shown != inner and not any(over),
        crop_mm=(down, across, down, across), most_mm=(consent,) * 4, more_mm=more,
    )  # type: ignore[arg-type] # fmt: skip


def work(
    ref: str, first: int, days: int, width: float, height: float, names: tuple[str, ...] = ("A3", "A2", "A1"), **more: Any
) -> PlanWork:
    consent = more.pop("consent", 0.0)
    fits = tuple(one for name in names if (one := fit(name, width, height, consent)))
    begin = START + timedelta(first)
    return PlanWork(
        ref=ref, hang_from=begin, hang_until=begin + timedelta(days - 1), width_mm=width, height_mm=height, fits=fits, **more
    )  # fmt: skip


def random_input(seed: int, works: int = 12) -> PlanInput:
    chance = random.Random(seed)
    frames = tuple(frame(name, chance.randint(0, 2)) for name, *_ in STOCK)
    away = tuple(
        FramesAway(frame=one.name, away_from=START + timedelta(n), away_until=START + timedelta(n + 9))
        for one in frames
        if one.count and chance.random() < 0.3
        for n in (chance.randint(0, 50),)
    )
    made = []
    for number in range(works):
        _, width, height = chance.choice(STOCK)
        wide, high = width + chance.choice((0, -30, 12, 25)), height + chance.choice((0, -40, 10))
        made.append(work(f"w{number:02}", chance.randint(0, 60), chance.randint(7, 40), wide, high, consent=chance.choice((0, 0, 10, 20))))
    earlier = tuple(
        Earlier(ref=one.ref, frame=chance.choice(STOCK)[0], number=chance.choice((None, 1, 2))) for one in made if chance.random() < 0.4
    )
    return PlanInput(venue="v", works=tuple(made), frames=frames, away=away, earlier=earlier, seconds=60.0)
