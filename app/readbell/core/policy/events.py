"""A site's decisions become part of the record."""

from __future__ import annotations

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.policy.policy import SitePolicy


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicySet:
    """From here on the bay works by these decisions; they came from the site's settings."""

    at: Instant
    policy: SitePolicy
