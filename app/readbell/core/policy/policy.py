"""A site's own decisions, kept in the record so that every act can be judged by them later."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePolicy:
    """What a site decides where rules leave it the choice.

    Each field has the value that asks for nothing more, so that a bay where
    nobody has decided anything works as before.
    """

    warn_expiry_days: int = 14
    """From so many days before its last day on, a lot is marked as going out of date."""


UNDECIDED = SitePolicy()
"""What holds where nobody has decided anything."""
