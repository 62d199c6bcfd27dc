"""Board = fold(journal): each event changes what it speaks of, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, NEGATIVE, Bench, at, private
from readbell.core.board.board import Board
from readbell.core.board.events import (
    ActRefused,
    BayFounded,
    ClockJumped,
    ClockUnsure,
    ComputerSlept,
    Ending,
    Mode,
    ProgramStarted,
    ProgramStopped,
)
from readbell.core.board.fold import fold, replay
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    CartridgeLabelled,
    CartridgeVoided,
    Identified,
    StepDone,
    SubjectKind,
    VoidReason,
)
from readbell.core.cartridge.moment import timed
from readbell.core.errors import BrokenRecordError
from readbell.core.instant import Span
from readbell.core.people.events import PersonRegistered
from readbell.core.private import Private
from readbell.core.refusal import RefusalCode
from readbell.core.stock.events import LotHeld, LotReceived

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOW = at("10:00")
REFUSED = ActRefused(
    at=NOW,
    by="key-op-1",
    act="read",
    code=RefusalCode.WINDOW_CLOSED,
    cartridge="id-C1",
    entered=private("C1"),
    bands=NEGATIVE,
)
PASSING: dict[str, Event] = {
    "program started": ProgramStarted(at=NOW, clean=True, away=Span(0), running=0),
    "clock jumped": ClockJumped(at=NOW, by_span=Span(-5_000), cartridges=("id-C1",)),
    "computer slept": ComputerSlept(at=NOW, span=Span(60_000), cartridges=("id-C1",)),
    "act refused": REFUSED,
}


def busy() -> Bench:
    """A bench with one cartridge developing and one read."""
    bench = Bench()
    bench.to_well("C1")
    bench.to_well("C2", "P-002")
    bench.must(bench.read_act(NEGATIVE, "C2"), "17:30")
    return bench


def label_event(bench: Bench, **changed: str) -> CartridgeLabelled:
    """The event of a further cartridge, or of one that cannot have been started."""
    found = CartridgeLabelled(
        at=NOW,
        by="key-op-1",
        cartridge="id-C9",
        label="C9",
        subject="key-P-001",
        subject_kind=SubjectKind.PATIENT,
        lot="L-100",
        assay=bench.board.lots["L-100"].assay,
        repeat_of=None,
        identified=Identified(),
    )
    return replace(found, **changed)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", PASSING)
def test_what_is_only_told_to_people_changes_nothing(name: str) -> None:
    """A refused act above all: a near miss changed no cartridge, no lot and no person."""
    board = busy().board

    after = fold(board, PASSING[name])
    # How the wall clock was set is kept, for whatever leaves with its times; and what was refused
    # for whoever counts it.
    kept = replace(after, clock_jumps=board.clock_jumps, near_misses=board.near_misses)
    assert kept == board


def test_a_near_miss_is_kept_with_what_it_was_about_and_nobody_in_it() -> None:
    """A lot on which much is refused, and an hour in which it is, are seen by counting them."""
    bench = busy()
    unknown = replace(REFUSED, cartridge=None, by=None)
    for event in (REFUSED, replace(REFUSED, cartridge="id-C2"), unknown):
        bench.board = fold(bench.board, event)

    running, ended, of_nothing = bench.board.near_misses.values()
    assert (running.lot, running.assay) == ("L-100", "respiratory-antigen-nasal")
    assert (ended.lot, ended.operator) == ("L-100", REFUSED.by)
    assert (of_nothing.lot, of_nothing.assay, of_nothing.operator) == (None, None, None)


def test_the_clean_mark_holds_until_anything_follows_it() -> None:
    """Whether the last run ended by itself is told by the last event alone."""
    stopped = fold(busy().board, ProgramStopped(at=NOW, why=Ending.SIGNAL))
    started = fold(stopped, PASSING["program started"])

    assert stopped.stopped_cleanly
    assert not started.stopped_cleanly
    assert replace(stopped, stopped_cleanly=False) == busy().board


def test_a_founding_says_what_the_bay_is() -> None:
    """Name, time zone and mode stand at the head of the record."""
    founded = BayFounded(at=NOW, bay="Quay", timezone="Europe/London", mode=Mode.LIVE)

    assert fold(Board(), founded) == Board(founded=founded)


def test_a_label_enters_the_cartridge_everywhere_it_is_looked_for() -> None:
    """Under its id, its label, its person and its lot, in the order of labelling."""
    bench = busy()
    board = fold(bench.board, label_event(bench))

    assert board.running["id-C9"].ordinal == 3
    assert board.labels["C9"] == "id-C9"
    assert board.history["key-P-001"] == ("id-C1", "id-C9")
    assert board.lots["L-100"].used == 3


def test_a_hold_and_an_end_move_only_what_they_speak_of() -> None:
    """Every other part is the very same mapping, so an event costs little on a long day."""
    bench = busy()
    before = bench.board
    held = fold(before, LotHeld(at=NOW, by="key-op-1", number="L-100"))
    bench.must(bench.void_act("C1"), "10:00")
    after = bench.board

    assert held.lots["L-100"].on_hold
    assert held.running is before.running
    assert (set(after.running), set(after.ended)) == (set(), {"id-C1", "id-C2"})
    assert after.lots is before.lots


def test_an_older_board_never_changes() -> None:
    """Each board that was handed out is still what it was when the day is over."""
    bench = Bench()
    seen = [(bench.board, repr(vars_of(bench.board)))]
    for take in (
        lambda: bench.to_well("C1"),
        lambda: bench.label("C2", "P-002"),
        lambda: bench.must(bench.hold_act()),
        lambda: bench.must(bench.read_act(NEGATIVE, "C1"), "17:30"),
        lambda: bench.must(bench.void_act("C2")),
    ):
        take()
        seen.append((bench.board, repr(vars_of(bench.board))))

    assert [repr(vars_of(board)) for board, _ in seen] == [then for _, then in seen]


def vars_of(board: Board) -> list[object]:
    """Everything that a board holds, to be compared later."""
    return [getattr(board, name) for name in Board.__slots__]


def test_an_unsure_clock_marks_the_cartridges_it_names() -> None:
    """Only those that were developing; the ones read before stand as they are."""
    board = fold(busy().board, ClockUnsure(at=NOW, cartridges=("id-C1",)))

    assert board.running["id-C1"].unsure
    assert not board.ended["id-C2"].unsure


def test_an_erased_person_leaves_the_record_whole() -> None:
    """The key stays for the events that name it; the name is gone."""
    erased = Private(key="key-gone", salt="s", value=None)
    board = fold(busy().board, PersonRegistered(at=NOW, by="key-op-1", person=erased))

    assert board.names["key-gone"] is None
    assert board.persons == busy().board.persons


def broken() -> dict[str, Event]:
    """Events that speak of what the record never introduced."""
    bench = busy()
    return {
        "a hold of a lot": LotHeld(at=NOW, by="key-op-1", number="L-404"),
        "a label of an assay": label_event(bench, assay="unheard-of"),
        "a label from a lot": label_event(bench, lot="L-404"),
        "a lot of an assay": LotReceived(
            at=NOW,
            by="key-op-1",
            number="L-200",
            assay="unheard-of",
            expires=date(2026, 12, 31),
            units=1,
        ),
        "a step of a cartridge": StepDone(
            at=NOW,
            by="key-op-1",
            cartridge="id-C9",
            step="buffer",
            done=timed(NOW),
            deviations=(),
            specimen=None,
            identified=Identified(),
        ),
        "an alert of a cartridge": AlertRaised(
            at=NOW, cartridge="id-C9", alert=AlertKind.READ_NOW, due=NOW, step=""
        ),
        "a clock in doubt": ClockUnsure(at=NOW, cartridges=("id-C9",)),
    }


BROKEN = broken()


@pytest.mark.parametrize("name", BROKEN)
def test_what_the_record_never_introduced_is_a_broken_record(name: str) -> None:
    """A gap in the record is told at once, not papered over with a guess."""
    with pytest.raises(BrokenRecordError, match="never introduced"):
        fold(busy().board, BROKEN[name])


@pytest.mark.parametrize(
    "changed",
    [
        pytest.param({"cartridge": "id-C1", "label": "C9"}, id="one device under two labels"),
        pytest.param({"cartridge": "id-C9", "label": "C1"}, id="one label on two devices"),
        pytest.param({"cartridge": "id-C2", "label": "C9"}, id="a device that was read"),
    ],
)
def test_a_second_start_is_a_broken_record(changed: dict[str, str]) -> None:
    """A cartridge in mid-run would be put back to its label, or no longer be found."""
    bench = busy()

    with pytest.raises(BrokenRecordError):
        fold(bench.board, label_event(bench, **changed))


def test_a_record_is_founded_once() -> None:
    """Whether it is of patients or of practice never changes, so nothing may say it anew."""
    again = BayFounded(at=NOW, bay="Quay", timezone="UTC", mode=Mode.LIVE)

    with pytest.raises(BrokenRecordError):
        fold(Bench(mode=Mode.REHEARSAL).board, again)


def test_a_broken_record_leaves_the_board_as_it_was() -> None:
    """Half of a record is not taken in: whoever asks again sees the last good board."""
    bench = busy()
    before, shown = bench.board, repr(vars_of(bench.board))
    voided = CartridgeVoided(
        at=NOW,
        by="key-op-1",
        cartridge="id-C1",
        reason=VoidReason.DROPPED,
        words=None,
        identified=Identified(),
    )
    with pytest.raises(BrokenRecordError):
        replay((label_event(bench), voided, voided), before)

    assert repr(vars_of(before)) == shown


def test_nothing_folded_is_the_same_board() -> None:
    """A replay of no events adds nothing, on a board or from the start."""
    board = busy().board

    assert replay((), board) == board
    assert replay(()) == Board()


def test_an_assay_frozen_into_the_record_goes_with_its_cartridges() -> None:
    """Later changes of its file touch nothing that runs."""
    assert busy().board.running["id-C1"].assay == NASAL
