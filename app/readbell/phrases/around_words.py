"""Who is here and who is not, and that this station is alone: what is true now, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.hearing import ROLES
from readbell.core.instant import MINUTE, SECOND, Span, between
from readbell.core.span_text import write_elapsed, write_span
from readbell.core.stations.station import StationState
from readbell.phrases.counted import counted

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.core.instant import Instant
    from readbell.core.stations.events import JoinedUp
    from readbell.core.stations.station import Station
    from readbell.phrases.clock_time import ClockFace

CLOCK_MAY_BE_APART = Span(5 * MINUTE)
"""A computer whose clock is further off does not join; one that is at work says so and goes on."""
ALONE = "ALONE"
JOINING = "LINK BACK"
AWAY = "AWAY"
MAY = "Go on with what this station holds; the rest waits for the link."
NOT_BY_ITSELF = "The link does not come back by itself"
GIVE_IT_A_NAME = (
    "End readbell there, and join that computer under a name of its own with 'readbell join'."
)
NEEDS_HELP = "LINK NEEDS HELP"
JOINS = "What was done alone is being joined up with the record."
DECIDE = "Look at it. What still holds is entered anew, by an act of its own: then F3. F6 leaves it apart."


def alone_in_the_notice(
    since: Instant,
    gone: Span,
    face: ClockFace,
    mark: str,
    *,
    is_joining: bool,
    refused: str = "",
) -> tuple[str, str, str]:
    """Return that this station is alone, in fewer and fewer words.

    Args:
        since: since when it is.
        gone: how long that is ago.
        face: the site's clock.
        mark: what its labels begin with meanwhile.
        is_joining: whether the link is back.
        refused: why it does not come back by itself; empty: it may.
    """
    if is_joining:
        said = f"{JOINING}, {ALONE} since {face.time(since)}"
        return f"{said}. {JOINS}", said, JOINING
    said = f"{ALONE} since {face.time(since)}"
    labels = f" Labels begin with {mark}-." if mark else ""
    if refused:
        short = f" Labels: {mark}-" if mark else ""
        return (
            f"{said}. {say_refused(refused)}{labels}",
            f"{said}. {NOT_BY_ITSELF}: F9 Stations says why.{short}",
            f"{said}. {NEEDS_HELP}: F9 Stations.{short}",
        )
    return (
        f"{said}, +{write_elapsed(gone)}. The link to the server is lost. {MAY}{labels}",
        f"{said}, +{write_elapsed(gone)}. Go on with what this station holds.{labels}",
        f"{said}. Labels: {mark}-" if mark else said,
    )


def in_the_header(
    station: str, here: int, away: int, apart: int, *, is_alone: bool
) -> tuple[str, ...]:
    """Return which station this is and how many are here, in fewer and fewer words.

    It is a mark behind the bay's name. What somebody has to look at is in the fewest, too.
    """
    # That it is alone stands in a line of its own, and of the others nothing is known meanwhile.
    is_here = "" if is_alone else f"{here} here"
    wrong = [
        "" if is_alone or not away else f"{away} {AWAY}",
        f"{apart} kept apart" if apart else "",
    ]
    forms = (
        (f"station {station}", is_here, *wrong),
        (station, is_here, *wrong),
        (station, *wrong),
        tuple(wrong),
        tuple(reversed(wrong))[:1],
    )
    said = (", ".join(each for each in form if each) for form in forms)
    return tuple(dict.fromkeys(each for each in said if each))


def say_who_watches(others: Sequence[str]) -> str:
    """Return who watches what runs once this board is left: nobody, or the `others` that are here."""
    if not others:
        return (
            "Nobody watches them once the board is left; no alarm rings. They are here when it is "
            "opened again."
        )
    return (
        f"Once this board is left alarms ring at the others that are here: {', '.join(others)}. "
        "Here none does."
    )


def clock_in_the_header(apart: Span | None) -> str:
    """Return that the clock of this computer is far from the server's; nothing if it is not.

    Args:
        apart: the one less the other; None: not measured.
    """
    if apart is None or abs(apart) <= CLOCK_MAY_BE_APART:
        return ""
    way = "AHEAD" if apart > 0 else "BEHIND"
    return f"CLOCK HERE {_far(apart)} {way}"


def tell_clock(apart: Span | None) -> str:
    """Return the line that the clock of this computer is far from the server's; nothing if it is not."""
    if not clock_in_the_header(apart):
        return ""
    assert apart is not None  # noqa: S101  # then nothing was returned
    way = "ahead of" if apart > 0 else "behind"
    return (
        f"The clock of this computer is {_far(apart)} {way} the server's. Countdowns go by the server's, "
        "and the record bears its time of day. Set whichever is wrong."
    )


def _far(apart: Span) -> str:
    """Return how far two clocks are apart, to the nearest second."""
    return write_span(Span(round(abs(apart) / SECOND) * SECOND))


def tell_alone(why: str, mark: str, refused: str = "") -> str:
    """Return the line that this station is alone from now on, and that it stays so if it is `refused`."""
    labels = f" Labels begin with {mark}-." if mark else ""
    if refused:
        return f"{ALONE}: {say_refused(refused)} {MAY}{labels} Countdowns and alarms go on."
    return f"{ALONE}: {why}. {MAY}{labels} Countdowns and alarms go on."


def tell_mirror(why: str) -> str:
    """Return the line that the mirror takes nothing; nothing if it does."""
    if not why:
        return ""
    return (
        f"The mirror of the record here cannot be written: {why.rstrip('.')}. The record itself is "
        "whole on the server, and what the mirror lacks is kept in memory. Make room on this disk."
    )


