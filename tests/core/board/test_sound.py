"""What sounds, and when: nothing urgent is ever silent, and nothing ever sounds without need."""

from __future__ import annotations

from dataclasses import replace
from itertools import cycle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import at, span
from readbell.core.board.events import AlertHeard
from readbell.core.board.sound import (
    ALONE,
    HEARD,
    IN_HAND,
    LAST_OF_WINDOW,
    NOT_SAVED,
    REMIND_EACH,
    SCREEN_LATE,
    URGENT_EACH,
    Call,
    CallKind,
    Quiet,
    Rung,
    Sound,
    sound_at,
)
from readbell.core.cartridge.events import AlertKind
from readbell.core.instant import Instant, Span, later

LOOK = Span(250)


def call(kind: CallKind = CallKind.READ_NOW, begins: str = "0:00", name: str = "C1") -> Call:
    """A call that lasts."""
    urgent = kind in (CallKind.CLOSING, CallKind.OVERDUE)
    return Call(
        kind=kind,
        each=URGENT_EACH if urgent else REMIND_EACH,
        cartridge=name,
        begins=at(begins),
    )


def sounds(
    calls: list[Call], until: str, quiet: Quiet | None = None, begins: str = "0:00"
) -> list[tuple[str, Sound]]:
    """What sounds of `calls` until then, looked at four times a second; seconds after `begins`."""
    found, rung, now = [], Rung(), at(begins)
    while now <= at(until):
        calling = [each for each in calls if each.calls_at(now)]
        sound, rung = sound_at(calling, now, rung, quiet or Quiet())
        if sound is not None:
            found.append((f"{(now - at('0:00')) / 1000:g}", sound))
        now = later(now, LOOK)
    return found


def test_a_reminder_sounds_once_and_then_each_minute() -> None:
    """More often, and it would be muted for good."""
    assert [when for when, _ in sounds([call()], "3:00")] == ["0", "60", "120", "180"]


def test_what_is_urgent_sounds_each_five_seconds() -> None:
    """It may be lost within minutes."""
    found = sounds([call(CallKind.CLOSING)], "0:20")

    assert [when for when, _ in found] == ["0", "5", "10", "15", "20"]
    assert {sound for _, sound in found} == {Sound(kind=CallKind.CLOSING)}


def test_many_at_once_are_one_sound_that_says_the_most_urgent() -> None:
    """Ten cartridges must not ring ten times."""
    flood = [call(name=f"C{number}") for number in range(10)]
    flood += [call(CallKind.CLOSING, name=f"D{number}") for number in range(3)]
    found = sounds(flood, "0:04")

    assert found == [("0", Sound(kind=CallKind.CLOSING, count=3))]


def test_reminders_fall_together_from_then_on() -> None:
    """What opened a second later is reminded of with the rest, not by a sound of its own."""
    found = sounds([call(), call(begins="0:10", name="C2")], "1:20")

    assert [(when, sound.count) for when, sound in found] == [("0", 1), ("10", 2), ("70", 2)]


def test_what_begins_amid_a_flood_waits_for_the_next_sound_and_no_longer() -> None:
    """Two sounds within five seconds are one that nobody understands."""
    found = sounds([call(), call(CallKind.CLOSING, begins="0:01", name="C2")], "0:06")

    assert [(when, sound.kind) for when, sound in found] == [
        ("0", CallKind.READ_NOW),
        ("5", CallKind.CLOSING),
    ]


def test_a_cartridge_in_hand_is_silent_and_sounds_again_if_it_is_left_lying() -> None:
    """Whoever is at it needs no bell; whoever walked away does."""
    quiet = Quiet(hands={"C1": at("0:00")})
    found = sounds([call(CallKind.CLOSING)], "0:12", quiet)

    assert [when for when, _ in found] == ["10"]
    assert at("0:10") == later(at("0:00"), IN_HAND)


def test_a_hand_on_one_cartridge_silences_no_other() -> None:
    """Ten strips lie on the bench, and one is in the hand."""
    quiet = Quiet(hands={"C2": at("0:00")})

    assert sounds([call(CallKind.CLOSING)], "0:01", quiet)


def heard(alert: AlertKind, when: str = "0:00") -> Quiet:
    """What was said to have been heard of C1."""
    event = AlertHeard(at=at(when), by="key-op-1", cartridge="C1", alert=alert)
    return Quiet(heard={"C1": event})


def test_what_was_heard_rests_for_half_a_minute() -> None:
    """Long enough to get there, too short to forget it."""
    found = sounds([call(CallKind.CLOSING)], "0:31", heard(AlertKind.CLOSING))

    assert [when for when, _ in found] == ["30"]
    assert span("0:30") == HEARD


def test_closing_sounds_anew_whatever_was_heard_before() -> None:
    """Whoever heard READ NOW was told of minutes; this is about the last ones."""
    assert sounds([call(CallKind.CLOSING)], "0:01", heard(AlertKind.READ_NOW))


def test_what_begins_after_it_was_heard_is_new() -> None:
    """A second wait of one cartridge is not the first one."""
    late = [call(CallKind.WAIT_OVER, begins="0:10")]

    assert [when for when, _ in sounds(late, "0:20", heard(AlertKind.WAIT_OVER))] == ["10"]


