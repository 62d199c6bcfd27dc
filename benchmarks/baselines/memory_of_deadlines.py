"""Prints how many bytes each pending deadline of the product takes."""

from __future__ import annotations

import sys
import tracemalloc

from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.instant import Instant
from readbell.scheduler.deadlines import Deadlines

START, APART = 1_774_745_600_000, 300


def main(pending: int) -> float:
    """Return the bytes that each of so many takes; the ids stand on the board already."""
    ids = [RandomIdentifiers().new("cartridge") for _ in range(pending)]
    tracemalloc.start()
    deadlines = Deadlines()
    for place, each in enumerate(ids):
        deadlines.set(each, Instant(START + APART * place))
    taken, _ = tracemalloc.get_traced_memory()
    assert len(deadlines) == pending
    return taken / pending


if __name__ == "__main__":
    print(main(int(sys.argv[1])))
