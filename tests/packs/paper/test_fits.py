"""What the pack says to plans is what its rules say to artists."""

import random

from hangworthy.contract import StockFrame
from hangworthy_paper.fits import fits
from hangworthy_paper.limits import PaperLimits
from hangworthy_paper.rules_frames import Sheet, has_a_frame

LIMITS = PaperLimits()


def offered(chance: random.Random, frames: tuple[StockFrame, ...]) -> Sheet:
    consent = None if chance.random() < 0.3 else tuple(float(chance.randint(0, 30)) for _ in range(4))
    margins = None if chance.random() < 0.3 else tuple(float(chance.randint(0, 40)) for _ in range(4))
    return Sheet(chance.uniform(200, 700), chance.uniform(200, 900), frames, consent, margins)  # type: ignore[arg-type]


def stock(chance: random.Random) -> tuple[StockFrame, ...]:
    sizes = chance.sample([(297, 420), (420, 594), (594, 841), (400, 500), (600, 900)], 3)
    made = []
    for width, height in sizes:
        window = {"window_width_mm": width - 40, "window_height_mm": height - 40} if chance.random() < 0.3 else {}
        made.append(StockFrame(name=f"{width} × {height}", width_mm=width, height_mm=height, **window))
    return tuple(made)


def test_a_sheet_has_a_frame_just_when_a_plan_may_use_one() -> None:
    seen = {True: 0, False: 0}
    for seed in range(2_000):
        chance = random.Random(seed)
        sheet = offered(chance, stock(chance))
        found = [one for one in fits(LIMITS, *sheet) if one.agreed]
        said = has_a_frame(LIMITS, *sheet, False)
        met = getattr(said, "met", False)  # undecided only where a crop might be agreed to
        assert bool(found) == met, seed
        seen[met] += 1
    assert min(seen.values()) > 300


def test_the_figures_of_a_fit_add_up() -> None:
    for seed in range(2_000):
        chance = random.Random(seed)
        sheet = offered(chance, stock(chance))
        for one in fits(LIMITS, *sheet):
            top, right, bottom, left = one.crop_mm
            assert abs(one.whole_mm[0] - left - right - one.shown_mm[0]) < 1e-6
            assert abs(one.whole_mm[1] - top - bottom - one.shown_mm[1]) < 1e-6
            assert all(shown <= takes + 0.001 for shown, takes in zip(one.shown_mm, one.takes_mm, strict=True))
            if one.agreed:
                assert all(goes <= most + 1e-9 for goes, most in zip(one.crop_mm, one.most_mm, strict=True))
            else:
                consent = sheet.consent or (0.0,) * 4
                for goes, agreed, more in zip(one.crop_mm, consent, one.more_mm, strict=True):
                    assert abs(max(0.0, goes - agreed) - more) < 0.001  # a crop of half a micrometre is rounded
