"""A screen that stands still while something is due is rung for."""

from __future__ import annotations

from bay.sounding_bay import Play
from builders import START, at, span
from readbell.bay.sounder import Heartbeat
from readbell.core.board.sound import LateScreen
from readbell.core.instant import Span


async def test_a_screen_that_stands_still_while_something_is_due_is_rung_for() -> None:
    """It shows an old second, and somebody may be looking at it."""
    async with Play() as play:
        await play.to_well("C1")
        await play.live_until("16:10")
        play.sounds()
        await play.until("16:20")
        late = play.sounds()
        await play.live_until("16:30")
        alive = play.sounds()

    assert [kind for _, kind in late] == ["screen-late", "screen-late"]
    assert late[0][0] < "16:12.5"
    assert alive == []
    back = play.told[-1].sounding.late_screen
    assert back is not None
    assert span("0:10") <= back.span <= span("0:10.500")
    assert at("16:20") <= back.back_at <= at("16:20.250")


async def test_a_screen_that_stands_still_is_left_alone_while_nothing_is_due() -> None:
    """Nothing is lost by it, and a bay without a screen has none that could stand still."""
    async with Play() as play:
        await play.to_well("C1")
        await play.live_until("2:00")
        await play.until("15:00")

    assert play.sounds() == []


def test_a_heartbeat_counts_only_what_it_lived_through() -> None:
    """Two seconds are in time, a millisecond more is not; and what never beat is no screen."""
    heart = Heartbeat()

    def after(text: str) -> tuple[Span | None, bool]:
        return heart.look(span(text)), heart.is_late

    assert after("1:00") == (None, False)
    heart.beat()
    assert after("0:05") == (None, False)
    assert after("0:02") == (None, False)
    assert after("0:00.001") == (None, True)
    heart.beat()
    assert after("0:00.001") == (span("0:02.002"), False)


async def test_a_lid_that_was_shut_makes_no_screen_late() -> None:
    """What fell due is rung at once; the screen slept as everybody did."""
    nap = (span("10:00"), span("17:00"))
    async with Play(naps=(nap,)) as play:
        await play.to_well("C1")
        await play.live_until("9:59")
        await play.live_until("17:01")

    assert play.sounds() == [("17:00", "read-now")]
    assert play.told[-1].sounding.late_screen is None


def test_a_late_screen_is_a_value() -> None:
    """It is handed to other threads."""
    assert LateScreen(back_at=START, span=Span(1)) == LateScreen(back_at=START, span=Span(1))
