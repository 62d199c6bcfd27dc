"""Somebody is erased at one station of a shared bay while another one goes on."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from builders import TODAY, private
from readbell.bay.keeping_desk import KeepingDesk
from readbell.core.board.entry import Do, Entry
from readbell.core.board.stations import WORK_AWAY
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.events import ParticularNoted
from readbell.core.people.particulars import Particular
from readbell.core.private import Private
from readbell.core.refusal import RefusalCode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from bay.two_stations import Seat, Site


async def test_who_is_erased_at_one_station_is_named_at_no_other_one(
    bench: Seat, window: Seat
) -> None:
    """That one had read their words before, and shows them until it forgets them too."""
    place = "beside the tray of P-001"
    label = Entry(do=Do.LABEL, by="op-1", cartridge="C1", person="P-001", lot="L-100", place=place)
    await bench.work.must(label)
    void = Entry(do=Do.VOID, by="op-1", cartridge="C1", reason="she left in tears")
    await bench.work.must(void)
    await window.follow()
    before = window.work.cartridge("C1")
    assert before.labelled.place is not None
    assert before.labelled.place.value == place

    desk = KeepingDesk(private=private)
    answer = await desk.erase_person(bench.bay, "op-1", "P-001", "asked in writing")
    await window.follow()

    assert answer.accepted
    for seat in (bench, window):
        found = seat.work.cartridge("C1")
        assert found.labelled.place is not None
        assert found.voided is not None
        assert found.voided.words is not None
        assert (found.labelled.place.value, found.voided.words.value) == (None, None)
        stored = [each.event for each in await seat.work.stored()]
        assert found.labelled in stored


async def test_what_another_station_notes_right_before_an_erasing_goes_as_well(
    site: Site, bench: Seat, window: Seat
) -> None:
    """The one that erases has not heard of it when it reads the record through."""
    name = Private(key="key-name", salt="salt", value="Ada Ash")
    noting = NoteParticulars(
        by="op-1", person="P-001", particulars=((Particular.NAME, name),), today=TODAY
    )
    assert (await bench.bay.do(noting)).accepted

    desk = KeepingDesk(private=private)
    answer = await desk.erase_person(window.bay, "op-1", "P-001", "asked in writing")
    await bench.follow()

    assert answer.accepted
    for seat in (bench, window):
        noted = [e.event for e in await seat.work.stored() if isinstance(e.event, ParticularNoted)]
        assert [each.value.value for each in noted] == [None]
    with closing(SqliteJournal.open(site.folder / "server.journal", read_only=True)) as far:
        assert verify(far).unexplained == 0


async def test_nobody_is_erased_while_another_station_is_away(
    site: Site, bench: Seat, window: Seat
) -> None:
    """It may have somebody of theirs at work, and goes on saying who they are."""
    await bench.go_alone()
    await bench.work.must(bench.work.label("A-C1"))
    await site.advance("0:10")
    desk = KeepingDesk(private=private)

    answer = await desk.erase_person(window.bay, "op-1", "P-001", "asked in writing")

    assert answer.refusal is not None
    assert (answer.refusal.code, answer.refusal.subject) == (RefusalCode.NOT_ALLOWED, WORK_AWAY)
    assert window.bay.board.persons["P-001"]


async def test_what_a_station_that_is_alone_says_of_who_was_erased_meanwhile_goes_with_them(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Within the few seconds in which the others take it for here: the name would be out of reach."""
    await bench.go_alone()
    name = Private(key="key-name", salt="salt", value="Ada Ash")
    noting = NoteParticulars(
        by="op-1", person="P-001", particulars=((Particular.NAME, name),), today=TODAY
    )
    assert (await bench.bay.do(noting)).accepted
    for label, person, place in (("A-C1", "P-001", "tray 1"), ("A-C2", "P-002", "behind P-001")):
        entry = Entry(
            do=Do.LABEL, by="op-1", cartridge=label, person=person, lot="L-100", place=place
        )
        await bench.work.must(entry)
    desk = KeepingDesk(private=private)
    answer = await desk.erase_person(window.bay, "op-1", "P-001", "asked in writing")
    assert answer.accepted

    await bench.come_back()
    await window.follow()

    for board in (bench.bay.board, window.bay.board, site.whole()):
        assert "key-P-001" not in board.person_files
        places = [board.labelled(label) for label in ("A-C1", "A-C2")]
        assert [each.labelled.place.value for each in places if each and each.labelled.place] == [
            None,
            None,
        ]
    with closing(SqliteJournal.open(site.folder / "server.journal", read_only=True)) as far:
        assert verify(far).unexplained == 0
