"""What is true of the strips of a shared bay, whatever any station believes: plain facts by true time.

Nothing here is taken from the product. Instants are milliseconds of true time, which no station reads.
"""

from __future__ import annotations

from dataclasses import dataclass, field

EARLY_FROM, OPENS, CLOSES = 120_000, 900_000, 1_200_000
TOLERANCE = 50
"""Lines of stations are some milliseconds apart, and so may a reading be."""


@dataclass
class Strip:
    """One device, as whoever stood beside it all the time would tell."""

    label: str
    drops: list[int] = field(default_factory=list)
    """When drops fell, or were said to have; more than once where two stations both went on with
    it, or where somebody took a press back."""
    read_at: set[str] = field(default_factory=set)
    """The stations at which a reading of it was taken."""
    decided: bool = False
    """Whether a supervisor has said what there was, or taken it back."""

    @property
    def applied(self) -> int | None:
        """When the drops fell last."""
        return self.drops[-1] if self.drops else None

    def is_read_in_time(self, at: int) -> bool:
        """Say whether a reading at `at` falls into the window."""
        return any(OPENS - TOLERANCE <= at - each <= CLOSES + TOLERANCE for each in self.drops)

    def is_looked_at_in_time(self, at: int) -> bool:
        """Say whether an early look at `at` falls before the window, and not too early."""
        return any(EARLY_FROM - TOLERANCE <= at - each < OPENS + TOLERANCE for each in self.drops)

    @property
    def is_undecided(self) -> bool:
        """Whether it was read at both stations, and nobody has said since what there was."""
        return len(self.read_at) > 1 and not self.decided
