"""Perceptual fingerprints of pictures: which of many are within a distance of each other, exactly, without trying every pair."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from hangworthy_handbook.checks import within

BITS: Final = 64
_SEGMENTS, _WIDTH = 4, 16
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

    Multi-index hashing: the bits are dealt to four segments of 16. Two fingerprints within r = 4 t + a of each other differ by at most t
    in one of the first a + 1 segments or by at most t - 1 in one of the others (else they would differ by r + 1), so looking up each
    segment's near keys finds every pair. Bits are dealt by how evenly they split the set, so that shared bits never fill one segment.

    Parameters
    ----------
    values : distinct fingerprints of 64 bits [-]
    distance : the largest difference of a pair, 0 to 16 [bits]
    most : the most pairs that are collected [-]

    Returns: pairs of places (smaller, larger) in `values`, sorted

    Validity: about 90 look-ups per fingerprint at a distance of 8 while there are far fewer than 2^16 of them. Where an index would try
    more pairs than there are, every pair is tried once instead, so the worst case is that of all pairs.
    Errors: ValueError for a distance outside of 0 to 16; Crowded (a ValueError) for more than `most` pairs.
    Source: pigeonhole principle; multi-index hashing after Norouzi, Punjani and Fleet (2012), from memory.
    Rows: FP-04, FP-05, FP-06.
    """
    within("distance", distance, 0, 16)
    if len(values) <= _FEW:
        return sorted(_collected(_every_pair(values, distance), most))
    found: set[tuple[int, int]] = set()
    dealt = _dealt(values)
    budget = [len(values) * (len(values) - 1) // 2]
    for segment in range(_SEGMENTS):
        radius = distance // _SEGMENTS - (segment > distance % _SEGMENTS)
        if radius < 0:
            continue
        for pair in _meeting(dealt, segment, radius, distance, budget):
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


def _dealt(values: Sequence[int]) -> list[int]:
    """Return the fingerprints with their bits dealt to the segments in turn, the most telling first; distances stay what they are."""
    whole = b"".join(value.to_bytes(8, "little") for value in values)
    ones = [0] * BITS
    for byte in range(8):
        for pattern, times in Counter(whole[byte::8]).items():
            for bit in range(8):
                ones[8 * byte + bit] += times * (pattern >> bit & 1)
    telling = sorted(range(BITS), key=lambda bit: (abs(2 * ones[bit] - len(values)), bit))
    target = {bit: turn % _SEGMENTS * _WIDTH + turn // _SEGMENTS for turn, bit in enumerate(telling)}
    tables = [[sum(1 << target[8 * byte + bit] for bit in range(8) if pattern >> bit & 1) for pattern in range(256)] for byte in range(8)]
    return [sum(table[part] for table, part in zip(tables, value.to_bytes(8, "little"), strict=True)) for value in values]


def _ball(radius: int) -> tuple[int, ...]:
    """Return every 16-bit mask with at most `radius` bits set."""
    ball = {0}
    for _ in range(radius):
        ball |= {mask ^ (1 << bit) for mask in ball for bit in range(_WIDTH)}
    return tuple(sorted(mask for mask in ball if mask.bit_count() <= radius))


def _meeting(values: Sequence[int], segment: int, radius: int, distance: int, budget: list[int]) -> Iterator[tuple[int, int]]:
    """Yield the pairs that meet in a segment: half of the radius is walked when a value is filed, the rest when it is looked up.

    Stops early, with the budget below 0, once it has tried more pairs than there are.
    """
    filed, asked = _ball(radius // 2), _ball(radius - radius // 2)
    shift, mask = segment * _WIDTH, (1 << _WIDTH) - 1
    buckets: dict[int, list[int]] = {}
    for place, value in enumerate(values):
        key = value >> shift & mask
        for flip in asked:
            bucket = buckets.get(key ^ flip)
            if bucket is None:
                continue
            budget[0] -= len(bucket)
            for other in bucket:
                if (value ^ values[other]).bit_count() <= distance:
                    yield other, place
        if budget[0] < 0:
            return
        for flip in filed:
            buckets.setdefault(key ^ flip, []).append(place)
