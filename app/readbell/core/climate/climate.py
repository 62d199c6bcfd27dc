"""What is known of the temperature at the bay and in the store."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from readbell.core.climate.events import (
    ClimateEvent,
    Source,
    TemperatureNoted,
    ThermometerFailed,
    Where,
)
from readbell.core.instant import HOUR, Instant, Span, later
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.assay.assay import Assay


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """The last figure of each place, and since when each assay has been out of its range."""

    last: Mapping[str, TemperatureNoted] = field(default_factory=dict)
    """By place."""
    in_range: Mapping[str, Instant] = field(default_factory=dict)
    """By place and assay, as `key_of` joins them: when a figure last lay inside the range."""
    failed: Mapping[str, ThermometerFailed] = field(default_factory=dict)
    """By place: a thermometer that should speak for itself and does not."""

    def at(self, where: Where) -> TemperatureNoted | None:
        """Return the last figure of a place, or None if there never was one."""
        return self.last.get(where)

    def outside(self, where: Where, assay: str) -> TemperatureNoted | None:
        """Return the last figure of a place if the assay of that hash must not be run at it."""
        noted = self.at(where)
        return noted if noted is not None and assay in noted.outside else None

    def last_in_range(self, where: Where, assay: str) -> Instant | None:
        """Return when a figure of that place last lay inside the assay's range."""
        return self.in_range.get(key_of(where, assay))


UNMEASURED = Climate()
"""Nobody has looked at a thermometer yet."""


def key_of(where: Where, assay: str) -> str:
    """Return what one place and one assay are kept under."""
    return f"{where} {assay}"


def range_of(assay: Assay, where: Where) -> tuple[float, float]:
    """Return the least and the most degrees Celsius the assay bears there; both belong to it."""
    found = assay.temperatures
    if where is Where.BAY:
        return found.running_least, found.running_most
    return found.storage_least, found.storage_most


def is_outside(assay: Assay, where: Where, celsius: float) -> bool:
    """Say whether the assay must not be run, or its kits not be kept, at that temperature."""
    least, most = range_of(assay, where)
    return not least <= celsius <= most


def fold_climate(climate: Climate, event: ClimateEvent, adopted: Mapping[str, object]) -> Climate:
    """Return what is known once `event` is; `adopted` holds the hashes of all adopted assays.

    What a station noted while it was alone may come after a later figure: that one stays the last.
    """
    last = climate.at(event.where)
    is_late = last is not None and event.at < last.at
    if isinstance(event, ThermometerFailed):
        return climate if is_late else _failing(climate, event)
    speaks = event.source is Source.PIPED and not is_late
    failed = {key: each for key, each in climate.failed.items() if key != event.where or not speaks}
    keys = (key_of(event.where, each) for each in adopted if each not in event.outside)
    inside = {key: max(event.at, climate.in_range.get(key, event.at)) for key in keys}
    return replace(
        climate,
        last=climate.last if is_late else {**climate.last, event.where: event},
        failed=failed,
        in_range={**climate.in_range, **inside},
    )


def _failing(climate: Climate, event: ThermometerFailed) -> Climate:
    return replace(climate, failed={**climate.failed, event.where: event})


def due_from(climate: Climate, where: Where, every_hours: int, since: Instant) -> Instant | None:
    """Return from when on a new figure of that place is wanted; None: never.

    Args:
        climate: what is known.
        where: the place.
        every_hours: how often the site wants one, in hours; 0: it wants none.
        since: from when on it wants them, where there has been none yet.
    """
    if not every_hours:
        return None
    last = climate.at(where)
    return since if last is None else later(last.at, Span(every_hours * HOUR))
