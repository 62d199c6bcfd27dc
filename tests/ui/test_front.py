"""Between a screen and a real bay: in order, never raising, and nobody heard what nobody could hear."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL
from readbell.assembly import desk, live_bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.opening import Founding
from readbell.bay.outlook import Outlook
from readbell.core.board.events import ClockUnsure, Ending, Mode
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.instant import Span, later
from readbell.hand import deaf
from readbell.hand.doing import Filling, Gathering, Paper, Room, Stepping, Visiting, Watching
from readbell.hand.given import Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn
from readbell.hand.scene import AtHand
from readbell.journal.keeper import NotSaved
from readbell.settings.site_settings import SiteSettings
from readbell.ui import front as front_module
from readbell.ui.board_screen import BoardScreen
from readbell.ui.front import Front
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer
    from readbell.hand.given import Given
    from readbell.hand.scene import Scene

LIVE = Founding(bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE)
SHELF = (AtHand(id=NASAL.id, title=NASAL.title),)
PATIENCE_SECONDS = 30.0


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of these bays may land in the folders of whoever runs the tests."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.fixture
def told() -> list[News]:
    """What the bay tells."""
    return []


@pytest.fixture
def bay(tmp_path: Path, told: list[News]) -> Iterator[BayThread]:
    """A live bay on the system's clock."""
    thread = BayThread(
        lambda: live_bay(
            tmp_path / "bay.journal", LIVE, told.append, lambda: Ending.LEFT, SiteSettings()
        )
    )
    thread.start()
    yield thread
    thread.stop()


@pytest.fixture
def front(bay: BayThread) -> Front:
    """The front of a bay on which the first operator is registered by hand."""
    made = Front(bay, desk(), shelf=SHELF)
    give(made, Pressed(Key.ROOMS), Pressed(Key.RIGHT), Pressed(Key.START), Scanned("op-1"))
    give(made, Pressed(Key.START))
    return made


def give(front: Front, *given: Given) -> None:
    """Give all of it, one after another."""
    for each in given:
        front.process(each)


def words(front: Front) -> str:
    """What was said last."""
    said = front.present().hand.said
    return "" if said is None else said.words


def alert(front: Front, kind: AlertKind = AlertKind.READ_NOW) -> None:
    """Let the bay tell of an alert, now."""
    news = front.present().news
    event = AlertRaised(at=news.at, alert=kind, cartridge="id-C07", due=news.at, step="")
    front.hear(replace(news, events=(event,)))


def test_the_first_operator_who_registers_acts(front: Front) -> None:
    """Nobody else could be meant."""
    assert front.present().hand.operator == "op-1"
    assert front.present().hand.doing == Visiting(room=Room.PEOPLE)


def test_with_one_operator_there_is_nobody_to_choose(front: Front, bay: BayThread) -> None:
    """A single practitioner signs on by starting; of two neither is taken."""
    assert Front(bay, desk()).present().hand.operator == "op-1"
    give(front, Pressed(Key.START), Scanned("op-2"), Pressed(Key.START))
    assert Front(bay, desk()).present().hand.operator is None


def test_the_next_safe_start_is_seen_once_it_is_asked_to_be_foreseen(front: Front) -> None:
    """By whoever has settings; without an assay there is no answer."""
    seen: list[Board] = []

    class Foreseen(Outlook):
        def at(self, board: Board, now: Instant) -> Answer | None:
            seen.append(board)
            return super().at(board, now)

    assert front.present().scene.outlook is None
    front.foresee(Foreseen())
    assert front.present().scene.outlook is None
    assert seen


def test_what_is_given_is_worked_through_in_order(front: Front) -> None:
    """A slow disk delays, and changes no order."""
    front.begin(lambda hand: hand.now_doing(Gathering()))
    front.start()
    for number in range(50):
        front.take(Scanned(f"P-{number:03}"))
    front.stop()

    doing = front.present().hand.doing
    assert isinstance(doing, Gathering)
    assert doing.persons == tuple(f"P-{number:03}" for number in range(50))


