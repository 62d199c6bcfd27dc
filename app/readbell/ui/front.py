"""Between a screen and its bay: gives what people gave to the hand, in order, and what is seen back.

Nothing here draws, and nothing here knows the terminal: the board and the plain
lines both stand on it. Whoever gives something never waits; one thread of its
own works through what was given, so a slow disk never freezes a screen.
"""

from __future__ import annotations

import queue
import threading
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readbell.bay.errors import BayClosedError
from readbell.bay.site_time import time_zone
from readbell.core.board.events import ClockJumped, ClockUnsure, ComputerSlept
from readbell.core.board.sound import loudest, may_call
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.errors import ReadbellError
from readbell.core.instant import MINUTE, SECOND, Span, between
from readbell.core.policy.staffing import SignInBy
from readbell.hand.asking import told
from readbell.hand.deaf import noted
from readbell.hand.doing import Judging, Stepping, Watching
from readbell.hand.given import Idle, Key, Pressed
from readbell.hand.hand import Hand
from readbell.hand.handle import handle, tick
from readbell.hand.scene import Scene
from readbell.hand.signing import locked_hand
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_bay import tell

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from readbell.bay.bay import Bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.desk import Desk
    from readbell.bay.news import Answer, News
    from readbell.bay.outlook import Outlook
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.hand.given import Given
    from readbell.hand.hand import Turn
    from readbell.hand.scene import AtHand

DEAF = Span(500)
"""So long after a new alert nothing is marked as heard: nobody has heard it yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Present:
    """How everything stands at one instant."""

    news: News
    hand: Hand
    scene: Scene
    idle: Span
    """How long nobody has given anything."""
    not_saved_since: Instant | None
    told: str
    """What happened behind everybody's back, until somebody has marked it as heard."""
    alerted: Mapping[str, Instant]
    """When each cartridge last began to ask for eyes."""


