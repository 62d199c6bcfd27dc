"""Between a screen and a real bay: in order, never raising, and nobody heard what nobody could hear."""

from __future__ import annotations

import sys
import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.assembly import desk
from readbell.bay.outlook import Outlook
from readbell.cli.plain import _take
from readbell.cli.voice import Voice
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.core.figures.view import Asked, By, Sheet, Stretch
from readbell.core.instant import Span, later
from readbell.core.plan.answer_state import AnswerState
from readbell.hand import deaf
from readbell.hand import handle as handle_module
from readbell.hand.doing import (
    Figuring,
    Filling,
    Gathering,
    Leaving,
    Paper,
    Room,
    Stepping,
    Visiting,
    Watching,
)
from readbell.hand.given import Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn
from readbell.journal.keeper import NotSaved
from readbell.ui import front as front_module
from readbell.ui.board_screen import BoardScreen
from readbell.ui.front import Front
from readbell.ui.glyphs import UNICODE
from readbell.ui.look import Look
from ui.conftest import give

if TYPE_CHECKING:
    from readbell.bay.bay_thread import BayThread
    from readbell.hand.given import Given
    from readbell.hand.scene import Scene

FIGURES_ASKED = Asked(
    sheet=Sheet.RATES, by=By.DAY, stretch=Stretch.ALL, wide=76, picture=None, plain_signs=False
)


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
    there = threading.Event()
    assert front.present().scene.outlook_state is None
    front.changed = there.set
    front.foresee(Outlook())
    scene = front.present().scene

    assert scene.outlook is None
    assert scene.looked_ahead() is None
    assert there.wait(PATIENCE_SECONDS)
    assert front.present().scene.outlook_state is AnswerState.STANDS
    front.start()
    front.stop()


@pytest.mark.parametrize("room", [Room.FIGURES, Room.SHIFT])
def test_the_figures_of_the_week_are_counted_while_somebody_is_in_a_room_that_tells_of_them(
    front: Front, room: Room
) -> None:
    """Nobody counts them for nothing, and no picture waits for them."""
    there = threading.Event()
    front.changed = there.set
    assert front.present().scene.week is None
    assert not front._lately._worker.is_alive()
    front.begin(lambda hand: hand.now_doing(Visiting(room=room)))
    assert front.present().scene.week is None
    assert there.wait(PATIENCE_SECONDS)
    week = front.present().scene.week

    assert week is not None
    assert week.whole.tests == 0
    front.start()
    front.stop()
    assert not front._lately._worker.is_alive()


def test_the_figures_are_counted_beside_the_board_and_let_go_when_they_are_left(
    front: Front,
) -> None:
    """No longer than somebody looks, the help over them included."""
    front.count_beside((sys.executable, "-c", "import sys; sys.stdin.read()"))
    figures = front.present().scene.figures
    assert figures is not None
    front.begin(lambda hand: hand.now_doing(Figuring()))
    figures.ask(FIGURES_ASKED)
    give(front, Pressed(Key.HELP))
    process = figures._process
    assert process is not None
    assert process.poll() is None
    give(front, Pressed(Key.BACK), Pressed(Key.BACK))
    assert process.poll() is not None
    front.begin(lambda hand: hand.now_doing(Figuring()))
    figures.ask(FIGURES_ASKED)
    process = figures._process
    front.start()
    front.stop()

    assert process is not None
    assert process.poll() is not None


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


def test_what_keys_need_is_made_ready_once_a_picture_stands(front: Front) -> None:
    """Before that it would hold the picture up; and nothing is foreseen sooner either."""
    done: list[str] = []
    front.foresee(Outlook(), once_shown=True)
    foresight = front._foresight
    assert foresight is not None
    assert front.present().scene.outlook_state is AnswerState.NOT_YET
    front.start(lambda: done.append(f"ready, foresees: {foresight._worker.is_alive()}"))
    done.append("picture")
    front.shown()
    front.stop()

    assert done == ["picture", "ready, foresees: True"]


def test_a_key_does_not_wait_for_a_picture(front: Front) -> None:
    """A terminal may be too small for one, and somebody wants to leave."""
    done: list[str] = []
    front.changed = lambda: done.append("taken")
    front.start(lambda: done.append("ready"))
    front.take(Pressed(Key.LEAVE))
    front.stop()

    assert done == ["ready", "taken"]
    assert isinstance(front.present().hand.doing, Leaving)


def test_what_cannot_be_made_ready_makes_no_bay_deaf(front: Front) -> None:
    """Of a damaged installation one key fails, and says so; the others do what they do."""

    def broken() -> None:
        raise ImportError

    front.start(broken)
    front.shown()
    front.take(Pressed(Key.LEAVE))
    front.stop()

    assert isinstance(front.present().hand.doing, Leaving)


def test_a_failing_hand_never_ends_the_worker(
    front: Front, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One bad key must not make a bay deaf; what failed is named by its kind alone."""

    def handle(hand: Hand, given: Given, _: Scene) -> Turn:
        if given == Scanned("RAISE"):
            raise ValueError(given)
        return Turn(hand=hand.saying("still here"))

    monkeypatch.setattr(handle_module, "handle", handle)
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
    monkeypatch.setattr(front_module, "loudest", lambda *_, **__: "id-C07")
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
    monkeypatch.setattr(front_module, "loudest", lambda _, now, *__, **___: asked.append(now))
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


def test_plain_lines_say_who_is_here_where_somebody_asks(
    front: Front, capsys: pytest.CaptureFixture[str]
) -> None:
    """A bay without a server has one station."""
    voice = Voice()
    voice.say(list)
    _take(front, voice, ".stations")
    voice.fall_silent()

    assert "This bay has no server" in capsys.readouterr().out


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


def test_after_the_clock_was_set_what_lies_back_keeps_the_time_it_had(front: Front) -> None:
    """Set by hand in the night on which clocks go back, as where no network does it."""
    news = front.present().news
    jumps = ((later(news.at, Span(-60_000)), Span(-3_600_000)),)
    board = replace(news.board, clock_jumps=jumps)
    face = front._scene(replace(news, board=board, wall=news.wall - 3_600_000)).face

    for each in (news.at, later(news.at, Span(-3_600_000))):
        assert face.local(each).timestamp() * 1000 == pytest.approx(news.wall - 3_600_000, abs=1)
