"""The sound of a bay: in time, by need, and as long as nobody is at it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bay.sounding_bay import Play
from builders import at, private, span
from readbell.bay.sounder import Calling
from readbell.core.board.acts import HearAlert, MuteSound, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import MuteReason
from readbell.core.board.sound import Call, CallKind, Sound, calls_of
from readbell.core.instant import Span
from readbell.core.reading.bands import Strength
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    import pytest

    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


async def test_a_wait_left_alone_rings_once_and_is_reminded_of_each_minute() -> None:
    """It is announced and rung in the same instant; nobody waits for the next look."""
    async with Play() as play:
        await play.to_buffer()
        await play.until("4:30")
        sounds = play.sounds()

    assert sounds == [
        ("1:00", "wait-over"),
        ("2:00", "wait-over"),
        ("3:00", "overdue"),
        ("4:00", "overdue"),
    ]


async def test_a_window_is_called_for_and_its_end_is_urged() -> None:
    """Each five seconds to the very close, and not once more; the early look is silent."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("23:00")
        sounds = play.sounds()

    assert sounds[:3] == [(f"{minute}:00", "read-now") for minute in (16, 17, 18)]
    closing = [when for when, kind in sounds if kind == "closing"]
    assert closing == [write_span(Span(span("19:00") + 5_000 * each)) for each in range(25)]


async def test_six_at_once_are_one_sound_that_counts_them() -> None:
    """A household opens together."""
    labels = [f"C{number}" for number in range(1, 7)]
    async with Play() as play:
        await play.to_well(*labels)
        play.sounds()
        await play.until("16:30")

    assert play.bell.rung == [("16:00", Sound(kind=CallKind.READ_NOW, count=6))]


async def test_an_act_on_a_cartridge_silences_it_for_a_while() -> None:
    """A look that was refused is an act, too: somebody stands there with it."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("19:02")
        play.sounds()
        refused = Entry(do=Do.LOOK, by="op-1", cartridge="C1", control=True, test=Strength.FAINT)
        assert not (await play.bay.enter(refused)).accepted
        await play.until("19:20")
        sounds = play.sounds()

    assert sounds[0] == ("19:12", "closing")


async def test_an_open_form_silences_its_cartridge_as_long_as_keys_are_pressed() -> None:
    """And a form that was left lying does so for ten seconds."""
    async with Play() as play:
        await play.to_well("C1")
        for second in range(0, 30, 3):
            await play.until(f"19:{second:02d}")
            await play.bay.in_hand("id-not-this")
            await play.bay.in_hand(play.told[-1].board.labels["C1"])
        play.sounds()
        await play.until("19:40")
        left_lying = play.sounds()
        await play.bay.in_hand(play.told[-1].board.labels["C1"])
        await play.until("19:43")
        in_hand = play.sounds()
        await play.bay.in_hand(None)
        await play.until("19:43.250")
        given_back = play.sounds()

    assert left_lying == [("19:37", "closing")]
    assert in_hand == []
    assert given_back == [("19:43", "closing")]


async def test_what_was_heard_rests_as_long_as_the_site_says_and_closing_sounds_anew() -> None:
    """Heard at READ NOW, it is silent even of its reminder, but not of CLOSING."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("16:55")
        await play.do(HearAlert(by="op-1", cartridge="C1"))
        await play.until("17:30")
        reminded = play.sounds()
        await play.until("18:59")
        await play.do(HearAlert(by="op-1", cartridge="C1"))
        await play.until("19:01")
        play.sounds()
        await play.do(HearAlert(by="op-1", cartridge="C1"))
        await play.until("19:25")
        closing = play.sounds()

    assert reminded == [("16:00", "read-now"), ("17:15", "read-now")]
    assert closing == [("19:21", "closing")]


async def test_hearing_a_cartridge_in_its_last_minute_silences_nothing() -> None:
    """The refused key must not count as a hand on it either."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("20:01")
        play.sounds()
        answer = await play.bay.do(HearAlert(by="op-1", cartridge="C1"))
        await play.until("20:06")

    assert answer.refusal is not None
    assert play.sounds() == [("20:05", "closing")]


async def test_a_mute_silences_all_until_it_times_out() -> None:
    """It ends by itself, in the same second."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("15:00")
        await play.do(MuteSound(by="op-1", reason=MuteReason.DISTRESS, span=span("4:02")))
        await play.until("19:05")

    assert play.sounds() == [("19:02", "closing")]


async def test_a_journal_that_is_not_saved_is_heard_through_a_mute() -> None:
    """Whatever is done from now on may be lost."""
    async with Play() as play:
        await play.do(MuteSound(by="op-1", reason=MuteReason.OTHER, span=span("1:00")))
        play.journal._connection.pragma("max_page_count", 1)
        refused = await play.bay.do(RegisterPerson(by="op-1", person=private("P" * 5_000)))
        assert not refused.accepted
        await play.until("0:11")
        failing = play.sounds()
        play.journal._connection.pragma("max_page_count", 1_000_000)

    assert failing == [
        ("0:00.250", "not-saved"),
        ("0:05.250", "not-saved"),
        ("0:10.250", "not-saved"),
    ]


async def test_a_turn_that_takes_long_holds_up_no_sound() -> None:
    """The disk may be slow; the strip does not wait for it."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("19:01")
        play.sounds()
        async with play.bay._turn:
            await play.until("19:11")
            sounds = play.sounds()

    assert sounds == [("19:05", "closing"), ("19:10", "closing")]


async def test_a_closed_bay_is_silent() -> None:
    """Nothing rings into an empty room, and the clock is not kept running."""
    async with Play() as play:
        await play.to_well("C1")
        await play.until("19:01")
    play.sounds()
    play.bay.hand_on(None)

    assert play._running.done()
    assert play.sounds() == []


def test_a_thousand_cartridges_are_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four looks a second must cost nothing while nothing changes."""
    from builders import Bench
    from readbell.bay import sounder

    bench = Bench(units=None)
    bench.to_well("C1")
    one = bench.cartridge("C1")
    running = {
        f"id-{number}": replace(one, labelled=replace(one.labelled, cartridge=f"id-{number}"))
        for number in range(1_000)
    }
    asked: list[Cartridge] = []

    def counted(cartridge: Cartridge) -> tuple[Call, ...]:
        asked.append(cartridge)
        return calls_of(cartridge)

    monkeypatch.setattr(sounder, "calls_of", counted)
    calling = Calling()

    def look(when: Instant) -> int:
        return len(calling.at(running, when))

    assert [look(at("17:29.999")), look(at("17:30")), look(at("23:00"))] == [0, 1_000, 0]
    assert len(asked) == 1_000
    running = running | {"id-0": one}
    assert look(at("18:00")) == 1_000
    assert len(asked) == 1_001
