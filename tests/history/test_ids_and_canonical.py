"""Ids that sort by time, and bodies that come out as they went in."""

import threading
import uuid
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy.history.canonical import Codec, canonical, digest
from hangworthy.history.ids import uuid7_maker

NOW = datetime(2026, 3, 31, 12, 0, 0, 987654, tzinfo=UTC)


def test_an_id_is_a_uuid_of_version_7_with_its_time() -> None:
    made = uuid.UUID(uuid7_maker(lambda: NOW)())
    assert made.version == 7
    assert made.variant == uuid.RFC_4122
    assert made.int >> 80 == int(NOW.timestamp() * 1000)


@pytest.mark.parametrize("chance", [lambda bits: (1 << bits) - 1, lambda bits: 0])
def test_ids_grow_when_the_clock_stands_or_goes_back_and_chance_is_at_its_ends(chance) -> None:
    times = iter([NOW] * 5000 + [NOW - timedelta(hours=1)] * 5000 + [NOW + timedelta(milliseconds=1)])
    make = uuid7_maker(lambda: next(times), chance)
    ids = [make() for _ in range(10_001)]
    assert ids == sorted(set(ids))
    assert {uuid.UUID(one).version for one in ids} == {7}


def test_ids_differ_over_threads() -> None:
    make = uuid7_maker(lambda: NOW)
    made: list[list[str]] = [[] for _ in range(8)]
    threads = [threading.Thread(target=lambda mine=mine: mine.extend(make() for _ in range(2000))) for mine in made]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len({one for mine in made for one in mine}) == 16_000
    assert all(mine == sorted(mine) for mine in made)


@given(st.binary(max_size=3000), st.binary(max_size=3000), st.binary(min_size=1, max_size=500))
def test_bodies_come_out_as_they_went_in(request: bytes, answer: bytes, dictionary: bytes) -> None:
    plain, with_one = Codec(), Codec({3: dictionary, 4: b"another one"}, 3)
    assert plain.unpack(plain.pack(request, answer)) == (request, answer)
    assert with_one.unpack(with_one.pack(request, answer)) == (request, answer)
    assert with_one.unpack(plain.pack(request, answer)) == (request, answer)


@pytest.mark.parametrize("packed", [b"", b"\x00", b"\x01nonsense", b"\x02\x00\x00\x00\x09" + b"x" * 20, b"\x07abc"])
def test_what_is_no_packed_body_is_a_value_error(packed: bytes) -> None:
    with pytest.raises(ValueError):
        Codec().unpack(packed)


def test_canonical_bytes_do_not_depend_on_order() -> None:
    assert canonical({"b": 1, "a": [2, {"d": 3, "c": 4}]}) == b'{"a":[2,{"c":4,"d":3}],"b":1}'
    assert digest(b"abc").hex() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"  # FIPS 180-4, its first example
