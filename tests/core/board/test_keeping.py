"""Who may look into the record, archive a part of it, or erase who is in it; and how a board forgets."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NEGATIVE, START, Bench, at, private
from core.board.paper_bench import entered, run
from readbell.core.board.acts import RegisterParty
from readbell.core.board.closed_period import NOTHING_CLOSED as NONE_CLOSED
from readbell.core.board.fold import fold
from readbell.core.board.keeping import (
    AT_ONCE,
    NAMED_IN_REASON,
    NOT_DONE_WITH,
    NOTHING_CLOSED,
    NOTHING_TO_ERASE,
    SOMETHING_RUNS,
    undone_with,
)
from readbell.core.board.mixed_up import PersonMixedUp
from readbell.core.board.patients import NO_SUCH_DAY
from readbell.core.board.review import NO_REASON
from readbell.core.keeping.acts import Erasable, EraseRecords, OpenTrace, Period, WriteArchive
from readbell.core.keeping.events import (
    ArchiveWritten,
    ErasedScope,
    RecordErased,
    TraceOf,
    TraceOpened,
)
from readbell.core.people.acts import NoteParty
from readbell.core.refusal import RefusalCode
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role

PERIOD = Period(events=12, through=at("1:00"))


def with_roles() -> Bench:
    """A bench where op-2 is a tester and op-1 the supervisor."""
    bench = Bench()
    bench.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    return bench


def look(of: TraceOf, about: str, by: str = "op-2", since: str = "0:00") -> OpenTrace:
    """Return a look at a story, on a day that began at `since`."""
    return OpenTrace(by=by, of=of, about=about, since=at(since))


def erase(
    *keys: str,
    patient: str | None = None,
    by: str = "op-1",
    why: str = "asked for it",
    persons: tuple[str, ...] = (),
) -> EraseRecords:
    """Return the act that erases `keys`, of one person or of a period."""
    return EraseRecords(
        by=by,
        scope=ErasedScope.PERIOD if patient is None else ErasedScope.PERSON,
        patient=patient,
        period=PERIOD if patient is None else None,
        found=Erasable(keys=keys, persons=persons),
        words=private(why),
    )


def refusal(bench: Bench, act: OpenTrace | WriteArchive | EraseRecords) -> tuple[str, str]:
    """Say by which code, and about what, an act is refused."""
    refused = bench.refused(act)
    return refused.code, refused.subject


def archive(period: Period = PERIOD, by: str = "op-1", why: str = "the quarter") -> WriteArchive:
    """Return the act that notes an archive."""
    return WriteArchive(
        by=by, period=period, head="ab", digest="cd", file=private("a.journal"), words=private(why)
    )


@pytest.mark.parametrize(
    ("of", "about", "told"),
    [
        (TraceOf.CARTRIDGE, "C1", "id-C1"),
        (TraceOf.CARTRIDGE, "id-C1", "id-C1"),
        (TraceOf.LOT, "L-100", "L-100"),
        (TraceOf.OPERATOR, "op-2", "key-op-2"),
        (TraceOf.DAY, "2026-03-29", "2026-03-29"),
        (TraceOf.FIGURES, "whatever", ""),
    ],
)
def test_a_look_at_a_story_is_an_event(of: TraceOf, about: str, told: str) -> None:
    """Who asks later who looked has an answer, and keys name whom it was about."""
    bench = Bench()
    bench.label()

    (event,) = bench.must(look(of, about), "5:00")

    assert event == TraceOpened(at=at("5:00"), by="key-op-2", of=of, about=told, since=None)


def test_a_run_on_paper_has_a_story_too() -> None:
    """By its opaque id; it is no cartridge of the board."""
    bench = Bench()
    entered(run(), bench)
    (event,) = bench.must(look(TraceOf.CARTRIDGE, "paper-1"), "61:00")
    assert isinstance(event, TraceOpened)
    assert event.about == "paper-1"


@pytest.mark.parametrize(
    ("of", "about", "code", "subject"),
    [
        (TraceOf.CARTRIDGE, "C9", RefusalCode.UNKNOWN_CARTRIDGE, "C9"),
        (TraceOf.LOT, "L-9", RefusalCode.UNKNOWN_LOT, "L-9"),
        (TraceOf.OPERATOR, "op-9", RefusalCode.UNKNOWN_OPERATOR, "op-9"),
        (TraceOf.DAY, "yesterday", RefusalCode.NOT_ALLOWED, NO_SUCH_DAY),
    ],
)
def test_what_is_not_known_has_no_story(
    of: TraceOf, about: str, code: RefusalCode, subject: str
) -> None:
    """A slip of the keys is said, and no empty story passes for one."""
    refused = Bench().refused(look(of, about))
    assert (refused.code, refused.subject) == (code, subject)


def test_a_stranger_looks_at_nothing() -> None:
    """Whoever looks has to be known."""
    act = look(TraceOf.LOT, "L-100", by="op-9")
    assert refusal(Bench(), act) == (RefusalCode.UNKNOWN_OPERATOR, "op-9")


def test_a_tester_sees_the_running_day_and_a_supervisor_all_of_it() -> None:
    """The archive is for those who answer for it."""
    bench = with_roles()
    bench.label()

    (own,) = bench.must(look(TraceOf.LOT, "L-100"), "1:00")
    (all_of_it,) = bench.must(look(TraceOf.LOT, "L-100", by="op-1"), "1:00")

    assert isinstance(own, TraceOpened)
    assert isinstance(all_of_it, TraceOpened)
    assert (own.since, all_of_it.since) == (START, None)
    bench.must(look(TraceOf.CARTRIDGE, "C1"), "1:00")
    older = bench.refused(look(TraceOf.CARTRIDGE, "C1", since="0:01"), "1:00")
    assert (older.code, older.subject) == (RefusalCode.ROLE_MISSING, Role.SUPERVISOR)


def test_what_a_colleague_did_is_for_a_supervisor_to_look_at() -> None:
    """One's own work anybody may."""
    bench = with_roles()
    bench.must(look(TraceOf.OPERATOR, "op-2"))
    bench.must(look(TraceOf.OPERATOR, "op-2", by="op-1"))
    assert bench.refused(look(TraceOf.OPERATOR, "op-1")).code is RefusalCode.ROLE_MISSING


