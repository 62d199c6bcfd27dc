"""A rehearsal that somebody played, played again: the same acts at the same instants."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import ProgramStopped
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.errors import ReadbellError
from readbell.core.made_later import dataclass
from readbell.core.practice.acts import BeginPractice, LeapAhead, SetSpeed
from readbell.core.practice.events import LeaptAhead, PracticeActed, PracticeBegun, SpeedSet
from readbell.core.private import Private
from readbell.scenarios.kept_line import asked_by
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable, Iterator, Mapping

    from readbell.bay.bay import Bay
    from readbell.bay.desk import Desk
    from readbell.bay.news import Answer
    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.scenarios.line import Request

NOT_PRACTISED = (
    "this journal is of no rehearsal with a person at the keys: name one that "
    "readbell rehearse FILE --journal made"
)
OTHER_SCENARIO = (
    "this journal is of another scenario, or its file or an assay has changed since: "
    "name the file that it was played from"
)
ERASED = "what was asked was erased from this journal: it cannot be played again"


class NotPlayableError(ReadbellError):
    """What stands in a journal cannot be played again; the text says why."""


Noted = PracticeBegun | PracticeActed | SpeedSet | LeaptAhead


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayedAgain:
    """What stands in the journal of a rehearsal, to be done once more.

    Attributes:
        noted: in the order of the journal.
        ends: when the person left.
        places: which cartridge each opaque id of that journal was, in the order of labelling.
        desk: serves what was asked, and keeps it as it was kept then.
    """

    noted: tuple[Noted, ...]
    ends: Instant
    places: Mapping[str, int]
    desk: Desk

    async def play(
        self,
        bay: Bay,
        sleep_until: Callable[[Instant], Awaitable[None]],
        told: Callable[[Entry, Answer], None],
    ) -> None:
        """Do everything at the instant at which it was done.

        Raises:
            NotPlayableError: something was erased.
        """
        for each in self.noted:
            await sleep_until(each.done if isinstance(each, PracticeActed) else each.at)
            match each:
                case PracticeActed():
                    await self._act(bay, each, told)
                case PracticeBegun():
                    await bay.do(
                        BeginPractice(
                            scenario=each.scenario,
                            title=each.title,
                            assist=each.assist,
                            trainee=self._anew(each.trainee),
                        )
                    )
                case SpeedSet():
                    await bay.do(SetSpeed(speed=each.speed))
                case LeaptAhead():
                    await bay.do(LeapAhead(by_span=each.by_span))
        await sleep_until(self.ends)

    async def _act(
        self, bay: Bay, acted: PracticeActed, told: Callable[[Entry, Answer], None]
    ) -> None:
        if acted.line.value is None:
            raise NotPlayableError(ERASED)
        request = self._as_now_called(asked_by(acted.line.value), bay.board)
        answer = await self.desk.serve(bay, request)
        if isinstance(request, EntryLine):
            told(request.entry, answer)

    def _as_now_called(self, request: Request, board: Board) -> Request:
        """Return `request` with the opaque id that its cartridge has this time, if it names one."""
        if isinstance(request, EntryLine):
            return request
        place = self.places.get(getattr(request, "cartridge", ""))
        order = tuple(board.order)
        if place is None or place >= len(order):
            return request
        return request.model_copy(update={"cartridge": order[place]})

    def _anew(self, private: Private | None) -> Private | None:
        if private is None or private.value is None:
            return None
        new = self.desk.identifiers.new
        return Private(key=new("key"), salt=new("salt"), value=private.value)


def played_again(events: Iterable[Event], scenario: str, desk: Desk) -> PlayedAgain:
    """Return what `events` say was done in a rehearsal of `scenario`.

    Args:
        events: of the whole journal.
        scenario: digest of the scenario and its assays, in hex.
        desk: is to serve them.

    Raises:
        NotPlayableError: it is no such journal.
    """
    noted: list[Noted] = []
    labelled: list[str] = []
    ends: Instant | None = None
    for event in events:
        ends = event.at if isinstance(event, ProgramStopped) else ends
        noted.extend(_noted(event))
        labelled.extend([event.cartridge] if isinstance(event, CartridgeLabelled) else [])
    begun = next((each for each in noted if isinstance(each, PracticeBegun)), None)
    if begun is None:
        raise NotPlayableError(NOT_PRACTISED)
    if begun.scenario != scenario:
        raise NotPlayableError(OTHER_SCENARIO)
    return PlayedAgain(
        noted=tuple(noted),
        ends=noted[-1].at if ends is None else ends,
        places={each: place for place, each in enumerate(labelled)},
        desk=desk,
    )


def _noted(event: Event) -> Iterator[Noted]:
    if isinstance(event, Noted):
        yield event
