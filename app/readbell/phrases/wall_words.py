"""What a wall may say: cartridge, place, stage and countdown, and nothing that gives a result away.

A wall is read by whoever passes. So it says of a strip that was read once what it would say of
one that nobody has read: a site may ask for a second reader on faint lines alone, and the word
would then be the result. It knows no early look, and what has ended is not on it, however it did.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.not_followed import NotFollowed
from readbell.core.cartridge.at_instant import window
from readbell.phrases.board_words import SIGNS, WORDS, Standing, Where, standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

UNSURE = "unsure"
NOTHING_RUNS = "NOTHING RUNS"
NOT_FOLLOWED = "NOT FOLLOWED"
BEING_READ = "The record is being read."
STILL_COUNTS = "What stands here is as it was then, and counts on."
TOLD_LATER = "What is recorded meanwhile is told once it is back."
FOLLOWED_AGAIN = "The link is back: the bay is followed again."

_ENDED = (Where.LAPSED, Where.READ, Where.VOID)
_OWN_WORD = (Where.READ_NOW, Where.CLOSING)
"""The same word whoever is to read it."""
LEAST_INSIDE = 4
"""Letters from which on an ID is also looked for inside other words: a shorter one is in many."""

_WHY: dict[NotFollowed, str] = {
    NotFollowed.FILE_GONE: "its file is gone",
    NotFollowed.PROGRAM_GONE: "no program runs this bay",
    NotFollowed.NOT_SAVED: "its program cannot save",
    NotFollowed.ALONE: "this station is cut off from the others",
    NotFollowed.LINK_LOST: "the link to its server is lost",
    NotFollowed.UNREADABLE: "its record cannot be read",
    NotFollowed.NO_ANSWER: "its record gives no answer",
}


def on_the_wall(cartridge: Cartridge, now: Instant) -> Standing | None:
    """Return where `cartridge` stands at `now` as a wall tells it; None: it is not on it."""
    stands = standing(cartridge, now)
    if stands.where in _ENDED:
        return None
    if stands.where is Where.EARLY_LOOK:
        # By time alone, and yet no word of it: on the board the same place says what was seen.
        return replace(stands, where=Where.DEVELOPING, sign=SIGNS.get(Where.DEVELOPING, "  "))
    if stands.where is Where.UNSURE:
        return replace(stands, word=UNSURE)
    if stands.where in _OWN_WORD:
        span = window(cartridge)
        # Where no close is stated it counts from the opening, also once somebody has read it.
        due = span.opens if span is not None and stands.since else stands.due
        return replace(stands, word=WORDS[stands.where], due=due)
    return stands


def why_not_followed(trouble: NotFollowed) -> str:
    """Say why a wall does not follow a bay."""
    return _WHY[trouble]


def tell_lost(since: Instant, face: ClockFace) -> str:
    """Return the line that a bay is not followed since `since`, for its server cannot be reached."""
    why = why_not_followed(NotFollowed.LINK_LOST)
    return f"{NOT_FOLLOWED} since {face.time(since)}: {why}. {TOLD_LATER}"


def place_shown(cartridge: Cartridge, board: Board) -> str:
    """Return where a cartridge lies, or else the lane in which its person waits; "" if unknown."""
    place = cartridge.labelled.place
    party = board.party_of(cartridge.labelled.subject)
    said = (None if place is None else place.value, None if party is None else party.lane)
    known = [each.strip() for each in said if each and each.strip()]
    return next((each for each in known if not gives_away(each, cartridge, board)), "")


def label_shown(cartridge: Cartridge, board: Board) -> str:
    """Return the label; where somebody wrote the ID on the plastic, the cartridge's number."""
    if gives_away(cartridge.label, cartridge, board):
        return f"NO {cartridge.ordinal}"
    return cartridge.label


def gives_away(text: str, cartridge: Cartridge, board: Board) -> bool:
    """Say whether `text` says who the cartridge is run for."""
    bare = _bare(text)
    return any(
        bare == each or (len(each) >= LEAST_INSIDE and each in bare)
        for each in _known_by(cartridge.labelled.subject, board)
    )


def _known_by(person: str, board: Board) -> Iterator[str]:
    file = board.person_files.get(person)
    said = [board.name(person)]
    if file is not None:
        said += [file.name, *(file.name or "").split(), file.born, file.contact]
    return (bare for each in said if each and (bare := _bare(each)))


def _bare(text: str) -> str:
    """Return the letters and digits of `text` alone, all of one case."""
    return "".join(sign for sign in text.casefold() if sign.isalnum())
