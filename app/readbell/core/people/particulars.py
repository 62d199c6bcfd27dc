"""What may be said about a person beside the ID: who they are, who consented, who is told."""

from __future__ import annotations

from enum import StrEnum


class Particular(StrEnum):
    """What is known of a person beside the ID."""

    NAME = "name"
    BIRTH_DATE = "birth-date"
    """A day as ISO 8601 has it: 1980-02-03."""
    CONTACT = "contact"
    """How a result reaches them."""


class OfParty(StrEnum):
    """What is known of a party beside its name."""

    LANE = "lane"
    """Where it waits, in the site's own words."""
    NOTE = "note"
    """What is to be known about it."""


class ConsentBy(StrEnum):
    """Who said yes or no."""

    SELF = "self"
    GUARDIAN = "guardian"
    """A parent, or whoever the law puts in their place."""
    OTHER = "other"
    """Somebody else, as local law has it."""


class ConsentHow(StrEnum):
    """In which way it was said."""

    SPOKEN = "spoken"
    WRITTEN = "written"
    ELECTRONIC = "electronic"


class ToldTo(StrEnum):
    """To whom the result may be told."""

    PERSON = "person"
    """To the person alone."""
    GUARDIAN = "guardian"
    """To the person, and to a parent or guardian."""
    OTHER = "other"
    """To the person, and to somebody they named."""


class DeclineReason(StrEnum):
    """Why there is no consent."""

    DECLINED = "declined"
    GUARDIAN_DECLINED = "guardian-declined"
    NOT_ABLE = "not-able"
    """The person could not be asked, or could not understand."""
    OTHER = "other"


class LeaveReason(StrEnum):
    """Why somebody left before anything was begun for them."""

    WITHOUT_A_WORD = "without-a-word"
    """They were seen to be gone, or drove off."""
    COULD_NOT_WAIT = "could-not-wait"
    COMES_AGAIN = "comes-again"
    SENT_ELSEWHERE = "sent-elsewhere"
    ENTERED_BY_MISTAKE = "entered-by-mistake"
    """They were never here."""
    OTHER = "other"
