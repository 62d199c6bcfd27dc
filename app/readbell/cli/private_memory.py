"""The memory of a program that runs all day holds names: no image of it may be left behind."""

from __future__ import annotations

import ctypes
import sys
from contextlib import suppress

_NOT_DUMPABLE = 4
"""PR_SET_DUMPABLE."""


def keep_memory_private() -> None:
    """Let a crash leave no image of the memory behind, where the system allows to ask for that."""
    with suppress(ImportError, OSError, ValueError):
        import resource  # Windows has none

        _, most = resource.getrlimit(resource.RLIMIT_CORE)
        resource.setrlimit(resource.RLIMIT_CORE, (0, most))
    if sys.platform.startswith("linux"):
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).prctl(_NOT_DUMPABLE, 0, 0, 0, 0)
