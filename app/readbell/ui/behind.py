"""What happened behind everybody's back: one sentence that stays until somebody has heard it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import ClockJumped, ClockUnsure, ComputerSlept
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.stations.events import JoinedUp

if TYPE_CHECKING:
    from readbell.bay.news import News
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace


class Behind:
    """The last such sentence; empty: there is none, or it was heard."""

    def __init__(self) -> None:
        self.words = ""
        self.noted = ""
        """What was found at the start: nothing that is told later takes its place."""
        self._came_home: tuple[Instant, str] | None = None
        """What was told last of what came home, and when that was."""

    @property
    def told(self) -> str:
        """All that somebody has yet to hear."""
        return " ".join(each for each in (self.words, self.noted) if each)

    def heard(self) -> None:
        """Take note that somebody read it."""
        self.words = self.noted = ""

    def hear(self, news: News, face: ClockFace) -> None:
        """Take note of what the bay tells."""
        self._forget_the_last_time_alone(news)
        for event in news.events:
            match event:
                case JoinedUp() if news.around is not None:
                    # What is held by it weighs more than how much came home, and stays.
                    if event.station == news.around.station and not any(map(_is_told, news.events)):
                        from readbell.phrases.around_words import say_joined_up

                        self.words = say_joined_up(event, len(news.board.apart))
                        self._came_home = (event.at, self.words)
                case ReadingHeld() if HoldReason.READ_ON_BOTH_SIDES in event.reasons:
                    from readbell.phrases.review_words import say_no_outcome

                    # What was said here of it as it was read may stand on the screen still.
                    self.words = say_no_outcome(event, news.board)
                case ReadingHeld() if HoldReason.CONTRADICTS_ANOTHER in event.reasons:
                    from readbell.phrases.review_words import say_contradicting

                    # One of the two may have been read, or told, at this station long before.
                    self.words = say_contradicting(event, news.board)
                case ClockJumped() | ComputerSlept() | ClockUnsure():
                    from readbell.phrases.of_bay import tell

                    self.words = tell(event, news.board, face)
                case _:
                    pass

    def _forget_the_last_time_alone(self, news: News) -> None:
        """Take away what came home before, once the link is lost again: it reads as if of now."""
        home, around = self._came_home, news.around
        if home is None or around is None or around.alone is None:
            return
        came_at, words = home
        if around.alone.since >= came_at:
            self._came_home = None
            if self.words == words:
                self.words = ""


def _is_told(event: Event) -> bool:
    """Say whether it is a hold that is told of wherever the result may stand on the screen."""
    told = {HoldReason.READ_ON_BOTH_SIDES, HoldReason.CONTRADICTS_ANOTHER}
    return isinstance(event, ReadingHeld) and not told.isdisjoint(event.reasons)
