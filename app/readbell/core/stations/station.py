"""One station of a shared bay, and the letter that it marks its labels with."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

MARKS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""So many stations a bay may have."""


class StationState(StrEnum):
    """How a station stands in the record; whether it is away now no record says."""

    HERE = "here"
    """It joined, and nobody said that it went."""
    LEFT = "left"
    GIVEN_UP = "given-up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """What the record knows of one station."""

    mark: str
    state: StationState = StationState.HERE


def mark_for(stations: Mapping[str, Station], name: str) -> str | None:
    """Return the mark of the station called `name`, its own or a fresh one; None: none is left.

    A mark is never borne by two, not even one after the other while there are others: labels of
    the one that left may still be on the bench. Then the one that left first gives its own.
    """
    known = stations.get(name)
    if known is not None:
        return known.mark
    borne = {each.mark for each in stations.values()}
    fresh = next((each for each in MARKS if each not in borne), None)
    if fresh is not None:
        return fresh
    in_use = {each.mark for each in stations.values() if each.state is not StationState.LEFT}
    return next((each.mark for each in stations.values() if each.mark not in in_use), None)


def is_marked(label: str, mark: str) -> bool:
    """Say whether `label` is one that the station with `mark` makes while it is alone."""
    return label.startswith(f"{mark}-")


def bearer_of(stations: Mapping[str, Station], label: str) -> str | None:
    """Return the station whose mark `label` begins with, or None.

    Where two have borne one mark the one that joined last bears it.
    """
    found = [name for name, each in stations.items() if is_marked(label, each.mark)]
    return found[-1] if found else None
