"""Perceptual fingerprints of pictures: which of many are within a distance of each other, exactly, without trying every pair."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from hangworthy_handbook.checks import within

BITS: Final = 64
_SEGMENTS: Final = 4
# Bits of each segment, by the remainder of the distance: where the first ones are looked up more widely, they are longer.
_WIDTHS: Final = ((19, 15, 15, 15), (17, 17, 15, 15), (17, 17, 16, 14), (16, 16, 16, 16))
_FEW: Final = 192  # up to here every pair is tried, which is faster than an index
MOST_PAIRS: Final = 500_000


class Crowded(ValueError):
    """Raised when so many fingerprints lie close together that they tell no picture from another."""


def hamming(one: int, other: int) -> int:
    """Number of bits in which two fingerprints differ.

    Parameters
    ----------
    one, other : fingerprints of 64 bits [-]

    Returns: the distance, 0 to 64 [bits]

    Validity: whole numbers from 0 to 2^64 - 1. Errors: ValueError outside of it.
    Source: Hamming distance, by definition.
    Rows: FP-01, FP-02, FP-03.
    """
    within("one", one, 0, 2**BITS - 1)
    within("other", other, 0, 2**BITS - 1)
    return (one ^ other).bit_count()


def near_pairs(values: Sequence[int], distance: int, most: int = MOST_PAIRS) -> list[tuple[int, int]]:
    """All pairs of distinct fingerprints within a distance, exactly.

    Multi-index hashing: the bits are dealt to four segments. Two fingerprints within r = 4 t + a of each other differ by at most t
    in one of the first a + 1 segments or by at most t - 1 in one of the others (else they would differ by r + 1), so looking up each
    segment's near keys finds every pair. Bits are dealt by how evenly they split the set, so that shared bits never fill one segment.

    Parameters
    ----------
    values : distinct fingerprints of 64 bits [-]
    distance : the largest difference of a pair, 0 to 16 [bits]
    most : the most pairs that are collected [-]

    Returns: pairs of places (smaller, larger) in `values`, sorted

    Validity: about 90 look-ups per fingerprint at a distance of 8 while there are far fewer than 2^16 of them. Where an index would try
    more than an eighth of all pairs, every pair is tried once instead, so the worst case is little above that of all pairs.
    Errors: ValueError for a distance outside of 0 to 16; Crowded (a ValueError) for more than `most` pairs.
    Source: pigeonhole principle; multi-index hashing after Norouzi, Punjani and Fleet (2012), from memory.
    Rows: FP-04, FP-05, FP-06.
    """
    within("distance", distance, 0, 16)
    if len(values) <= _FEW:
        return sorted(_collected(_every_pair(values, distance), most))
    found: set[tuple[int, int]] = set()
    widths = _WIDTHS[distance % _SEGMENTS]
    dealt = _dealt(values, widths)
    budget = [len(values) * (len(values) - 1) // 16]
    for segment in range(_SEGMENTS):
        radius = distance // _SEGMENTS - (segment > distance % _SEGMENTS)
        if radius < 0:
            continue
        for pair in _meeting(dealt, (sum(widths[:segment]), widths[segment]), radius, distance, budget):
            found.add(pair)
            if len(found) > most:
                raise _crowded(most)
        if budget[0] < 0:
            return sorted(_collected(_every_pair(values, distance), most))
    return sorted(found)


def _crowded(most: int) -> Crowded:
    return Crowded(
        f"more than {most} pairs of fingerprints are alike, so they tell no picture from another. Please check how they are made."
    )


def _collected(pairs: Iterator[tuple[int, int]], most: int) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for pair in pairs:
        found.append(pair)
        if len(found) > most:
            raise _crowded(most)
    return found


def _every_pair(values: Sequence[int], distance: int) -> Iterator[tuple[int, int]]:
    for place, value in enumerate(values):
        for other in range(place):
            if (value ^ values[other]).bit_count() <= distance:
                yield other, place


def _order(widths: Sequence[int]) -> list[int]:
    """Return the bits to fill, one after the other: always in the segment that is the least full."""
    filled, order = [0] * len(widths), []
    for _ in range(BITS):
        segment = min(range(len(widths)), key=lambda one: (filled[one] / widths[one], one))
        order.append(sum(widths[:segment]) + filled[segment])
        filled[segment] += 1
    return order


def _dealt(values: Sequence[int], widths: Sequence[int]) -> list[int]:
    """Return the fingerprints with their bits dealt to the segments in turn, the most telling first; distances stay what they are."""
    whole = b"".join(value.to_bytes(8, "little") for value in values)
    ones = [0] * BITS
    for byte in range(8):
        for pattern, times in Counter(whole[byte::8]).items():
            for bit in range(8):
                ones[8 * byte + bit] += times * (pattern >> bit & 1)
    telling = sorted(range(BITS), key=lambda bit: (abs(2 * ones[bit] - len(values)), bit))
    target = dict(zip(telling, _order(widths), strict=True))
    tables = [[sum(1 << target[8 * byte + bit] for bit in range(8) if pattern >> bit & 1) for pattern in range(256)] for byte in range(8)]
    a, b, c, d, e, f, g, h = tables
    parts = (value.to_bytes(8, "little") for value in values)
    return [a[p[0]] | b[p[1]] | c[p[2]] | d[p[3]] | e[p[4]] | f[p[5]] | g[p[6]] | h[p[7]] for p in parts]


def _ball(radius: int, width: int) -> tuple[int, ...]:
    """Return every mask of so many bits with at most `radius` of them set."""
    ball = {0}
    for _ in range(radius):
        ball |= {mask ^ (1 << bit) for mask in ball for bit in range(width)}
    return tuple(sorted(mask for mask in ball if mask.bit_count() <= radius))


def _meeting(values: Sequence[int], segment: tuple[int, int], radius: int, distance: int, budget: list[int]) -> Iterator[tuple[int, int]]:
    """Yield the pairs that meet in a segment: half of the radius is walked when a value is filed, the rest when it is looked up.

    Stops early, with the budget below 0, once it has tried too many.
    """
    shift, width = segment
    filed, asked, mask = _ball(radius // 2, width), _ball(radius - radius // 2, width), (1 << width) - 1
    first = [-1] * (1 << width)  # most keys hold one value: a list for each would cost more than all look-ups
    more: dict[int, list[int]] = {}
    tried = 0
    for place, value in enumerate(values):
        key = value >> shift & mask
        spots = [key ^ flip for flip in asked if first[key ^ flip] >= 0]
        hits = [first[spot] for spot in spots]
        for spot in spots:
            if spot in more:
                hits += more[spot]
        tried += len(hits)
        yield from [(other, place) for other in hits if (value ^ values[other]).bit_count() <= distance]
        if tried > budget[0]:
            break
        for flip in filed:
            if first[spot := key ^ flip] < 0:
                first[spot] = place
            else:
                more.setdefault(spot, []).append(place)
    budget[0] -= tried
