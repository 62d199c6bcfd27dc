"""Prints how many bytes each pending job of APScheduler takes, each as an alert would be held."""

from __future__ import annotations

import asyncio
import gc
import sys
import tracemalloc
from datetime import UTC, datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler

from readbell.bay.identifiers import RandomIdentifiers

APART = timedelta(milliseconds=300)
SETTLING = 0.2
"""Seconds in which the loop lets go of the timers that each new job replaced."""


def _ring(_: str) -> None:
    """Stand for the announcement."""


async def main(pending: int) -> float:
    """Return the bytes that each of so many takes, the scheduler running; the ids are there already."""
    starts = datetime.now(UTC) + timedelta(minutes=10)
    ids = [RandomIdentifiers().new("cartridge") for _ in range(pending)]
    scheduler = AsyncIOScheduler(timezone=UTC)
    scheduler.start()
    scheduler.add_job(_ring, "date", run_date=starts, args=("warm",))
    await asyncio.sleep(SETTLING)
    tracemalloc.start()
    for place, each in enumerate(ids):
        scheduler.add_job(_ring, "date", run_date=starts + APART * place, args=(each,), id=each)
    await asyncio.sleep(SETTLING)
    gc.collect()
    taken, _ = tracemalloc.get_traced_memory()
    assert len(scheduler.get_jobs()) == pending + 1
    return taken / pending


if __name__ == "__main__":
    print(asyncio.run(main(int(sys.argv[1]))))
