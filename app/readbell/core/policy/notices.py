"""Which results a site has to notify somebody of, and how soon: its own rule, and no law."""

from __future__ import annotations

from readbell.core.made_later import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeRule:
    """Results of one assay go to an office within some hours."""

    assay: str
    """The assay's id."""
    office: str
    """What the site calls whom it notifies: an office, and nobody's name."""
    hours: int
    """From the reading on."""
    negatives: bool = True
    """Whether negatives are notified too; a site says so if it leaves them out."""
