"""Values that few ask for and that take long to work out: made when they are first asked for, and kept."""

import asyncio
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class Once(Generic[T]):
    """A value that is worked out when it is first asked for, on a thread beside the event loop, so that others need not wait for it.

    Any number may ask at once, from any loop: it is worked out once. A work that fails is tried again for the next who asks.
    """

    def __init__(self, work: Callable[[], T]) -> None:
        """``work`` returns the value; it depends on nothing that changes."""
        self._work, self._lock = work, threading.Lock()
        self._kept: tuple[T] | None = None

    async def get(self) -> T:
        """Return the value."""
        kept = self._kept
        return kept[0] if kept is not None else await asyncio.to_thread(self._made)

    def _made(self) -> T:
        with self._lock:
            if self._kept is None:
                self._kept = (self._work(),)
            return self._kept[0]