class Front:
    """One pair of hands before one bay. `start` before use, `stop` after it."""

    def __init__(
        self,
        bay: BayThread,
        desk: Desk,
        *,
        shelf: Sequence[AtHand] = (),
        changed: Callable[[], None] = lambda: None,
    ) -> None:
        self._bay = bay
        self._desk = desk
        self._shelf = shelf
        self.changed = changed
        self.left = threading.Event()
        """Set once the person has said twice that they want to leave."""
        self.page = 10
        self._hand = first_hand(bay.present())
        self._alerted: dict[str, Instant] = {}
        self._last_alert: Instant | None = None
        self._not_saved_since: Instant | None = None
        self._told = ""
        self._may_call: tuple[Board, tuple[Cartridge, ...]] | None = None
        """Of the board seen last: of a thousand cartridges few have called."""
        self._loudest: tuple[Board, int, str | None] | None = None
        """The answer given last: it is asked for with each picture and each key."""
        self._last_given = bay.present().at
        self._lock_asked = False
        self._outlook: Outlook | None = None
        self._given: queue.SimpleQueue[Given | None] = queue.SimpleQueue()
        self._worker = threading.Thread(target=self._work, name="readbell-hand", daemon=True)
        bay.when_ended(lambda _: self._end())

    def begin(self, change: Callable[[Hand], Hand]) -> None:
        """Change the hand before anything is taken: what is told first, say."""
        self._hand = change(self._hand)

    def foresee(self, outlook: Outlook) -> None:
        """Say from now on when the next person may be begun."""
        self._outlook = outlook

    def note(self, words: str) -> None:
        """Have `words` stand on the board until somebody marks them as heard."""
        self._told = words

    def start(self) -> None:
        """Begin to take what is given."""
        self._worker.start()

    def stop(self) -> None:
        """Work through what was given, then end."""
        self._given.put(None)
        self._worker.join()

    def take(self, given: Given) -> None:
        """Put `given` in line."""
        self._given.put(given)

    def hear(self, news: News) -> None:
        """Take note of what the bay tells; may be called from its thread."""
        for event in news.events:
            match event:
                case AlertRaised(alert=AlertKind.READ_NOW | AlertKind.CLOSING):
                    self._last_alert = self._alerted[event.cartridge] = news.at
                case AlertRaised():
                    self._last_alert = news.at
                case ClockJumped() | ComputerSlept() | ClockUnsure():
                    self._told = tell(event, news.board, self._face(news))
                case _:
                    pass
        self.changed()

    def wall(self) -> int:
        """Return the wall clock, UTC milliseconds, as the bay reads it."""
        return self._bay.present().wall

    def beat(self) -> None:
        """Say that the screen lives."""
        self._bay.beat()

    def present(self) -> Present:
        """Return how everything stands now."""
        news = self._bay.present()
        scene = self._scene(news)
        hand = tick(self._hand, scene)
        if self._lock_is_due(news):
            hand = locked_hand(hand)
            if not self._lock_asked:
                # Seen at once; the bay is told by whoever works through what is given.
                self._lock_asked = True
                self.take(Idle())
        if news.not_saved is None:
            self._not_saved_since = None
        elif self._not_saved_since is None:
            self._not_saved_since = news.at
        return Present(
            news=news,
            hand=hand,
            scene=scene,
            idle=between(self._last_given, news.at),
            not_saved_since=self._not_saved_since,
            told=self._told,
            alerted=self._alerted,
        )

    def process(self, given: Given) -> None:
        """Give `given` to the hand and see through what it asks of the bay; it never raises."""
        try:
            self._process(given)
        except Exception as error:  # noqa: BLE001  # one bad key must never make a bay deaf
            words = f"That could not be done ({type(error).__name__}). Nothing was saved by it."
            self._hand = self._hand.now_doing(Watching()).saying(words, fine=False)
        self.changed()

    def _process(self, given: Given) -> None:
        news = self._bay.present()
        scene = self._scene(news)
        if self._lock_is_due(news):
            self._lock_asked = False
            self._act_on(Idle(), scene)
            news = self._bay.present()
            scene = self._scene(news)
        if isinstance(given, Idle):
            return
        self._last_given = news.at
        if given == Pressed(Key.HEARD) and self._told:
            # What happened behind everybody's back goes first: it was read now.
            self._told = ""
            return
        self._act_on(given, scene)

    def _act_on(self, given: Given, scene: Scene) -> None:
        turn = handle(tick(self._hand, scene), given, scene)
        self._hand = turn.hand
        self._see_through(turn, given)

    def _lock_is_due(self, news: News) -> bool:
        """Say whether nobody has given anything for so long that the site wants it locked."""
        minutes = news.board.policy.idle_lock_minutes
        idle = between(self._last_given, news.at)
        return minutes > 0 and not self._hand.locked and idle >= minutes * MINUTE

    def _see_through(self, turn: Turn, given: Given) -> None:
        ask = turn.ask

        def scene() -> Scene:
            return self._scene(self._bay.present())

        try:
            if ask is not None:
                answer = self._bay.ask(lambda bay: self._desk.serve(bay, ask.request))
                after = ask.then(self._hand, answer, scene())
                self._hand = noted(self._hand, after, given, answer.at)
            if turn.ring:
                rang = self._bay.ask(_ring)
                if rang.refusal is not None:
                    self._hand = replace(self._hand, said=told(rang, scene()))
            self._bay.ask(self._say_what_is_in_hand)
        except BayClosedError:
            self.left.set()
        except ReadbellError as error:
            self._hand = self._hand.saying(str(error), fine=False)
        if turn.leave:
            self.left.set()

    async def _say_what_is_in_hand(self, bay: Bay) -> None:
        doing = self._hand.doing
        held = doing.cartridge if isinstance(doing, (Judging, Stepping)) else None
        await bay.in_hand(held)

    def _work(self) -> None:
        while (given := self._given.get()) is not None:
            self.process(given)

    def _end(self) -> None:
        """Leave: the bay has ended, and nothing given can be kept any more."""
        self.left.set()
        self.changed()

    def _scene(self, news: News) -> Scene:
        return Scene(
            board=news.board,
            now=news.at,
            face=self._face(news),
            sounding=self._sounding(news),
            shelf=self._shelf,
            outlook=None if self._outlook is None else self._outlook.at(news.board, news.at),
            page=self.page,
            saves=news.not_saved is None,
        )

    def _face(self, news: News) -> ClockFace:
        founded = news.board.founded
        zone = time_zone("UTC" if founded is None else founded.timezone)
        return ClockFace(zone=zone, apart=news.wall - news.at)

    def _sounding(self, news: News) -> str | None:
        """Return the cartridge whose sound may be marked as heard: the most urgent that calls."""
        if self._last_alert is not None and between(self._last_alert, news.at) < DEAF:
            return None
        kept, second = self._loudest, news.at // SECOND
        if kept is None or kept[0] is not news.board or kept[1] != second:
            found = loudest(news.board, news.at, self._callers(news.board))
            kept = self._loudest = (news.board, second, found)
        return kept[2]

    def _callers(self, board: Board) -> tuple[Cartridge, ...]:
        kept = self._may_call
        if kept is None or kept[0] is not board:
            kept = self._may_call = (board, may_call(board))
        return kept[1]


def first_hand(news: News) -> Hand:
    """Return the hand at the start of work."""
    board = news.board
    operators = list(board.operators)
    # With one operator there is nobody to choose from: a single practitioner signs on by starting.
    operator = operators[0] if len(operators) == 1 else None
    if board.policy.sign_in is not SignInBy.NONE and operators:
        return Hand(doing=Watching(), locked=True)
    return Hand(doing=Watching(), operator=operator)


async def _ring(bay: Bay) -> Answer:
    return await bay.ring_test()
