"""What goes wrong between a bay and those who ask it for something."""

from __future__ import annotations

from readbell.core.errors import ReadbellError


class BayClosedError(ReadbellError):
    """The bay has been laid down; nobody vouches for what was being asked."""

    def __init__(self) -> None:
        super().__init__("the bay is closed: start it again and see whether this was taken")


class WentOnError(Exception):
    """The record has gone on since somebody looked through it: what they found may not be all."""
