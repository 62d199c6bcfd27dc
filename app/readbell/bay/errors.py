"""What goes wrong between a bay and those who ask it for something."""

from __future__ import annotations

from readbell.core.errors import ReadbellError


class BayClosedError(ReadbellError):
    """The bay has been laid down; what was asked for did not happen."""

    def __init__(self) -> None:
        super().__init__("the bay is closed and took nothing more: start it again")