def test_figures_are_for_those_who_answer_for_the_site() -> None:
    """They tell how well each of those who work here does."""
    bench = with_roles()
    bench.must(look(TraceOf.FIGURES, "", by="op-1"))
    assert bench.refused(look(TraceOf.FIGURES, "")).code is RefusalCode.ROLE_MISSING


def test_an_archive_is_noted_with_its_end_and_its_digest() -> None:
    """What is out of reach is at least known."""
    bench = Bench()
    (event,) = bench.must(archive(), "9:00")
    assert isinstance(event, ArchiveWritten)
    assert (event.events, event.through, event.head, event.digest) == (12, at("1:00"), "ab", "cd")
    assert (event.at, event.by) == (at("9:00"), "key-op-1")
    assert (event.file, event.words) == (private("a.journal"), private("the quarter"))
    assert bench.board.archives == (event,)


@pytest.mark.parametrize("act", [archive(by="op-2"), erase("key-P-001", by="op-2")])
def test_only_a_supervisor_archives_or_erases(act: WriteArchive | EraseRecords) -> None:
    """Where there are roles at all."""
    assert with_roles().refused(act).code is RefusalCode.ROLE_MISSING
    Bench().must(act)


@pytest.mark.parametrize("act", [archive(why="  "), erase("key-P-001", why=" ")])
def test_a_reason_is_wanted(act: WriteArchive | EraseRecords) -> None:
    """It cannot be undone, so why it was done stays."""
    assert refusal(Bench(), act) == (RefusalCode.NOT_ALLOWED, NO_REASON)


def test_an_erased_reason_is_none() -> None:
    """Nor is one that was never given."""
    act = archive()
    assert Bench().refused(replace(act, words=replace(act.words, value=None))).subject == NO_REASON


@pytest.mark.parametrize(
    "act", [archive(NONE_CLOSED), replace(erase("key-P-001"), period=NONE_CLOSED)]
)
def test_nothing_that_is_not_closed_is_archived_or_erased(act: WriteArchive | EraseRecords) -> None:
    """A half day proves nothing."""
    assert refusal(Bench(), act) == (RefusalCode.NOT_ALLOWED, NOTHING_CLOSED)


def test_a_period_has_to_be_named_where_no_person_is() -> None:
    """Nothing is erased by leaving something out."""
    act = replace(erase("key-P-001"), period=None)
    assert Bench().refused(act).subject == NOTHING_CLOSED


