"""The worker: a process of its own that makes one plan and ends. The input comes on standard input, the answer goes to standard output.

What it writes are lines: ``progress 0.25`` as it goes on, and in the end ``plan`` with the answer, or ``failed`` with the kind of failure,
never with a work's facts.
"""

import os
import sys

import msgspec


def main() -> int:
    """Make the plan of standard input."""
    out = os.fdopen(os.dup(1), "wb", buffering=0)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # the solver writes its name to standard output
    if hasattr(os, "nice"):
        os.nice(5)  # whoever evaluates meanwhile goes first
    from hangworthy.plans.frames.making import make_plan
    from hangworthy.plans.frames.wanted import PlanInput

    try:
        given = msgspec.msgpack.decode(sys.stdin.buffer.read(), type=PlanInput)
        plan = make_plan(given, lambda share: _write(out, b"progress %.3f" % share))
        _write(out, b"plan " + msgspec.json.encode(plan))
    except Exception as error:  # noqa: BLE001 - whatever went wrong, its kind is all that may be told
        _write(out, b"failed " + type(error).__name__.encode())
        return 1
    return 0


def _write(out: object, line: bytes) -> None:
    out.write(line + b"\n")  # type: ignore[attr-defined]


if __name__ == "__main__":
    sys.exit(main())
