"""When a cartridge may be read: the window that opens and closes once.

Both borders belong to the window. Where the application is known only within a
stretch of time, the window opens by the latest and closes by the earliest
instant it may have been, so that whoever reads inside it is right either way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, earlier, later
from readbell.core.made_later import dataclass
from readbell.core.making import maker_of

if TYPE_CHECKING:
    from readbell.core.assay.reading_rules import ReadingRules
    from readbell.core.cartridge.moment import Done

ONE_MILLISECOND = Span(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The instants that matter while one cartridge develops."""

    early_from: Instant | None
    opens: Instant
    closing_from: Instant | None
    """From here the window counts as closing; None where the assay asks for no warning."""
    closes: Instant | None
    """The last instant that counts; None where no upper limit is stated."""

    @property
    def is_empty(self) -> bool:
        """Whether the doubt about the application leaves no instant to read at."""
        return self.closes is not None and self.closes < self.opens

    @property
    def lapses(self) -> Instant | None:
        """The first millisecond after the close."""
        return None if self.closes is None else later(self.closes, ONE_MILLISECOND)


_window = maker_of(Window)
"""Asked for of every cartridge whenever something changes, and at a start of all at once."""


def window_of(rules: ReadingRules, applied: Done) -> Window:
    """Work out the read window of a specimen applied at `applied`."""
    opens = later(applied.latest, rules.opens)
    closes = None if rules.closes is None else later(applied.earliest, rules.closes)
    early_from = None if rules.early_from is None else later(applied.latest, rules.early_from)
    closing_from = None
    if closes is not None and rules.closing_warning != 0:
        # A window narrowed by doubt may be shorter than its warning.
        closing_from = max(opens, earlier(closes, rules.closing_warning))
    return _window(early_from, opens, closing_from, closes)
