"""A station that nobody has touched is locked: masked at once, and nobody acts before a badge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import Bench, private
from readbell.assembly import desk, live_bay
from readbell.bay.bay_thread import BayThread
from readbell.bay.opening import Founding
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.events import Ending, Mode
from readbell.core.board.fold import fold
from readbell.core.instant import MINUTE, Instant
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import SignInBy
from readbell.core.staff.acts import SignIn
from readbell.core.staff.events import SignedIn, StationLocked
from readbell.hand.doing import ChoosingPin, Proving, Watching
from readbell.hand.given import Idle, Key, Pressed, Scanned
from readbell.settings.site_settings import SiteSettings
from readbell.ui.front import Front
from readbell.ui.keys_line import locked_keys
from readbell.ui.who import page_words, signed_on
from ui.busy_board import NOW, busy_bench
from ui.pages import SIZES, SMALL_SIZES, painted, present, text

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.core.board.board import Board
    from readbell.hand.doing import Doing
    from readbell.ui.front import Present

LIVE = Founding(bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE)
BADGE = SitePolicy(sign_in=SignInBy.BADGE)
LOCKS = SiteSettings(bell=False, policy=SitePolicy(sign_in=SignInBy.BADGE, idle_lock_minutes=5))


@pytest.fixture
def told() -> list[News]:
    """What the bay tells."""
    return []


@pytest.fixture
def front(tmp_path: Path, told: list[News], monkeypatch: pytest.MonkeyPatch) -> Iterator[Front]:
    """The front of a bay that locks itself after five minutes, where op-1 signs in by a badge."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "bay.journal"
    thread = BayThread(lambda: live_bay(path, LIVE, told.append, lambda: Ending.LEFT, LOCKS))
    thread.start()
    thread.ask(lambda bay: bay.do(RegisterOperator(by=None, operator=private("op-1"))))
    yield Front(thread, desk(path))
    thread.stop()


def untouched(front: Front, minutes: int) -> None:
    """Have nobody have touched anything for so long."""
    front._last_given = Instant(front.present().news.at - minutes * MINUTE)


def happened(told: list[News], kind: type) -> int:
    """How often something of this kind happened."""
    return sum(isinstance(event, kind) for news in told for event in news.events)


def test_where_people_sign_in_a_board_begins_locked(front: Front) -> None:
    """Whoever starts it may be anybody."""
    assert front.present().hand.locked
    front.process(Pressed(Key.ROOMS))
    assert front.present().hand.doing == Watching()
    front.process(Scanned("op-1"))
    assert front.present().hand.operator == "op-1"
    assert not front.present().hand.locked


def test_a_station_left_alone_is_locked_by_the_next_picture(front: Front, told: list[News]) -> None:
    """At once for the eye; the bay is told once, by whoever works through what is given."""
    front.process(Scanned("op-1"))
    untouched(front, 4)
    assert not front.present().hand.locked
    untouched(front, 5)
    for _ in range(3):
        assert front.present().hand.locked
    assert front._given.qsize() == 1
    front.process(Idle())
    assert happened(told, StationLocked) == 1
    assert front.present().hand.operator is None
    front.process(Idle())
    assert happened(told, StationLocked) == 1


def test_a_station_left_alone_in_plain_lines_is_locked_before_the_next_one_counts(
    front: Front, told: list[News]
) -> None:
    """There no picture is painted that would see it."""
    front.process(Scanned("op-1"))
    untouched(front, 5)
    front.process(Pressed(Key.ROOMS))
    assert front.present().hand.doing == Watching()
    assert front.present().hand.locked
    assert (happened(told, StationLocked), happened(told, SignedIn)) == (1, 1)
    untouched(front, 5)
    front.process(Scanned("op-1"))
    assert front.present().hand.operator == "op-1"


def locked(board: Board, doing: Doing | None = None) -> Present:
    """How a locked station stands."""
    now = present(board, doing, operator=None)
    return replace(now, hand=replace(now.hand, locked=True))


@pytest.mark.parametrize(("width", "height"), [*SIZES, *SMALL_SIZES])
def test_a_locked_board_says_so_and_shows_nobody_and_every_row(width: int, height: int) -> None:
    """Countdowns stay; identifiers and early notes go."""
    bench = busy_bench()
    shown = text(painted(locked(bench.board), width, height))
    assert "LOCKED" in shown
    assert "P-04" not in shown
    if width >= 79:
        assert "opens in" in shown or "1:20" in shown
        assert "Read under a name" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize(
    "doing",
    [
        Proving(operator="op-1", before=Watching()),
        ChoosingPin(operator="op-1", before=Watching()),
        ChoosingPin(operator="op-1", before=Watching(), first="4071"),
    ],
    ids=["signing in", "a new PIN", "once more"],
)
def test_a_pin_is_not_on_the_screen_nor_how_long_it_is(
    width: int, height: int, doing: Doing
) -> None:
    """Neither while it is typed nor afterwards; alerts keep their line."""
    board = busy_bench().board
    pages = {
        text(painted(present(board, doing), width, height, typed=typed))
        for typed in ("4", "40", "4071")
    }
    (page,) = pages
    assert "4071" not in page
    assert "****" in page
    assert "op-1" in page
    assert "CLOSING" in page
    assert "PIN" in text(painted(present(board, doing), width, height))


def test_the_top_line_names_who_is_signed_in_where_people_sign_in() -> None:
    """Else everybody who is registered, as ever."""
    bench = Bench()
    assert signed_on(bench.board) == ("op-1", "op-2")
    bench.board = fold(bench.board, PolicySet(at=NOW, policy=BADGE))
    assert signed_on(bench.board) == ()
    bench.must(SignIn(by="op-2"))
    assert signed_on(bench.board) == ("op-2",)


def test_the_top_line_says_what_page_it_is_and_what_is_held() -> None:
    """In that order, after the lock."""
    bench = Bench()
    now = locked(bench.board)
    assert page_words(bench.board, now.hand, is_board=True) == "LOCKED"
    proving = present(bench.board, Proving(operator="op-1", before=Watching()))
    assert page_words(bench.board, proving.hand, is_board=False) == "signing in"


def test_a_ringing_cartridge_can_be_heard_under_lock() -> None:
    """It comes first on the line of keys."""
    assert locked_keys("C07")[0] == (Key.HEARD, "Heard C07")
    assert locked_keys(None)[0][0] is Key.READ
