"""What a running program costs, as the kernel counts it."""

from __future__ import annotations

import os
from pathlib import Path

_NANOSECONDS = 1_000_000_000
_TICKS = os.sysconf("SC_CLK_TCK")


def cpu_seconds(process: int) -> float:
    """Return the processor time that `process` has used so far, all its threads together.

    From schedstat, in nanoseconds: the ticks of stat are ten milliseconds long, and a
    board at rest uses no more than one or two of them in a second.
    """
    threads = Path(f"/proc/{process}/task").iterdir()
    try:
        return sum(int((each / "schedstat").read_text().split()[0]) for each in threads) / (
            _NANOSECONDS
        )
    except FileNotFoundError:  # a kernel without it, or a thread that has just ended
        parts = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
        return (int(parts[11]) + int(parts[12])) / _TICKS


def load() -> tuple[float, float, float]:
    """Return how busy the machine was with everything, over 1, 5 and 15 minutes."""
    return os.getloadavg()
