"""The faults with their full counts: ``python tests/faults/run.py [name …]``; the last line is one JSON object."""

import argparse
import json
import random
import resource
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from faults import crashing, crowding
from history.postgres import running_postgres


def main() -> None:
    resource.setrlimit(resource.RLIMIT_NOFILE, (resource.getrlimit(resource.RLIMIT_NOFILE)[1],) * 2)
    with tempfile.TemporaryDirectory(prefix="hw-faults-") as folder, running_postgres() as server:
        file = f"sqlite:///{folder}/history.sqlite3"
        scenes = {
            "kill_sqlite": lambda: crashing.killed_under_load(file, given.sqlite, random.Random()),
            "kill_postgresql": lambda: crashing.killed_under_load(server.empty_database(), given.postgresql, random.Random()),
            "database_killed": lambda: crashing.database_killed_under_load(server, server.empty_database(), 5),
            "two_replicas": lambda: crashing.same_key_at_two_replicas(server.empty_database(), given.replicas),
            "read_only": lambda: crowding.read_only_sqlite(Path(folder, "ro") if Path(folder, "ro").mkdir() is None else Path()),
            "crowd": lambda: crowding.crowded(f"{file}-crowd", idle=2_000, half=200, slow=100, requests=200),
            "bombs": lambda: crowding.bombs(f"{file}-bombs", 50),
        }
        parser = argparse.ArgumentParser()
        parser.add_argument("scenes", nargs="*", choices=[[], *scenes])
        parser.add_argument("--sqlite", type=int, default=100)
        parser.add_argument("--postgresql", type=int, default=30)
        parser.add_argument("--replicas", type=int, default=1_000)
        given = parser.parse_args()
        found = {}
        for name in given.scenes or scenes:
            started = time.monotonic()
            found[name] = scenes[name]() | {"seconds": round(time.monotonic() - started, 1)}
            print(name, json.dumps(found[name]), flush=True)
    print(json.dumps(found))


if __name__ == "__main__":
    main()
