"""The floor of A1: a heap and one handle of the loop; no rules, no journal, no screen.

Prints how late the last of so many alerts was taken that were due in one
millisecond, in milliseconds, once for each of so many times.
"""

from __future__ import annotations

import asyncio
import heapq
import sys
import time

MILLISECOND = 1_000_000


def _now() -> int:
    return time.clock_gettime_ns(time.CLOCK_BOOTTIME)


async def last_of(alerts: int) -> float:
    """Return how late the last of them was taken."""
    due = (_now() // MILLISECOND + 300) * MILLISECOND
    heap = [(due, f"cartridge-{number}") for number in range(alerts)]
    heapq.heapify(heap)
    last = 0
    done = asyncio.Event()

    def ring() -> None:
        nonlocal last
        while heap and heap[0][0] <= _now():
            heapq.heappop(heap)
            last = _now()
        if heap:
            wait()
        else:
            done.set()

    def wait() -> None:
        loop = asyncio.get_running_loop()
        loop.call_at(loop.time() + (heap[0][0] - _now()) / 1e9, ring)

    wait()
    await done.wait()
    return (last - due) / MILLISECOND


if __name__ == "__main__":
    for _ in range(int(sys.argv[2])):
        print(asyncio.run(last_of(int(sys.argv[1]))))