def mirror_in_the_notice(why: str) -> tuple[str, str, str] | None:
    """Return that the mirror takes nothing, in fewer and fewer words; None if it does."""
    if not why:
        return None
    said = "MIRROR NOT WRITTEN"
    return (
        f"{said}: make room on this disk. F9 Stations says why.",
        f"{said}: make room on this disk",
        "MAKE ROOM ON DISK",
    )


def twin_in_the_notice(station: str) -> tuple[str, str, str]:
    """Return that another computer says that it is this station, in fewer and fewer words."""
    said = f"ANOTHER COMPUTER IS STATION {station} TOO"
    return (
        f"{said}. It records nothing here. {GIVE_IT_A_NAME}",
        f"{said}: join that one under a name of its own",
        f"{said}: F9 Stations",
    )


def tell_twin(station: str) -> str:
    """Return the line that another computer says that it is this station."""
    return twin_in_the_notice(station)[0]


def say_refused(why: str) -> str:
    """Return why the link does not come back by itself."""
    return f"{NOT_BY_ITSELF}: {why.rstrip('.')}."


NOT_SHARED = "This bay has no server, so there is one station: this one."
CLOCK_RIGHT = "The clock of this computer is near the server's again."
MIRROR_WELL = "The mirror of the record here is written again, and lacks nothing."
LINKED = "The link is back: this station is alone no more."


def say_joined_up(event: JoinedUp, apart: int) -> str:
    """Return in one line how much that was done alone is in the shared record, and what is not."""
    # The program's own are among them, so they are more than what somebody entered.
    home = counted(event.joined + event.same, "event")
    gone = write_elapsed(Span(max(0, between(event.since, event.at))))
    said = f"Alone for {gone}: {home} joined up."
    if event.apart and apart:
        return f"{said} {event.apart} KEPT APART: F9 Stations."
    return said


def tell_moves(before: frozenset[str], here: frozenset[str], away: frozenset[str]) -> Iterable[str]:
    """Yield a line for each station that came, or that says nothing any more."""
    for each in sorted(here - before):
        yield f"Station {each} is here."
    for each in sorted((before - here) & away):
        yield f"Station {each} is {AWAY}: nothing is heard of it. What rang there rings here too."


def say_state(station: Station, *, is_this: bool, is_here: bool, is_away: bool, alone: bool) -> str:
    """Return how a station stands now."""
    if is_this:
        return f"this one, {ALONE}" if alone else "this one"
    if station.state is StationState.LEFT:
        return "left"
    if station.state is StationState.GIVEN_UP:
        return "given up"
    if alone:
        return "not known from here"
    if is_away:
        return AWAY
    return "here" if is_here else "not heard yet"


def say_ears(hears: frozenset[str], lanes: frozenset[str]) -> str:
    """Return what a station hears of its own accord."""
    roles = " and ".join(each for each in ROLES if each in hears) or "nothing"
    return f"{roles}, {', '.join(sorted(lanes))}" if lanes else roles


def say_elsewhere(mark: str) -> str:
    """Return in two cells that a clock runs at a station out of reach; without a mark, at none."""
    return f"@{mark or '?'}"


def say_held_at(station: str) -> str:
    """Return where a clock runs that is out of reach; an empty name: at no station."""
    return f"at station {station}" if station else "at no station"


def say_holds(many: int) -> str:
    """Return how many clocks run at a station."""
    return counted(many, "clock") if many else "none"


def say_alone_page(
    since: Instant,
    now: Instant,
    face: ClockFace,
    *,
    joins: bool,
    fault: str = "",
    refused: str = "",
) -> str:
    """Return what it means that this station is alone, as its own room tells it."""
    gone = write_elapsed(Span(max(0, between(since, now))))
    if fault:
        return (
            f"{ALONE} since {face.time(since)}, {gone} ago. The link is back, but what was done alone "
            f"could not be joined up: {fault.rstrip('.')}. Nothing is lost: it lies beside the station "
            "file. Go on with what runs, and tell whoever looks after the server."
        )
    if joins:
        return f"{ALONE} since {face.time(since)}, {gone} ago. The link is back. {JOINS}"
    if refused:
        return (
            f"{ALONE} since {face.time(since)}, {gone} ago. {say_refused(refused)} {MAY} "
            "It comes into the record once that is put right."
        )
    return (
        f"{ALONE} since {face.time(since)}, {gone} ago. Nobody else sees what is done here, and nothing "
        f"of the others is seen here. {MAY} It comes into the record by itself once the link is back."
    )


def say_giving_up_key(station: str) -> str:
    """Return what can be done about a station that is away."""
    return (
        f"F12 gives station {station} up, if it will not come back: "
        "what it holds is gone on with here."
    )


def say_giving_up(station: str, many: int) -> str:
    """Return what it means to give a station up, before it is done."""
    passes = "passes" if many == 1 else "pass"
    held = (
        f"{counted(many, 'cartridge')} that it holds {passes} to this station"
        if many
        else "it holds none"
    )
    return (
        f"Station {station} is {AWAY}; {held}. Only if it will not come back: what is read there "
        f"meanwhile is kept apart. F12 once more gives it up."
    )


def say_what_to_do(*, is_held: bool) -> str:
    """Return what somebody does about something that is kept apart; its cartridge may be held."""
    if is_held:
        return f"Its outcome is withheld until a supervisor decides it: F9 Review. {DECIDE}"
    return DECIDE
