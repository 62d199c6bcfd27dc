"""Between a screen and its bay: gives what people gave to the hand, in order, and what is seen back.

Nothing here draws, and nothing here knows the terminal: the board and the plain
lines both stand on it. Whoever gives something never waits; one thread of its
own works through what was given, so a slow disk never freezes a screen.
"""

from __future__ import annotations

import queue
import threading
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from readbell.bay.errors import BayClosedError
from readbell.bay.figures_beside import FiguresBeside
from readbell.bay.foresight import Foresight
from readbell.bay.lately import Lately
from readbell.bay.site_face import face_now
from readbell.bay.site_time import site_date
from readbell.bay.sounder import calls_here, heard_by
from readbell.core.board.sound import loudest, may_call
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.errors import ReadbellError
from readbell.core.instant import MINUTE, SECOND, Span, between
from readbell.core.made_later import dataclass
from readbell.hand.deaf import noted
from readbell.hand.doing import (
    Figuring,
    Helping,
    Judging,
    Leaving,
    Room,
    Stepping,
    Visiting,
    Watching,
)
from readbell.hand.first_hand import first_hand
from readbell.hand.given import Idle, Key, Pressed
from readbell.hand.scene import Scene
from readbell.hand.ticking import tick
from readbell.ui.behind import Behind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from readbell.bay.bay import Bay
    from readbell.bay.bay_thread import BayThread
    from readbell.bay.desk import Desk
    from readbell.bay.news import Answer, News
    from readbell.bay.outlook import Outlook
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.figures.week import Week
    from readbell.core.instant import Instant
    from readbell.core.statistics.cusum import Watch
    from readbell.hand.doing import Doing
    from readbell.hand.given import Given
    from readbell.hand.hand import Hand, Turn
    from readbell.hand.scene import AtHand
    from readbell.phrases.clock_time import ClockFace