def test_a_failing_hand_never_ends_the_worker(
    front: Front, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One bad key must not make a bay deaf; what failed is named by its kind alone."""

    def handle(hand: Hand, given: Given, _: Scene) -> Turn:
        if given == Scanned("RAISE"):
            raise ValueError(given)
        return Turn(hand=hand.saying("still here"))

    monkeypatch.setattr(front_module, "handle", handle)
    front.start()
    front.take(Scanned("RAISE"))
    front.take(Scanned("P-001"))
    front.stop()

    assert words(front) == "still here"
    give(front, Scanned("RAISE"))
    assert "ValueError" in words(front)
    assert "RAISE" not in words(front)


def test_what_the_bay_refuses_by_an_error_is_told(front: Front) -> None:
    """An assay that is not at hand, say: one line, and the work goes on."""
    answers = (("assay", "nothing-like-that"), ("instructions", "1"), ("checked", "yes"))
    front.begin(lambda hand: hand.now_doing(Filling(paper=Paper.ASSAY, answers=answers)))
    give(front, Pressed(Key.START))

    assert "nothing-like-that" in words(front)
    assert not front.left.is_set()


def test_f8_is_deaf_just_after_a_new_alert(bay: BayThread, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody has heard yet what began to sound half a second ago."""
    monkeypatch.setattr(front_module, "loudest", lambda *_: "id-C07")
    front = Front(bay, desk())
    assert front.present().scene.sounding == "id-C07"

    alert(front, AlertKind.WAIT_OVER)
    assert front.present().scene.sounding is None
    late = replace(front.present().news, at=later(front.present().news.at, Span(500)))
    assert front._sounding(late) == "id-C07"  # no test waits on the real clock


def test_who_sounds_is_worked_out_once_a_second(
    front: Front, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a thousand cartridges that is most of a picture's cost."""
    asked: list[int] = []
    monkeypatch.setattr(front_module, "loudest", lambda _, now, __: asked.append(now))
    news = front.present().news
    for apart in (0, 100, 200):
        front._sounding(replace(news, at=later(news.at, Span(1000 - news.at % 1000 + apart))))

    assert len(asked) <= 2


@pytest.mark.parametrize("kind", [AlertKind.READ_NOW, AlertKind.CLOSING])
def test_what_begins_to_ask_for_eyes_is_noted(front: Front, kind: AlertKind) -> None:
    """It swaps its fill for some seconds; a wait that is over does not."""
    alert(front, AlertKind.WAIT_OVER)
    assert "id-C07" not in front.present().alerted
    alert(front, kind)
    assert "id-C07" in front.present().alerted


def test_what_happened_behind_everybodys_back_stays_until_it_is_heard(front: Front) -> None:
    """And F8 marks that first, not a cartridge."""
    news = front.present().news
    front.hear(replace(news, events=(ClockUnsure(at=news.at, cartridges=("id-C07",)),)))
    told = front.present().told
    assert told
    give(front, Pressed(Key.RIGHT))
    assert front.present().told == told
    give(front, Pressed(Key.HEARD))
    assert front.present().told == ""


def test_the_bay_learns_what_is_in_hand(front: Front, bay: BayThread) -> None:
    """It is silent about a cartridge while somebody acts on it."""
    held: list[str | None] = []

    async def listen(real: object) -> None:
        async def in_hand(cartridge: str | None) -> None:
            held.append(cartridge)

        real.in_hand = in_hand  # type: ignore[attr-defined]

    bay.ask(listen)
    give(front, Pressed(Key.ROOMS))
    front.begin(lambda hand: hand.now_doing(Stepping(cartridge="gone", until="x")))
    give(front, Pressed(Key.RIGHT))

    assert held == [None, None]


def test_leaving_is_said_twice(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second time it is meant."""
    monkeypatch.setattr(deaf, "FRESH", Span(0))
    give(front, Pressed(Key.LEAVE))
    assert not front.left.is_set()
    give(front, Pressed(Key.LEAVE))
    assert front.left.is_set()


def test_a_bay_that_ended_ends_its_front(bay: BayThread) -> None:
    """A board that shows a bay which is no more is worse than none."""
    changes: list[int] = []
    front = Front(bay, desk(), changed=lambda: changes.append(1))
    bay.stop()

    assert front.left.wait(PATIENCE_SECONDS)
    assert changes
    front.left.clear()
    give(front, Scanned("P-001"))
    assert front.left.is_set()


def test_a_ring_that_cannot_be_is_told(front: Front) -> None:
    """`The alarm rings` in silence would pass for a broken ear."""
    rings = front.present().news.sounding.can_sound
    give(front, Pressed(Key.RIGHT), Pressed(Key.RIGHT), Pressed(Key.DONE))

    assert front.present().hand.doing == Visiting(room=Room.SOUND)
    assert ("The alarm rings" in words(front)) is rings, words(front)


def test_not_saved_since_counts_from_the_first_time_it_was_seen(
    bay: BayThread, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And is forgotten once everything is on the disk."""
    front, news = Front(bay, desk()), bay.present()
    lost = replace(news, not_saved=NotSaved(why="Disk full", continuation=None))
    for told, since in (
        (lost, news.at),
        (replace(lost, at=later(news.at, Span(5000))), news.at),
        (news, None),
    ):
        monkeypatch.setattr(bay, "present", lambda told=told: told)
        assert front.present().not_saved_since == since


def test_idle_counts_from_the_last_thing_given(front: Front) -> None:
    """After some minutes names are masked."""
    give(front, Pressed(Key.UP))

    assert 0 <= front.present().idle < PATIENCE_SECONDS * 1000
    assert front.wall() > 0


def test_times_are_shown_in_the_zone_of_the_bay(front: Front) -> None:
    """Not in that of the computer."""
    assert str(front.present().scene.face.zone) == "Europe/London"


def test_a_board_screen_hands_on_what_is_given_and_shows_what_is_typed(front: Front) -> None:
    """Scan, click and text; a click on nothing is nothing."""
    taken: list[Given] = []
    front.take = taken.append  # type: ignore[assignment,method-assign]
    screen = BoardScreen(front, Look(glyphs=UNICODE))
    screen.typed("P-0")
    lines = screen.lines(80, 24)
    screen.take(Scanned("P-001"))
    screen.click(2, 23)
    screen.click(79, 0)
    screen.beat()

    assert "P-0" in lines[-2].text
    assert taken[0] == Scanned("P-001")
    assert len(taken) == 2
    assert isinstance(taken[1], Pressed)
    assert 0 < screen.until_next_tick() <= 1
    assert threading.current_thread() is threading.main_thread()
    assert front.page >= 1


def test_nothing_in_hand_is_the_board_watched(bay: BayThread) -> None:
    """So it begins."""
    assert Front(bay, desk()).present().hand.doing == Watching()


def test_what_must_not_be_overlooked_stands_until_it_is_heard(front: Front) -> None:
    """A file with events that belong nowhere is for a supervisor, and nobody may miss it."""
    front.note("bay.journal.continuation-1 could not be joined. Keep it for a supervisor.")
    assert "could not be joined" in front.present().told
    give(front, Pressed(Key.HEARD))
    assert front.present().told == ""
