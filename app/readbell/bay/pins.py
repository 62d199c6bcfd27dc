"""Where PINs are kept: outside the journal, so that no copy of the record gives one away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from readbell.core.staff.acts import PinCheck


class Pins(Protocol):
    """Keeps a hash of each operator's PIN, under the operator's key."""

    def check(self, key: str, pin: str) -> PinCheck:
        """Say whether `pin` is that of the operator `key`; slow on purpose.

        Raises:
            PinFileError: what is kept cannot be read.
        """

    def put(self, key: str, pin: str) -> None:
        """Keep `pin` for the operator `key`, on the disk when this returns.

        Raises:
            PinFileError: it cannot be kept; then the one before still holds.
        """

    def drop(self, key: str) -> None:
        """Keep nothing of the operator `key` any more.

        Raises:
            PinFileError: it cannot be written.
        """
