"""What somebody does to the rows behind the service's back is seen."""

import asyncio

import pytest
from sqlalchemy import text

from hangworthy.history.sql import SqlHistory
from history.making import Maker

pytestmark = pytest.mark.anyio

TAMPERED = {
    "an altered byte of a body": ["UPDATE evaluations SET body = (SELECT body FROM evaluations WHERE id = :b) WHERE id = :a"],
    "a body that cannot be unpacked": ["UPDATE evaluations SET body = (SELECT link FROM chain WHERE position = 1) WHERE id = :a"],
    "an altered outcome": ["UPDATE evaluations SET outcome = 'refuse' WHERE id = :a"],
    "an altered venue": ["UPDATE evaluations SET venue = 'elsewhere' WHERE id = :a"],
    "an altered time": ["UPDATE evaluations SET at = (SELECT at FROM evaluations WHERE id = :b) WHERE id = :a"],
    "an altered work": ["UPDATE works SET ref = 'another' WHERE evaluation_id = :a"],
    "a deleted work": ["DELETE FROM works WHERE evaluation_id = :a"],
    "deleted search terms": ["DELETE FROM terms WHERE evaluation_id = :a"],
    "a deleted row": [
        "DELETE FROM works WHERE evaluation_id = :a", "DELETE FROM terms WHERE evaluation_id = :a", "DELETE FROM evaluations WHERE id = :a",
    ],
    "a row deleted with its entry": [
        "DELETE FROM works WHERE evaluation_id = :a", "DELETE FROM terms WHERE evaluation_id = :a", "DELETE FROM evaluations WHERE id = :a",
        "DELETE FROM chain WHERE evaluation_id = :a",
    ],
    "swapped rows": [
        "UPDATE chain SET evaluation_id = 'x' WHERE evaluation_id = :a", "UPDATE chain SET evaluation_id = :a WHERE evaluation_id = :b",
        "UPDATE chain SET evaluation_id = :b WHERE evaluation_id = 'x'",
    ],
    "swapped entries": [
        "UPDATE chain SET position = 1000 WHERE evaluation_id = :a", "UPDATE chain SET position = 4 WHERE evaluation_id = :b",
        "UPDATE chain SET position = 6 WHERE position = 1000",
    ],
    "an altered digest": ["UPDATE chain SET digest = link WHERE evaluation_id = :a"],
    "the newest one cut off": [
        "DELETE FROM works WHERE evaluation_id = :last", "DELETE FROM terms WHERE evaluation_id = :last",
        "DELETE FROM evaluations WHERE id = :last", "DELETE FROM chain WHERE evaluation_id = :last",
    ],
    "a row put in": [
        "INSERT INTO evaluations SELECT 'put-in', at, venue, venue_version, stage, outcome, at_worst, settled, pack_set, made_by, body "
        "FROM evaluations WHERE id = :a",
    ],
    "a head set back": ["UPDATE chain_head SET position = 3"],
    "a tombstone deleted": ["DELETE FROM tombstones"],
    "a tombstone altered": ["UPDATE tombstones SET made_by = 'somebody'"],
}  # fmt: skip


@pytest.mark.parametrize("name", TAMPERED)
async def test_tampering_is_seen(store: SqlHistory, make: Maker, name: str) -> None:
    made = [make.evaluation(make.work(f"work-{number}", unmet=(f"rule-{number}",))) for number in range(10)]
    for one in made:
        await store.record(one)
    assert (await store.erase("work-8", None, make.clock(), "key-1")).evaluations == 1
    made.append(make.evaluation())
    await store.record(made[-1])
    assert await store.verify() == []
    async with store._database.write() as connection:
        for statement in TAMPERED[name]:
            values = {key: one.id for key, one in (("a", made[3]), ("b", made[5]), ("last", made[-1])) if f":{key}" in statement}
            assert (await connection.execute(text(statement), values)).rowcount > 0
    found = await store.verify()
    assert found
    assert all(sentence.endswith(".") and "Painter" not in sentence for sentence in found)
    if name == "a row deleted with its entry":
        assert found[0] == "Entries 4 to 4 of the chain are missing."
    if name in ("a deleted row", "an altered outcome"):
        assert made[3].id in found[0]
        assert len(found) == 1


async def test_two_stores_on_one_database_make_one_chain(url: str, make: Maker) -> None:
    stores = [make.store(url, group=7), make.store(url, group=3)]
    for store in stores:
        await store.start()
    await asyncio.gather(*(store.record(make.evaluation()) for _ in range(60) for store in stores))
    assert await stores[0].verify() == []
    async with stores[0]._database.read() as connection:
        positions = list((await connection.execute(text("SELECT position FROM chain ORDER BY position"))).scalars())
    assert positions == list(range(1, 121))
    for store in stores:
        await store.stop()


async def test_it_can_be_checked_while_others_record(store: SqlHistory, make: Maker) -> None:
    await asyncio.gather(*(store.record(make.evaluation()) for _ in range(300)))

    async def more() -> None:
        for _ in range(60):
            await store.record(make.evaluation())

    task = asyncio.create_task(more())
    for _ in range(3):
        assert await store.verify() == []
    await task
    assert await store.verify() == []
