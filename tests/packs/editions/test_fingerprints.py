"""Fingerprints: the index against every pair by brute force, for ordinary and for spiteful sets."""

import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangworthy_editions.formulas import Crowded, hamming, near_pairs
from hangworthy_editions.images import images

fingerprint = st.integers(0, 2**64 - 1)


def brute(values: list[int], distance: int) -> list[tuple[int, int]]:
    return [(i, j) for i, j in combinations(range(len(values)), 2) if bin(values[i] ^ values[j]).count("1") <= distance]


def flipped(value: int, bits: int, chance: random.Random) -> int:
    for bit in chance.sample(range(64), bits):
        value ^= 1 << bit
    return value


def clustered(count: int, centres: int, start: int, most: int = 12) -> list[int]:
    """Fingerprints in heaps round a few pictures, so that many pairs lie on either side of any distance."""
    chance = random.Random(start)
    heaps = [chance.getrandbits(64) for _ in range(centres)]
    return sorted({flipped(chance.choice(heaps), chance.randint(0, most), chance) for _ in range(count)})


@given(st.lists(fingerprint, unique=True, max_size=40), st.integers(0, 16))
def test_a_few_against_every_pair(values: list[int], distance: int) -> None:
    assert near_pairs(values, distance) == brute(values, distance)


@settings(max_examples=20, deadline=None)
@given(st.integers(200, 420), st.integers(1, 60), st.integers(0, 10**6), st.integers(0, 16))
def test_many_in_heaps_against_every_pair(count: int, centres: int, start: int, distance: int) -> None:
    values = clustered(count, centres, start)
    assert near_pairs(values, distance) == brute(values, distance)


def shared_segment(count: int) -> list[int]:
    """All agree in 48 of 64 bits."""
    chance = random.Random(1)
    return sorted({chance.getrandbits(16) for _ in range(count)})


def two_shared_halves(count: int) -> list[int]:
    """Half agree in the upper 32 bits, half in the lower ones: no dealing of bits serves both."""
    chance = random.Random(2)
    upper = {chance.getrandbits(32) << 32 | 0x5A5A5A5A for _ in range(count // 2)}
    return sorted(upper | {chance.getrandbits(32) | 0x3C3C3C3C << 32 for _ in range(count // 2)})


def ball(count: int) -> list[int]:
    """All within eight bits of each other."""
    chance = random.Random(3)
    return sorted({flipped(0x0F0F0F0F0F0F0F0F, chance.randint(0, 4), chance) for _ in range(count)})


@pytest.mark.parametrize("make", [shared_segment, two_shared_halves, ball], ids=lambda make: make.__name__)
@pytest.mark.parametrize("distance", [0, 3, 7, 8, 11])
def test_spiteful_sets_against_every_pair(make, distance: int) -> None:
    values = make(700)
    assert near_pairs(values, distance) == brute(values, distance)


def test_a_ball_of_fingerprints_that_all_are_alike() -> None:
    values = ball(500)
    assert len(near_pairs(values, 8)) == len(values) * (len(values) - 1) // 2


@pytest.mark.parametrize("count", [150, 700])
def test_more_pairs_than_can_be_kept_are_refused_and_not_left_out(count: int) -> None:
    with pytest.raises(Crowded, match="more than 100 pairs"):
        near_pairs(ball(count), 8, most=100)


def test_the_index_gives_up_for_every_pair_and_still_refuses_what_is_too_much() -> None:
    values = shared_segment(3000)
    with pytest.raises(Crowded):
        near_pairs(values, 8, most=100_000)


@pytest.mark.parametrize("distance", [-1, 17])
def test_a_distance_out_of_range(distance: int) -> None:
    with pytest.raises(ValueError, match="distance"):
        near_pairs([1, 2], distance)


@given(fingerprint, fingerprint, fingerprint)
def test_distance_is_a_metric(a: int, b: int, c: int) -> None:
    assert hamming(a, b) == hamming(b, a)
    assert (hamming(a, b) == 0) == (a == b)
    assert hamming(a, c) <= hamming(a, b) + hamming(b, c)


# Groups


def grouped(prints: list[str | None], mirrors: list[str | None] | None = None, image_ofs: list[str | None] | None = None, bits: int = 8):
    none = (None,) * len(prints)
    refs = tuple(f"w{place:05}" for place in range(len(prints)))
    return images(refs, ("a",) * len(prints), tuple(image_ofs or none), none, tuple(prints), tuple(mirrors or none), bits)


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 60), st.integers(1, 6), st.integers(0, 10**6))
def test_works_are_kin_where_brute_force_says_so(count: int, centres: int, start: int) -> None:
    values = [value for value in clustered(count, centres, start) if 8 < value.bit_count() < 56]
    found = grouped([f"{value:016x}" for value in values])
    near = {frozenset(pair) for pair in brute(values, 8)}
    for work in range(len(values)):
        assert set(found.others(work)) == {other for other in range(len(values)) if frozenset((work, other)) in near}
        assert found.alone(work) == (not list(found.others(work)))


def test_what_is_declared_is_carried_on_and_nearness_is_not() -> None:
    chain = ["00ff00ff00ff00ff", "00ff00ff00ff0000", "00ff00ff00000000"]
    near = grouped(chain)
    assert list(near.others(0)) == [1]
    declared = grouped([None] * 3, image_ofs=[None, "w00000", "w00001"])
    assert sorted(declared.others(0)) == [1, 2]


def test_one_link_by_fingerprint_reaches_all_that_is_declared_to_be_the_same() -> None:
    """0 has no fingerprint; 1 is declared to show it; 2 is near 1, so it is near 0 as well."""
    found = grouped([None, "00ff00ff00ff00ff", "00ff00ff00ff00fe"], image_ofs=[None, "w00000", None])
    assert sorted(found.others(0)) == [1, 2]
    assert sorted(found.others(2)) == [0, 1]


def test_a_work_that_names_itself_or_is_its_own_mirror_is_alone() -> None:
    assert grouped([None], image_ofs=["w00000"]).alone(0)
    assert grouped(["00ff00ff00ff00ff"], ["00ff00ff00ff00ff"]).alone(0)


def test_crowded_fingerprints_are_told_and_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    import hangworthy_editions.images as module

    monkeypatch.setattr(module, "near_pairs", lambda values, distance: near_pairs(values, distance, most=10))
    values = ball(90)
    found = grouped([f"{value:016x}" for value in values])
    assert found.crowded
    assert all(found.alone(work) for work in range(len(values)))
    module.images.cache_clear()
