"""A record on a real server, opened as a station opens it."""

from __future__ import annotations

from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address

BAY = "Harrow Quay"


def opened(address: str, bay: str = BAY, *, found: bool = True) -> PostgresJournal:
    """Return the record of a bay at `address`."""
    return PostgresJournal.open(read_address(address), bay, station="bench", found=found)