def test_an_erasing_names_all_that_it_erases_in_events_of_bounded_size() -> None:
    """Each says how many persons are among its keys; the reason stands once."""
    keys = ("key-P-001", *(f"key-{n}" for n in range(AT_ONCE)), "key-P-002")
    act = erase(*keys, persons=("key-P-001", "key-P-002"))
    act = replace(act, found=replace(act.found, kept=3))

    first, second = Bench().must(act, "9:00")

    assert isinstance(first, RecordErased)
    assert isinstance(second, RecordErased)
    assert first.keys + second.keys == keys
    assert len(first.keys) == AT_ONCE
    assert (first.people, second.people) == (1, 1)
    assert (first.words, second.words) == (act.words, None)
    assert (first.kept, second.kept) == (3, 0)
    assert first.through == second.through == PERIOD.through
    assert {(each.at, each.by) for each in (first, second)} == {(at("9:00"), "key-op-1")}


def test_nothing_is_erased_while_something_runs() -> None:
    """A name that goes while its strip is read would be asked for in vain."""
    bench = Bench()
    bench.label()
    found = refusal(bench, erase("key-P-002", patient="P-002"))
    assert found == (RefusalCode.NOT_ALLOWED, SOMETHING_RUNS)


def test_nobody_is_erased_with_whom_something_is_still_to_be_done() -> None:
    """A party waits; a positive waits to be told; nobody could finish either."""
    bench = Bench()
    bench.must(RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),)))
    assert undone_with(bench.board) == {"key-P-001"}
    waits = bench.refused(erase("key-P-001", patient="P-001"))
    bench.must(erase("key-P-002", patient="P-002"))
    bench.board = replace(bench.board, waiting={}, to_tell_first={"id-C1": "key-P-001"})
    untold = bench.refused(erase("key-P-001", patient="P-001"))
    assert {waits.code, untold.code} == {RefusalCode.NOT_ALLOWED}
    assert waits.subject == untold.subject == NOT_DONE_WITH


def test_a_stranger_has_nothing_to_be_erased_and_nobody_is_erased_twice() -> None:
    """It is said, not passed over."""
    bench = Bench()
    assert bench.refused(erase("k", patient="P-9")).code is RefusalCode.UNKNOWN_PERSON
    assert bench.refused(replace(erase("k", patient="P-9"), patient=None)).code is (
        RefusalCode.UNKNOWN_PERSON
    )
    assert refusal(bench, erase()) == (RefusalCode.NOT_ALLOWED, NOTHING_TO_ERASE)


def test_a_reason_that_names_them_would_keep_them() -> None:
    """It stays on record, and so it may not say whom."""
    act = replace(erase("key-P-001", patient="P-001"), words_name_them=True)
    assert refusal(Bench(), act) == (RefusalCode.NOT_ALLOWED, NAMED_IN_REASON)


def test_a_board_forgets_whom_an_erasing_names() -> None:
    """Whoever looks on from another screen had taken the name in before."""
    bench = Bench()
    car = RegisterParty(by="op-1", party=private("Car"), persons=(private("P-001"),))
    bench.must(car)
    bench.must(NoteParty(by="op-1", party="Car", lane=private("lane 3"), note=None))
    bench.board = replace(
        bench.board,
        waiting={},
        to_tell={"id-C1": "key-P-001", "id-C2": "key-P-002"},
        unsent={"id-C1": "key-P-001"},
        new_specimen={
            each: PersonMixedUp(at=START, cartridges=("id-C1", "id-C2"))
            for each in ("key-P-001", "key-P-002")
        },
    )

    bench.must(erase("key-P-001", "key-Car", "key-lane 3", patient="P-001"))

    board = bench.board
    assert (board.name("key-P-001"), board.name("key-Car")) == (None, None)
    assert board.parties["key-Car"].lane is None
    assert "P-001" not in board.persons
    assert "P-002" in board.persons
    assert (dict(board.to_tell), dict(board.unsent)) == ({"id-C2": "key-P-002"}, {})
    assert list(board.new_specimen) == ["key-P-002"]


def test_forgetting_twice_changes_nothing() -> None:
    """A record that is read back has nothing left to forget."""
    bench = Bench()
    (event,) = bench.must(erase("key-P-001", patient="P-001"))
    assert fold(bench.board, event) == bench.board


def test_since_when_people_are_known_moves_with_each_closed_period_erased() -> None:
    """One person's request says nothing about the others."""
    bench = Bench()
    assert bench.board.names_since == START
    bench.must(erase("key-P-001", patient="P-001"))
    assert bench.board.names_since == START
    bench.must(erase("key-P-002"))
    assert bench.board.names_since == PERIOD.through


def test_a_result_that_was_read_stays_when_its_person_is_forgotten() -> None:
    """What was found is no name."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(erase("key-P-001", patient="P-001"), "19:00")
    assert bench.cartridge().reading is not None
    assert bench.board.name(bench.cartridge().labelled.subject) is None