def test_nothing_heard_rests_in_the_last_minute() -> None:
    """The sound comes back with it, though it was heard a second before."""
    closing = replace(call(CallKind.CLOSING), insists_from=at("0:10"))

    assert [when for when, _ in sounds([closing], "0:11", heard(AlertKind.CLOSING))] == ["10"]


def test_muted_is_muted_until_it_times_out() -> None:
    """Somebody answers for it, by name and with a reason, for ten minutes at most."""
    quiet = Quiet(muted_until=at("0:10"))

    assert [when for when, _ in sounds([call(CallKind.CLOSING)], "0:11", quiet)] == ["10"]


@pytest.mark.parametrize("kind", [NOT_SAVED, SCREEN_LATE])
def test_what_takes_the_board_away_cannot_be_muted(kind: Call) -> None:
    """Whoever muted counted on the board: on what it keeps, and on its being there to see."""
    found = sounds([kind], "0:05", Quiet(muted_until=at("1:00")))

    assert [sound.kind for _, sound in found] == [kind.kind] * 2
    assert kind.alert is None


def test_what_no_longer_calls_is_forgotten() -> None:
    """If it comes back it is new, and memory does not grow all day."""
    _, rung = sound_at([NOT_SAVED], at("0:00"), Rung(), Quiet())
    _, rung = sound_at([], at("0:01"), rung, Quiet())

    assert rung == Rung(at=at("0:00"))


def test_a_station_that_is_alone_is_told_below_what_is_lost_in_minutes() -> None:
    """And above what can wait; no mute reaches it."""
    muted = Quiet(muted_until=at("1:00:00"))
    sound, _ = sound_at([ALONE], at("0:00"), Rung(), muted)
    assert sound == Sound(kind=CallKind.ALONE)
    sound, _ = sound_at([ALONE, call(CallKind.CLOSING)], at("0:00"), Rung(), Quiet())
    assert sound == Sound(kind=CallKind.CLOSING)
    sound, _ = sound_at([ALONE, call(CallKind.READ_NOW)], at("0:00"), Rung(), Quiet())
    assert sound == Sound(kind=CallKind.ALONE)


CALLS = st.builds(
    lambda kind, begins, lasts, number: replace(
        call(kind, name=f"C{number}"),
        begins=Instant(at("0:00") + begins),
        ends=None if lasts is None else Instant(at("0:00") + begins + lasts),
    ),
    st.sampled_from([CallKind.CLOSING, CallKind.OVERDUE, CallKind.READ_NOW, CallKind.WAIT_OVER]),
    st.integers(0, 60_000),
    st.none() | st.integers(1, 60_000),
    st.integers(1, 6),
)
QUIETS = st.builds(
    Quiet,
    heard=st.dictionaries(
        st.sampled_from(["C1", "C2"]),
        st.builds(
            AlertHeard,
            at=st.integers(0, 60_000).map(lambda gone: Instant(at("0:00") + gone)),
            by=st.just("key-op-1"),
            cartridge=st.just(""),
            alert=st.sampled_from(AlertKind),
        ),
    ),
    hands=st.dictionaries(
        st.sampled_from(["C1", "C3"]),
        st.integers(0, 60_000).map(lambda gone: Instant(at("0:00") + gone)),
    ),
    muted_until=st.none() | st.integers(0, 60_000).map(lambda gone: Instant(at("0:00") + gone)),
)


@settings(deadline=None, max_examples=60)
@given(
    calls=st.lists(CALLS, max_size=12),
    quiet=QUIETS,
    paces=st.lists(st.integers(40, 250), min_size=1, max_size=8),
)
def test_nothing_urgent_is_silent_for_more_than_five_seconds_and_nothing_rings_faster(
    calls: list[Call], quiet: Quiet, paces: list[int]
) -> None:
    """Both halves of the promise at once, whatever else calls, is heard, in hand or muted."""
    rung, now, pace = Rung(), at("0:00"), cycle(paces)
    urgent_since: Instant | None = None
    last: Instant | None = None
    while now < at("1:15"):
        calling = [each for each in calls if each.calls_at(now)]
        open_ended = [
            each
            for each in calling
            if each.kind is CallKind.CLOSING
            and each.cartridge not in quiet.heard
            and each.cartridge not in quiet.hands
            and not (quiet.muted_until is not None and now < quiet.muted_until)
        ]
        sound, rung = sound_at(calling, now, rung, quiet)
        if sound is not None:
            assert last is None or now - last >= URGENT_EACH
            assert sound.count >= 1
            last = now
        urgent_since = (urgent_since or now) if open_ended else None
        if urgent_since is not None:
            heard_last = urgent_since if last is None else max(urgent_since, last)
            assert now - heard_last < URGENT_EACH
        step = next(pace)
        due = now + step if rung.at is None else rung.at + URGENT_EACH
        # Whoever looks does so each quarter of a second, and when the next may be due.
        now = Instant(min(now + step, due) if due > now else now + step)


def test_the_last_minute_is_a_minute() -> None:
    """The figure that the sentences speak of."""
    assert span("1:00") == LAST_OF_WINDOW
