"""What is raised when a rule of the program, not of the bench, is broken."""

from __future__ import annotations


class ReadbellError(Exception):
    """Root of every error this program raises; its text is one clear sentence."""

    exit_status = 2
    """What a command ends with when this is why: 2 for what was given, 1 for a broken journal."""


class BrokenRecordError(ReadbellError):
    """The record holds an event that cannot have happened in the state before it."""
