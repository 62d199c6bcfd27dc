"""The sound of a bay, on a clock that jumps: in time, by need, and whatever else goes wrong."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from builders import NASAL, START, at, private, span
from readbell.assays.content_hash import content_hash
from readbell.bay.bay import Bay
from readbell.bay.identifiers import DerivedIdentifiers
from readbell.bay.opening import Founding
from readbell.bay.recorder import Recorder
from readbell.bay.sounder import Calling, Heartbeat
from readbell.clock.simulated import SimulatedClock
from readbell.core.assay.events import Basis
from readbell.core.board.acts import (
    AdoptAssay,
    HearAlert,
    MuteSound,
    ReceiveLot,
    RegisterOperator,
    RegisterPerson,
)
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import Ending, Mode, MuteReason
from readbell.core.board.sound import Call, CallKind, LateScreen, Sound, calls_of
from readbell.core.instant import Span, between
from readbell.core.reading.bands import Strength
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_span
from readbell.journal.keeper import Keeper
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    import pytest

    from readbell.bay.news import News
    from readbell.core.board.acts import Act
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

SCRIPT = 0


class BrokenError(Exception):
    """Whatever may go wrong with a bell."""


@dataclass(kw_only=True)
class NotedBell:
    """A bell that notes when it was rung; it can be broken and mended."""

    clock: SimulatedClock
    rung: list[tuple[str, Sound]] = field(default_factory=list)
    can_sound: bool = True
    fault: str | None = None
    is_broken: bool = False

    def ring(self, sound: Sound) -> None:
        """Note the sound, or fail."""
        if self.is_broken:
            raise BrokenError
        self.rung.append((write_span(Span(self.clock.passed)), sound))


class Play:
    """A running bay that sounds, and a player who acts at chosen instants."""

    def __init__(self, naps: tuple[tuple[int, int], ...] = ()) -> None:
        clock = SimulatedClock(START, boot="one", naps=naps)
        identifiers = DerivedIdentifiers(b"play")
        self.journal = SqliteJournal.open(None)
        keeper = Keeper(self.journal, None)
        recorder = Recorder(
            keeper=keeper, clock=clock, identifiers=identifiers, station="left", program="1"
        )
        self.told: list[News] = []
        recorder.subscribe(self.told.append)
        self.bell = NotedBell(clock=clock)
        self.bay = Bay(
            recorder=recorder,
            keeper=keeper,
            clock=clock,
            identifiers=identifiers,
            bell=self.bell,
            rest=span("0:20"),
        )
        self._player = clock.sleeper(SCRIPT)

    async def __aenter__(self) -> Play:
        """Open the bay and let it run."""
        await self.bay.open(Founding(bay="Harrow Quay", timezone="UTC", mode=Mode.LIVE))
        self._running = asyncio.create_task(self.bay.run())
        acts: list[Act] = [
            RegisterOperator(by=None, operator=private("op-1")),
            AdoptAssay(
                by="op-1",
                assay=NASAL,
                content_hash=content_hash(NASAL),
                basis=Basis.CHECKED,
                instructions_version="2026-01",
            ),
            ReceiveLot(
                by="op-1", number="L-100", assay=NASAL.id, expires=date(2026, 12, 31), units=None
            ),
            RegisterPerson(by="op-1", person=private("P-001")),
        ]
        for act in acts:
            await self.do(act)
        return self

    async def __aexit__(self, *_: object) -> None:
        """Close the bay and wait until it has ended."""
        self._player.retire()
        await self.bay.close(Ending.SIGNAL)
        await self._running

    async def until(self, text: str) -> None:
        """Sleep to an instant after the start."""
        while (left := between(self.bay.now(), at(text))) > 0:
            await self._player.sleep(Span(left))

    async def live_until(self, text: str) -> None:
        """Sleep to an instant after the start, with a screen that lives meanwhile."""
        while self.bay.now() < at(text):
            self.bay.beat()
            left = between(self.bay.now(), at(text))
            await self._player.sleep(min(Span(left), span("0:00.500")))

    async def do(self, act: Act) -> None:
        """Do an act and insist that it is taken."""
        assert (await self.bay.do(act)).accepted

    async def enter(self, entry: Entry) -> None:
        """Enter an act and insist that it is taken."""
        answer = await self.bay.enter(entry)
        assert answer.accepted, answer

    async def to_buffer(self, label: str = "C1") -> None:
        """Bring a cartridge to where its swab stands in the buffer."""
        await self.enter(
            Entry(do=Do.LABEL, by="op-1", cartridge=label, person="P-001", lot="L-100")
        )
        for step in ("buffer", "collect", "extract"):
            await self.enter(Entry(do=Do.STEP, by="op-1", cartridge=label, step=step))

    async def to_well(self, *labels: str) -> None:
        """Bring cartridges to the well, at one minute: they open at 16:00 and close at 21:00."""
        for label in labels:
            await self.to_buffer(label)
        await self.until("1:00")
        for label in labels:
            for step in ("withdraw", "apply"):
                await self.enter(Entry(do=Do.STEP, by="op-1", cartridge=label, step=step))

    async def read(self, label: str = "C1") -> None:
        """Read a cartridge as negative."""
        await self.enter(
            Entry(do=Do.READ, by="op-1", cartridge=label, control=True, test=Strength.ABSENT)
        )

    def sounds(self) -> list[tuple[str, str]]:
        """When what sounded since this was last asked."""
        found = [(when, str(sound.kind)) for when, sound in self.bell.rung]
        self.bell.rung.clear()
        return found


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


def test_a_late_screen_is_a_value() -> None:
    """It is handed to other threads."""
    assert LateScreen(back_at=START, span=Span(1)) == LateScreen(back_at=START, span=Span(1))
