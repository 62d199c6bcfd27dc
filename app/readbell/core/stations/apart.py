"""Why something that was done alone is kept apart: codes, part of the record and never changed."""

from __future__ import annotations

from enum import StrEnum


class ApartReason(StrEnum):
    """Why an act cannot stand as it is beside what was recorded meanwhile."""

    READ_THERE = "read-there"
    """The same strip was looked at elsewhere as well, and something was said of it there."""
    LAPSED_THERE = "lapsed-there"
    VOIDED_THERE = "voided-there"
    """It was given up elsewhere, or its result was taken back."""
    DONE_THERE = "done-there"
    """The cartridge was carried on elsewhere: this step was done there, or another one is due."""
    LABEL_TAKEN = "label-taken"
    """Another device bears this label."""
    DECIDED_THERE = "decided-there"
    """A supervisor decided about the result meanwhile."""
    TOLD_THERE = "told-there"
    """Somebody heard of the result meanwhile: its reader corrects it no more."""
    SAID_OTHERWISE = "said-otherwise"
    """The same thing was noted of the same person elsewhere, and otherwise."""
    REFUSED_THERE = "refused-there"
    """The person refused elsewhere meanwhile."""
    FOLLOWS = "follows"
    """It rests on something that is kept apart itself."""
    NOT_ALONE = "not-alone"
    """A station that is alone may not do this: what it rests on may have changed."""
    DOES_NOT_FIT = "does-not-fit"
    """The record as it now stands has no place for it."""


class Settling(StrEnum):
    """What a person did about something that is kept apart."""

    LEFT = "left"
    """They looked at it, and it stays apart."""
    ENTERED_ANEW = "entered-anew"
    """They entered it anew, by an act of their own."""
