"""Stations of a shared bay in words: who joined and left, what was done alone, what is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.stations import (
    GIVEN_UP_ALREADY,
    NOT_AWAY,
    NOTHING_APART,
    OTHER_MARK,
    OWN_STATION,
    UNKNOWN_STATION,
    WORK_AWAY,
)
from readbell.core.instant import Span, between
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_elapsed
from readbell.core.stations.apart import ApartReason, Settling
from readbell.core.stations.events import (
    ActKeptApart,
    ApartSettled,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationJoined,
    StationLeft,
)
from readbell.phrases.apart_bands import say_seen
from readbell.phrases.counted import counted

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.refusal import Refusal
    from readbell.core.stations.events import StationsEvent

ERASED = "erased"

APART_REASONS: dict[ApartReason, str] = {
    ApartReason.READ_THERE: "the same strip was looked at elsewhere as well",
    ApartReason.LAPSED_THERE: "its window had closed unread by the record",
    ApartReason.VOIDED_THERE: "it was given up or taken back elsewhere",
    ApartReason.DONE_THERE: "the cartridge was carried on elsewhere",
    ApartReason.LABEL_TAKEN: "another device bears this label",
    ApartReason.DECIDED_THERE: "a supervisor had decided about the result by then",
    ApartReason.TOLD_THERE: "somebody had heard of the result by then",
    ApartReason.SAID_OTHERWISE: "something else was noted of the same person elsewhere",
    ApartReason.REFUSED_THERE: "the person refused elsewhere meanwhile",
    ApartReason.FOLLOWS: "it rests on something that is kept apart itself",
    ApartReason.NOT_ALONE: "a station may not do this while it is alone",
    ApartReason.DOES_NOT_FIT: "the record as it now stands has no place for it",
}

KINDS: dict[str, str] = {
    "cartridge-labelled": "a label",
    "cartridge-held": "the holding of its clock",
    "step-done": "a step",
    "step-taken-back": "a step that was taken back",
    "early-positive-seen": "an early look",
    "cartridge-read": "a reading",
    "reading-corrected": "a correction",
    "cartridge-voided": "a void",
    "cartridge-lapsed": "a lapse",
    "application-stated": "a stated time of the drops",
    "alert-raised": "an alert",
    "alert-heard": "an alert that was heard",
    "reading-held": "a hold for review",
    "buffer-used": "the buffer it was run with",
    "lot-doubted": "a doubt about its lot",
    "lot-held": "a lot put on hold",
    "lot-opened": "a box that was opened",
    "sample-judged": "what came of a control sample",
    "start-supervised": "a start under the eyes of a supervisor",
    "person-registered": "a person entered",
    "party-registered": "a party entered",
    "particular-noted": "something noted of a person",
    "party-noted": "something noted of a party",
    "consent-noted": "a consent",
    "consent-refused": "a refusal by the person",
    "symptoms-noted": "symptoms",
    "labelled-ahead": "a label written ahead",
    "person-left": "somebody who left",
    "temperature-noted": "a temperature",
    "signed-in": "somebody signed in",
}
"""What is kept apart, by the name of its kind; of the others it is said in general."""

_SETTLED: dict[Settling, str] = {
    Settling.LEFT: "it stays apart",
    Settling.ENTERED_ANEW: "it was entered anew",
}

NOT_ALLOWED: dict[str, str] = {
    OTHER_MARK: (
        "This label begins as those of another station do. "
        "Write one with another beginning on the cartridge."
    ),
    UNKNOWN_STATION: "No station of that name ever joined this bay. Look at the names once more.",
    OWN_STATION: "A station does not give itself up. Do it at another one.",
    NOT_AWAY: "That station is here and works. Lay its work down there instead.",
    WORK_AWAY: (
        "Another station of this bay is away, and what it did meanwhile is not known here. Nothing "
        "was erased. Wait until it is back, or have it given up first."
    ),
    GIVEN_UP_ALREADY: "That station was given up already. Nothing changed.",
    NOTHING_APART: "Nothing of that number is kept apart, or it was settled. Look at the list again.",
}
"""By what the refusal is about."""


def tell_of_stations(event: StationsEvent, board: Board) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    match event:
        case StationJoined():
            return f"Station {event.station} joined; its mark is {event.mark}."
        case StationLeft():
            return f"Station {event.station} left."
        case CartridgeHeld():
            found = board.cartridge(event.cartridge)
            whose = "The clock of a cartridge" if found is None else f"{found.label}  its clock"
            return f"{whose} runs at station {event.station}."
        case StationGivenUp():
            by = board.name(event.by) or ERASED
            return (
                f"Station {event.station} given up by {by}: its running cartridges are "
                f"station {event.heir}'s now."
            )
        case ActKeptApart():
            seen = say_seen(event, board)
            told = "" if seen is None else f" Seen: {seen}."
            return (
                f"KEPT APART: {say_apart(event, board)}.{told} "
                "It counts for nothing until it is settled."
            )
        case ApartSettled():
            by = board.name(event.by) or ERASED
            return f"What was kept apart is settled by {by}: {_SETTLED[event.how]}."
        case JoinedUp():
            return _joined_up(event)
        case _:
            assert_never(event)


def say_apart(event: ActKeptApart, board: Board) -> str:
    """Return what is kept apart, whose it is and why, as part of a sentence."""
    what = KINDS.get(event.kind, "something else")
    about = f" of {event.label}" if event.label else ""
    by = "" if event.by is None else f" by {board.name(event.by) or ERASED}"
    return f"{what}{about}{by} at station {event.station}, because {APART_REASONS[event.reason]}"


def refused_stations(refusal: Refusal) -> str | None:
    """Return why a station may not do something; None if the refusal is about something else."""
    match refusal.code:
        case RefusalCode.ALONE if refusal.subject:
            return (
                f"This station is alone, so a label begins with {refusal.subject}- here. "
                "Write such a one on the cartridge."
            )
        case RefusalCode.ALONE:
            return (
                "This station is alone, and what this rests on may have changed elsewhere. "
                "Do it once the link is back."
            )
        case RefusalCode.HELD_ELSEWHERE if refusal.subject:
            return (
                f"Its clock runs at station {refusal.subject}, which cannot be reached from here. "
                "Work on it there; if that station will not come back, a supervisor gives it up."
            )
        case RefusalCode.HELD_ELSEWHERE:
            return (
                "No station holds its clock yet, and this one is alone. "
                "Work on it once the link is back."
            )
        case _:
            return None


def _joined_up(event: JoinedUp) -> str:
    alone = write_elapsed(Span(max(0, between(event.since, event.at))))
    already = f"; {event.same} of it stood there already" if event.same else ""
    apart = f" {counted(event.apart, 'event')} kept apart." if event.apart else ""
    return (
        f"Station {event.station} was alone for {alone}. "
        f"{counted(event.joined, 'event')} joined up with the record{already}.{apart}"
    )
