"""What the board keeps of what the stations of a shared bay record."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NEGATIVE, START, Bench, at
from core.board.stations_bench import BENCH, WINDOW, SharedBay
from readbell.core.board.fold import fold
from readbell.core.board.own import concerns, taken_in
from readbell.core.board.stations import NOTHING_APART
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Span
from readbell.core.staff.events import Proof, SignedIn, StationLocked
from readbell.core.stations.acts import SettleApart
from readbell.core.stations.apart import ApartReason, Settling
from readbell.core.stations.events import (
    ActKeptApart,
    ApartSettled,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationLeft,
)

if TYPE_CHECKING:
    from readbell.core.board.event import Event


@pytest.mark.parametrize(
    "event",
    [
        StationLeft(at=START, station="nobody"),
        CartridgeHeld(at=START, cartridge="id-C1", station="nobody"),
        CartridgeHeld(at=START, cartridge="id-C9", station=WINDOW),
        StationGivenUp(at=START, by="key-op-1", station=WINDOW, heir="nobody"),
        StationGivenUp(at=START, by="key-op-1", station="nobody", heir=WINDOW),
    ],
)
def test_the_record_speaks_of_no_station_or_cartridge_that_it_never_introduced(
    bay: SharedBay, event: Event
) -> None:
    """It would be a record that somebody meddled with."""
    with pytest.raises(BrokenRecordError):
        fold(bay.board, event)


def test_what_has_ended_is_held_by_nobody_even_if_it_is_said_later(bay: SharedBay) -> None:
    """The holding was on its way as the strip was read elsewhere."""
    bay.must(bay.read_act(NEGATIVE, "C1"), "18:00")
    bay.put(CartridgeHeld(at=at("18:01"), cartridge="id-C1", station=BENCH))

    assert "id-C1" not in bay.board.holders


def kept(*, asks: bool) -> ActKeptApart:
    """Something that was done alone."""
    return ActKeptApart(
        at=at("3:00"),
        station=WINDOW,
        done=at("2:40"),
        by="key-op-1",
        kind="cartridge-read",
        version=1,
        reason=ApartReason.READ_THERE,
        cartridge="id-C1",
        label="C1",
        person="key-P-001",
        body="{}",
        entered=None,
        asks=asks,
    )


def test_what_is_kept_apart_is_numbered_in_the_order_of_the_record(bay: SharedBay) -> None:
    """A number that is settled is never given again; what asks nobody has one, too."""
    bay.put(kept(asks=True), kept(asks=False), kept(asks=True))
    assert [*bay.board.apart] == ["0", "2"]

    (settled,) = bay.must(SettleApart(by="op-2", number=2, how=Settling.ENTERED_ANEW), "4:00")
    bay.put(kept(asks=True))

    assert settled == ApartSettled(
        at=at("4:00"), by="key-op-2", number=2, how=Settling.ENTERED_ANEW
    )
    assert [*bay.board.apart] == ["0", "3"]
    assert bay.refused(SettleApart(by="op-2", number=2, how=Settling.LEFT)).subject == NOTHING_APART


def test_how_long_a_station_was_alone_at_most_is_kept(bay: SharedBay) -> None:
    """Whoever walks back from the newest has to go so much further back."""
    for since, now in (("2:00", "9:00"), ("10:00", "12:00")):
        bay.put(JoinedUp(at=at(now), station=WINDOW, since=at(since), joined=1, same=0, apart=0))

    assert bay.board.longest_alone == at("9:00") - at("2:00")
    assert bay.board.out_of_order == Span(7 * 60_000 + 60_000)
    assert Bench().board.out_of_order == 0


def test_a_station_takes_in_its_own_sign_ins_and_nobody_elses() -> None:
    """Who is signed in at the window does not act at the bench."""
    for event in (
        SignedIn(at=START, operator="key-op-1", proof=Proof.BADGE),
        StationLocked(at=START),
    ):
        assert concerns(event, own=True)
        assert not concerns(event, own=False)
    assert concerns(StationLeft(at=START, station=BENCH), own=False)


def test_a_right_pin_elsewhere_ends_the_count_of_wrong_ones_here() -> None:
    """Wrong ones are counted at all stations together; or slips of months would lock somebody out."""
    signed_in = SignedIn(at=START, operator="key-op-1", proof=Proof.PIN)
    found = taken_in(signed_in, own=False)
    bay = SharedBay()
    standing = replace(bay.board.roster.standing("key-op-1"), wrong_pins=3, last_wrong=START)
    bay.board = replace(bay.board, roster=bay.board.roster.having(standing))
    assert found is not None

    bay.put(found)

    assert bay.board.roster.standing("key-op-1").wrong_pins == 0
    assert not bay.board.roster.signed_in
    assert taken_in(signed_in, own=True) == signed_in
    assert taken_in(StationLocked(at=START), own=False) is None
    assert taken_in(StationLeft(at=START, station=BENCH), own=False) is not None
