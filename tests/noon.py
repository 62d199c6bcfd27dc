"""Where it is about noon now: a bay of that time zone sees no midnight while a test runs.

The tests run at any hour, and what counts by the site's day would have two of them.
"""

from __future__ import annotations

from datetime import UTC, datetime

NOON = 12


def where_it_is_noon() -> str:
    """Return the name of a time zone."""
    ahead = NOON - datetime.now(UTC).hour  # noqa: TID251  # real programs keep no other time
    return f"Etc/GMT{-ahead:+d}"  # such names count the other way
