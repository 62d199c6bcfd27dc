"""One hands-on action of an assay, and the wait that follows it."""

from __future__ import annotations

from enum import StrEnum

from readbell.core.instant import Span
from readbell.core.made_later import dataclass


class Limit(StrEnum):
    """What passing a limit means."""

    FIRM = "firm"
    """The next act is refused; what is left is to void the cartridge."""
    ADVISORY = "advisory"
    """The next act is taken and the deviation is recorded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How long must and may pass between the end of a step and a later one."""

    until: str
    """Key of the step that ends the wait."""
    least: Span = Span(0)
    least_is: Limit = Limit.FIRM
    most: Span | None = None
    """None: no upper limit is stated."""
    most_is: Limit = Limit.ADVISORY
    name: str = ""
    """What the bench calls this wait, such as "in buffer"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A hands-on action, in the order the assay lists it."""

    key: str
    title: str
    instruction: str
    hands_on: Span
    """The usual time at the bench; a plan's figure, never a rule."""
    touches_specimen: bool = False
    """Gloves are changed between two such steps on different people."""
    collects: bool = False
    """The specimen is taken here."""
    extracts: bool = False
    """From here the swab gives off what it holds, until the well is filled."""
    wait: Wait | None = None
