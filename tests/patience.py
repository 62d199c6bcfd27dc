"""How long a test waits for what should take a moment, before it says that it never came."""

from __future__ import annotations

PATIENCE_SECONDS = 300.0
"""A machine with many tests at once is slow, and slow is not wrong; nothing waits for it to pass."""
