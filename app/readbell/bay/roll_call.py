"""Who else is here, asked before a station begins or comes back: whoever is says so in a moment.

Nobody is to be called away whose word has only not come yet, and of two computers that are one
station the second is to hear of the first before it does anything.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.presence import AWAY_AFTER
from readbell.core.instant import Span
from readbell.core.stations.station import StationState

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.presence import StationPresence
    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Clock, Sleeper
    from readbell.journal.keeper import Keeper
    from readbell.journal.shared import Server

TWIN_ANSWERS_WITHIN = Span(700)
"""Where the server knows of no other run of this station, so one of an older program at most."""
OTHERS_ANSWER_WITHIN = Span(1_500)
"""So long a start waits for stations that the record has as here (our own choice)."""
ASK_EACH = Span(500)
"""How often the server is asked whether one that it knows of and that says nothing is there still."""


class RollCall:
    """Waits until the stations that the record has as here have said so, or had the time to.

    Args:
        presence: says and hears who is here.
        recorder: has the board.
        keeper: has the thread that asks the server.
        clock: the clocks of this computer.
        sleeper: waits on them; it is woken by whatever is heard.
        is_over: whether nobody listens here any more.
    """

    def __init__(
        self,
        *,
        presence: StationPresence,
        recorder: Recorder,
        keeper: Keeper,
        clock: Clock,
        sleeper: Sleeper,
        is_over: Callable[[], bool],
    ) -> None:
        self._presence = presence
        self._recorder = recorder
        self._keeper = keeper
        self._clock = clock
        self._sleeper = sleeper
        self._is_over = is_over
        self.is_heard = False
        """Whether this station hears the server now, and so those who answer."""

    async def hold(self, server: Server) -> None:
        """Ask who is here, and wait for the answers.

        Raises:
            ReadbellError: another computer is this station now.
            JournalError: the link is lost again.
        """
        presence = self._presence
        expected = {
            name
            for name, each in self._recorder.board.stations.items()
            if each.state is StationState.HERE
        }
        # Whoever did not say goodbye may be at work on another computer, under our name.
        patience = TWIN_ANSWERS_WITHIN if presence.station in expected else 0
        expected.discard(presence.station)
        began = self._clock.read().running
        asked = None
        while not self._is_over() and not presence.is_second:
            running = self._clock.read().running
            if self.is_heard and asked is None:
                presence.pulse(asks=True)
                asked = running
            left = began + OTHERS_ANSWER_WITHIN - running
            if asked is not None and expected <= presence.heard():
                left = asked + patience - running
            if left <= 0 and await self._may_have_twin(server, running - began):
                left = ASK_EACH
            if left <= 0:
                break
            await self._sleeper.sleep(Span(left))
        presence.refuse_second()

    async def _may_have_twin(self, server: Server, waited: int) -> bool:
        """Say whether the server knows of another run of this station, and it is worth waiting for.

        It says so itself within seconds. If it does not, its computer is gone.
        """
        if waited >= AWAY_AFTER or self._presence.has_twin:
            return False
        run = self._presence.run
        return await self._keeper.read(lambda _: server.has_namesake(run))
