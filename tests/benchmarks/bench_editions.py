"""How the comparison of works with each other grows with their number.

Run it with ``python tests/benchmarks/bench_editions.py``; the last line is one JSON object. All figures are ratios from one run, the rounds
of both sides interleaved, so that a busy machine slows both alike; each time is the processor's, each figure the median over the rounds.
The smaller size is run ten times a round, so that both are exposed to the machine alike. The bar of the growths is that of n log n from
1,000 to 10,000, which is 13.3.

- ``grouping``: putting works together by reference, edition and fingerprint (8 bits of 64), 10,000 works against 1,000.
- ``set_rules``: every set rule of the pack over the same works, read and ready, grouping included.
- ``spiteful``: 2,000 fingerprints that are all within reach of each other or share most of their bits, against trying every pair of them.
"""

import gc
import json
import math
import random
import time
from collections.abc import Callable
from itertools import combinations
from statistics import median
from typing import Any

import msgspec

from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.sets import set_verdicts
from hangworthy_editions import PACK
from hangworthy_editions.formulas import Crowded, near_pairs
from hangworthy_editions.images import images

SMALL, LARGE, ROUNDS, SPITEFUL = 1_000, 10_000, 7, 2_000


def flipped(value: int, bits: int, chance: random.Random) -> int:
    """Return a fingerprint with so many bits turned over."""
    for bit in chance.sample(range(64), bits):
        value ^= 1 << bit
    return value


def works(count: int) -> list[dict[str, Any]]:
    """Paintings, each fifth with a print and a reproduction of it, by one artist in forty works; a fingerprint each."""
    chance, made = random.Random(count), []
    while len(made) < count:
        number, artist = len(made), f"a{len(made) // 40}"
        picture, width, height = chance.getrandbits(64), chance.randrange(300, 1200), chance.randrange(300, 1200)
        price = round(0.02 * (width * height) ** 0.8)
        own = {"artist_ref": artist, "width_mm": width, "height_mm": height, "currency": "EUR", "price": str(price)}
        made.append({"ref": f"w{number}", "kind": "panel", **own, "editions": {"fingerprint": f"{picture:016x}"}})
        if number % 5 == 0:
            scan, poster = (f"{flipped(picture, bits, chance):016x}" for bits in (5, 8))
            edition = {"fingerprint": scan, "image_of": f"w{number}", "edition_ref": f"e{number}", "edition_size": 20, "number": 3}
            made.append({"ref": f"w{number}p", "kind": "original-print", **own, "price": str(price // 4), "editions": edition})
            made.append({"ref": f"w{number}r", "kind": "reproduction", **own, "price": "20", "editions": {"fingerprint": poster}})
    return made[:count]


def spiteful() -> list[list[int]]:
    """Return sets of fingerprints that an index likes least: a dense heap, most bits shared, and two halves that share other bits."""
    chance = random.Random(1)
    heap = {flipped(0x0F0F0F0F0F0F0F0F, chance.randint(0, 4), chance) for _ in range(SPITEFUL)}
    shared = {chance.getrandbits(16) for _ in range(SPITEFUL)}
    halves = {chance.getrandbits(32) << 32 for _ in range(SPITEFUL // 2)} | {chance.getrandbits(32) for _ in range(SPITEFUL // 2)}
    return [sorted(one) for one in (heap, shared, halves)]


def every_pair(values: list[int]) -> int:
    """Try every pair, as plainly as it can be written."""
    return sum((one ^ other).bit_count() <= 8 for one, other in combinations(values, 2))


def by_index(values: list[int]) -> int:
    """Ask the index; a set that is refused as crowded counts with the time it took."""
    try:
        return len(near_pairs(values, 8))
    except Crowded:
        return -1


def timed(call: Callable[[], object], times: int) -> float:
    """Return the processor's time for one call [s], the mean of several."""
    taken = 0.0
    for _ in range(times):
        images.cache_clear()
        started = time.process_time()
        call()
        taken += time.process_time() - started
    return taken / times


def compared(one: Callable[[], object], other: Callable[[], object], times: int) -> tuple[float, float, float]:
    """Return the median times of two calls [s] and the median of their ratios; they take turns, the second several times."""
    rounds = [(timed(one, 1), timed(other, times)) for _ in range(ROUNDS)]
    return median(a for a, _ in rounds), median(b for _, b in rounds), median(a / b for a, b in rounds)


class Ready:
    """Works read once, as the engine reads them; and the columns of the grouping."""

    def __init__(self, evaluator: Evaluator, count: int) -> None:
        """Read so many works."""
        raw = works(count)
        self.ruleset = evaluator.ruleset
        self.reads = evaluator.read([msgspec.convert(one, self.ruleset.schema.work, strict=False) for one in raw])
        self.refs = [one["ref"] for one in raw]
        column = [[one["editions"].get(name) for one in raw] for name in ("image_of", "edition_ref", "fingerprint", "mirror_fingerprint")]
        self.columns = (tuple(self.refs), tuple(one["artist_ref"] for one in raw), *map(tuple, column))

    def group(self) -> object:
        """Put the works together by what they show."""
        return images(*self.columns, 8)

    def ask(self) -> int:
        """Ask every set rule."""
        return sum(len(set_verdicts(bound, self.reads, self.refs, self.ruleset.guard)) for bound in self.ruleset.sets)


def main() -> None:
    """Measure everything and print the figures."""
    evaluator = Evaluator(Ruleset(build_catalogue([installed_pack(PACK)]), Venue(name="bench")))
    small, large = Ready(evaluator, SMALL), Ready(evaluator, LARGE)
    gc.collect()
    gc.freeze()  # the collector need not walk over all the works that only the benchmark keeps
    group_l, group_s, grouping = compared(large.group, small.group, LARGE // SMALL)
    ask_l, ask_s, asking = compared(large.ask, small.ask, LARGE // SMALL)
    sets = spiteful()
    index, pairs, worst = compared(lambda: [by_index(one) for one in sets], lambda: [every_pair(one) for one in sets], 1)
    bar = LARGE * math.log(LARGE) / (SMALL * math.log(SMALL))
    print(f"grouping: {SMALL} works in {group_s * 1e3:.0f} ms, {LARGE} in {group_l * 1e3:.0f} ms")
    print(f"{len(evaluator.ruleset.sets)} set rules: {SMALL} works in {ask_s * 1e3:.0f} ms, {LARGE} in {ask_l * 1e3:.0f} ms")
    print(f"spiteful sets of {[len(one) for one in sets]}: {index * 1e3:.0f} ms by index, {pairs * 1e3:.0f} ms by every pair")
    figures = {"grouping": (grouping, bar), "set_rules": (asking, bar), "spiteful": (worst, 3.0)}
    print(
        json.dumps(
            {name: {"ratio": round(ratio, 3), "bar": round(most, 3), "holds": ratio <= most} for name, (ratio, most) in figures.items()}
        )
    )


if __name__ == "__main__":
    main()
