"""A bell that cannot ring ends no bay, is told of, and can be tried."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bay.sounding_bay import BrokenError, Play
from readbell.core.board.sound import CallKind, Sound
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from readbell.bay.news import News


async def test_a_bell_that_fails_ends_no_bay_and_is_told() -> None:
    """An alarm that does not ring is worse than none, unless people know."""
    async with Play() as play:
        await play.to_well("C1")
        play.bell.is_broken = True
        await play.until("16:01")
        broken = play.told[-1].sounding
        play.bell.is_broken = False
        await play.until("16:07")
        mended = play.told[-1].sounding
        await play.read()

    assert broken.failed == "BrokenError"
    assert mended == replace(broken, failed=None)


async def test_even_a_listener_that_fails_leaves_the_alarm_ringing() -> None:
    """Whoever shows the bay may be broken in the very moment it is told so."""

    def fail(news: News) -> None:
        if news.sounding.failed is not None and not news.events:
            raise BrokenError

    async with Play() as play:
        play.bay._recorder.subscribe(fail)
        await play.to_well("C1")
        play.bell.is_broken = True
        await play.until("19:01")
        play.bell.is_broken = False
        await play.until("19:11")
        sounds = play.sounds()
        await play.read()

    assert sounds == [("19:05", "closing"), ("19:10", "closing")]


async def test_a_sound_command_that_fails_is_told_once() -> None:
    """And once more when it works again; not with each sound."""
    async with Play() as play:
        before = len(play.told)
        play.bell.fault = "the sound command failed: it ended with status 3"
        await play.until("0:05")
        during = play.told[before:]
        play.bell.fault = None
        await play.until("0:10")

    assert [news.sounding.command_fault for news in during] == [
        "the sound command failed: it ended with status 3"
    ]
    assert all(news.events == () for news in during)
    assert play.told[-1].sounding.command_fault is None


async def test_an_alarm_test_rings_at_once() -> None:
    """Somebody stands there and listens."""
    async with Play() as play:
        answer = await play.bay.ring_test()
        await play.until("0:01")

    assert answer.accepted
    assert play.bell.rung == [("0:00", Sound(kind=CallKind.TEST))]


async def test_where_nothing_can_ring_a_test_is_refused() -> None:
    """A test that cannot be heard must not pass for one that was not listened to."""
    async with Play() as play:
        play.bell.can_sound = False
        answer = await play.bay.ring_test()

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.NOT_ALLOWED
    assert play.bell.rung == []
