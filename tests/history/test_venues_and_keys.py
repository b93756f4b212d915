"""Venues keep every version and one writer wins; keys keep no secret."""

import asyncio
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import text

from hangworthy.history.port import ApiKey, Changed, VenueVersion
from hangworthy.history.sql import SqlHistory
from hangworthy.history.tokens import matches, new_key, parts
from history.making import Maker

pytestmark = pytest.mark.anyio


async def test_a_venue_keeps_its_earlier_versions(store: SqlHistory, make: Maker) -> None:
    assert await store.venues.stamp() == 0
    assert await store.venues.version("clinic") is None
    made = []
    for number in range(3):
        content = b'{"name":"clinic","n":%d}' % number
        made.append(await store.venues.put("clinic", content, f"d{number}", based_on=number, at=make.clock(), by="key-1"))
        assert await store.venues.stamp() == number + 1
    other = await store.venues.put("annexe", b"{}", "d", based_on=0, at=make.clock(), by=None)
    assert made[0] == VenueVersion(
        name="clinic", version=1, content=b'{"name":"clinic","n":0}', digest="d0", at=made[0].at, made_by="key-1"
    )  # fmt: skip
    assert await store.venues.version("clinic") == made[2]
    assert await store.venues.version("clinic", 1) == made[0]
    assert await store.venues.version("clinic", 4) is None
    assert await store.venues.versions("clinic") == made[::-1]
    assert await store.venues.current() == [other, made[2]]


async def test_a_first_version_may_have_the_number_of_its_file(store: SqlHistory, make: Maker) -> None:
    first = await store.venues.put("clinic", b"{}", "d", based_on=0, at=make.clock(), by=None, first=7)
    second = await store.venues.put("clinic", b"{}", "d", based_on=7, at=make.clock(), by=None, first=1)
    assert (first.version, second.version, await store.venues.stamp()) == (7, 8, 2)


async def test_a_change_built_on_an_old_version_is_refused(store: SqlHistory, make: Maker) -> None:
    await store.venues.put("clinic", b"1", "d", based_on=0, at=make.clock(), by=None)
    for based_on in (0, 2, 7):
        with pytest.raises(Changed) as refused:
            await store.venues.put("clinic", b"2", "d", based_on=based_on, at=make.clock(), by=None)
        assert refused.value.current == 1
    with pytest.raises(Changed) as refused:
        await store.venues.put("annexe", b"2", "d", based_on=1, at=make.clock(), by=None)
    assert refused.value.current == 0


async def test_of_many_changes_at_once_one_wins(url: str, make: Maker) -> None:
    stores = [make.store(url), make.store(url)]
    for store in stores:
        await store.start()
    for number in range(5):
        puts = [
            store.venues.put("clinic", b"%d" % who, "d", based_on=number, at=make.clock(), by=None) for who, store in enumerate(stores * 4)
        ]
        results = await asyncio.gather(*puts, return_exceptions=True)
        assert sorted(type(one).__name__ for one in results) == ["Changed"] * 7 + ["VenueVersion"]
        assert all(one.current == number + 1 for one in results if isinstance(one, Changed))
    for store in stores:
        await store.stop()


async def test_a_key_is_kept_found_used_and_revoked(store: SqlHistory, make: Maker, url: str) -> None:
    assert not await store.keys.any()
    id, shown, kept = new_key()
    one = ApiKey(
        id=id, name="the form", scopes=("evaluate", "read"), venues=("clinic",), made_at=make.clock(),
        expires_at=make.clock() + timedelta(days=90),
    )  # fmt: skip
    all_venues = ApiKey(id="second", name="admin", scopes=("admin",), venues=None, made_at=make.clock())
    await store.keys.add(one, kept)
    await store.keys.add(all_venues, bytes(32))
    assert await store.keys.any()
    assert await store.keys.find(id) == (one, kept)
    assert await store.keys.find("nobody") is None
    assert await store.keys.every() == [one, all_venues]
    for hour in (9, 17):
        await store.keys.used(id, datetime(2026, 4, 1, hour, 30, tzinfo=UTC))
    used = (await store.keys.every())[0].last_used_on
    assert used == datetime(2026, 4, 1, tzinfo=UTC)
    assert await store.keys.revoke(id, make.clock())
    assert not await store.keys.revoke(id, make.clock())
    assert not await store.keys.revoke("nobody", make.clock())
    assert (await store.keys.every())[0].revoked_at == make.clock.now - timedelta(milliseconds=2)
    secret = parts(shown)[1]  # type: ignore[index]
    async with store._database.read() as connection:
        rows = (await connection.execute(text("SELECT * FROM api_keys"))).all()
    assert secret not in str(rows)


def test_a_key_is_recognised_by_its_secret_only() -> None:
    id, shown, kept = new_key()
    other_id, other, _ = new_key()
    assert id != other_id
    assert parts(shown) is not None
    found_id, secret = parts(shown)  # type: ignore[misc]
    assert found_id == id
    assert len(secret) >= 43  # 256 bits in base64
    assert matches(secret, kept)
    assert not matches(secret[:-1], kept)
    assert not matches(parts(other)[1], kept)  # type: ignore[index]
    assert len(kept) == 32


@pytest.mark.parametrize("text", ["", "hw", "hw_", "hw_id", "hw_id_", "hw__secret", "xx_id_secret", "Bearer hw_id_secret", "\udc80"])
def test_what_is_no_key_is_none(text: str) -> None:
    assert parts(text) is None