TELLS_OF_THE_WEEK = frozenset({Room.FIGURES, Room.SHIFT})
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
        self._behind = Behind()
        self._may_call: tuple[Board, tuple[Cartridge, ...]] | None = None
        """Of the board seen last: of a thousand cartridges few have called."""
        self._loudest: tuple[Board, int, str | None] | None = None
        """The answer given last: it is asked for with each picture and each key."""
        self._last_given = bay.present().at
        self._lock_asked = False
        self._foresight: Foresight | None = None
        self._once_shown: list[Callable[[], None]] = []
        self._lately = Lately(lambda: self.changed())
        self._figures: FiguresBeside | None = None
        self._given: queue.SimpleQueue[Given | None] = queue.SimpleQueue()
        self._is_wanted = threading.Event()
        """Set once the first picture stands, or something is given before that."""
        self._worker = threading.Thread(target=self._work, name="readbell-hand", daemon=True)
        bay.when_ended(lambda _: self._end())

    def begin(self, change: Callable[[Hand], Hand]) -> None:
        """Change the hand before anything is taken: what is told first, say."""
        self._hand = change(self._hand)

    def foresee(self, outlook: Outlook, *, once_shown: bool = False) -> None:
        """Say when the next person may be begun, from now on or once a picture stands, until stopped."""
        self._foresight = Foresight(outlook, lambda: self.changed())
        if once_shown:
            self._once_shown.append(self._foresight.start)
        else:
            self._foresight.start()

    def watch_lots(self, watch: Callable[[], Watch | None]) -> None:
        """Watch lots from now on by what `watch` gives, in the room that tells the figures."""
        self._lately.watch = watch

    def count_beside(self, command: Sequence[str], secret: str | None = None) -> None:
        """Have all the figures counted by the program that `command` starts, while somebody looks.

        Args:
            command: starts it.
            secret: what it is told first; None: nothing.
        """
        self._figures = FiguresBeside(command, lambda: self.changed(), secret)

    def note(self, words: str) -> None:
        """Have `words` stand on the board until somebody marks them as heard."""
        self._behind.noted = words

    def start(self, make_ready: Callable[[], None] = lambda: None) -> None:
        """Begin to take what is given.

        Args:
            make_ready: imports what a picture does without and a key does not: called first, in
                the thread that takes what is given, once a picture stands or a key does not wait.
        """
        self._once_shown.append(make_ready)
        self._worker.start()

    def shown(self) -> None:
        """Take note that the first picture stands."""
        self._is_wanted.set()

    def stop(self) -> None:
        """Work through what was given, then end."""
        self._given.put(None)
        self._is_wanted.set()
        self._worker.join()
        self._lately.stop()
        if self._figures is not None:
            self._figures.rest()
        if self._foresight is not None:
            self._foresight.stop()

    def take(self, given: Given) -> None:
        """Put `given` in line."""
        self._given.put(given)
        self._is_wanted.set()

    def hear(self, news: News) -> None:
        """Take note of what the bay tells; may be called from its thread."""
        self._behind.hear(news, self._face(news))
        for event in news.events:
            match event:
                case AlertRaised(alert=AlertKind.READ_NOW | AlertKind.CLOSING):
                    self._last_alert = self._alerted[event.cartridge] = news.at
                case AlertRaised():
                    self._last_alert = news.at
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
            from readbell.hand.signing import locked_hand

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
            told=self._behind.told,
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
        if given == Pressed(Key.HEARD) and self._behind.told:
            # What happened behind everybody's back goes first: it was read now.
            self._behind.heard()
            return
        self._act_on(given, scene)

    def _act_on(self, given: Given, scene: Scene) -> None:
        from readbell.hand.handle import handle

        turn = handle(tick(self._hand, scene), given, scene)
        self._hand = turn.hand
        self._see_through(turn, given)
        if self._figures is not None and not _looks_at_figures(self._hand.doing):
            self._figures.rest()

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
                    from readbell.hand.asking import told

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
        self._is_wanted.wait()
        for each in self._once_shown:
            # What cannot be imported now fails at its key again, and is told then.
            with suppress(Exception):
                each()
        while (given := self._given.get()) is not None:
            self.process(given)

    def _end(self) -> None:
        """Leave: the bay has ended, and nothing given can be kept any more."""
        self.left.set()
        self.changed()

    def _scene(self, news: News) -> Scene:
        foresight, board, now = self._foresight, news.board, news.at
        if foresight is None:
            outlook, state, look_ahead = None, None, None
        else:
            outlook, state = foresight.seen(board, now)
            look_ahead = partial(foresight.waited_for, now=now)
        return Scene(
            board=news.board,
            now=news.at,
            face=self._face(news),
            acting=self._hand.operator,
            sounding=self._sounding(news),
            shelf=self._shelf,
            outlook=outlook,
            outlook_state=state,
            look_ahead=look_ahead,
            week=self._week(news),
            figures=self._figures,
            page=self.page,
            around=news.around,
            saves=news.not_saved is None,
        )

    def _week(self, news: News) -> Week | None:
        """Return what this week has come to, while somebody is in a room that tells of it."""
        doing = self._hand.doing
        if not isinstance(doing, Visiting) or doing.room not in TELLS_OF_THE_WEEK:
            return None
        day = site_date(news.wall, self._face(news).zone)
        return self._lately.seen(news.board, day.isoformat())

    def _face(self, news: News) -> ClockFace:
        return face_now(news.board, news.wall - news.at)

    def _sounding(self, news: News) -> str | None:
        """Return the cartridge whose sound may be marked as heard: the most urgent that calls."""
        if self._last_alert is not None and between(self._last_alert, news.at) < DEAF:
            return None
        kept, second = self._loudest, news.at // SECOND
        if kept is None or kept[0] is not news.board or kept[1] != second:
            found = _loudest_here(news, self._callers(news.board))
            kept = self._loudest = (news.board, second, found)
        return kept[2]

    def _callers(self, board: Board) -> tuple[Cartridge, ...]:
        kept = self._may_call
        if kept is None or kept[0] is not board:
            kept = self._may_call = (board, may_call(board))
        return kept[1]


def _looks_at_figures(doing: Doing) -> bool:
    """Say whether the figures are open, be it below the help."""
    return isinstance(doing, Figuring) or (
        isinstance(doing, (Helping, Leaving)) and isinstance(doing.before, Figuring)
    )


def _loudest_here(news: News, callers: tuple[Cartridge, ...]) -> str | None:
    """Return the cartridge to be heard next, of those that sound at this station."""
    board, around = news.board, news.around
    return loudest(
        board,
        news.at,
        callers,
        heard=heard_by(board, around),
        sounds=lambda call: bool(calls_here([call], board, around)),
    )


async def _ring(bay: Bay) -> Answer:
    return await bay.ring_test()
