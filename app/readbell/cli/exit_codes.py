"""What the program's exit status means."""

from __future__ import annotations

DONE = 0
BROKEN = 1
"""A journal is not whole."""
WRONG_INPUT = 2
"""A file, a name or an option is wrong; one sentence on standard error says where."""
INTERRUPTED = 130
"""Somebody pressed Ctrl+C, as shells count it."""
FAILED = 3
"""The program itself failed; nothing that was acknowledged is lost."""
