"""The desk: each kind of line becomes the act it asks for, under ids of the bay's own making."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, at, span
from readbell.assays.content_hash import content_hash
from readbell.assays.library import Library
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.assay.events import AssayAdopted, Basis
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import AlarmTested, MuteReason, SoundMuted, SoundRestored
from readbell.core.cartridge.events import StepDone
from readbell.core.instant import later
from readbell.core.people.events import OperatorRegistered, PartyRegistered, PersonRegistered
from readbell.core.refusal import RefusalCode
from readbell.core.stock.events import LotOpened, LotReceived
from readbell.scenarios.line import (
    AdoptionLine,
    EntryLine,
    HearLine,
    LotLine,
    MuteLine,
    OpenLotLine,
    OperatorLine,
    PartyLine,
    TestAlarmLine,
    UnmuteLine,
)
from readbell.scenarios.patient_lines import PersonLine
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.core.assay.assay import Assay
    from readbell.scenarios.line import SoundLine

NEW_LOT = LotLine(
    do="receive-lot",
    number="L-7",
    assay=NASAL.id,
    expires=date(2027, 1, 31),
    units=25,
    by="op-1",
)


def find(reference: str) -> tuple[Assay, str]:
    """The bundled assay of that name, with its fingerprint."""
    assay = Library().find(reference)
    return assay, content_hash(assay)


@pytest.fixture
def desk() -> Desk:
    """A desk with the bundled assays at hand."""
    return Desk(identifiers=RandomIdentifiers(), find_assay=find)


async def test_an_operator_is_registered_under_a_key_of_chance(place: Place, desk: Desk) -> None:
    """Other events name the key alone, so nobody may guess it from the id."""
    work = await place.take_up()
    answer = await desk.serve(work.bay, OperatorLine(do="register-operator", id="op-9"))

    (event,) = answer.events
    assert isinstance(event, OperatorRegistered)
    assert event.operator.value == "op-9"
    assert "op-9" not in event.operator.key


async def test_a_person_is_registered(work: Work, desk: Desk) -> None:
    """Whoever registered them is on the record."""
    answer = await desk.serve(work.bay, PersonLine(do="register-person", id="P-9", by="op-1"))

    (event,) = answer.events
    assert isinstance(event, PersonRegistered)
    assert (event.person.value, event.by) == ("P-9", "key-op-1")


async def test_a_party_is_registered_with_whoever_is_new(work: Work, desk: Desk) -> None:
    """Who was here before keeps their key; the party's own name can be erased as theirs can."""
    answer = await desk.serve(
        work.bay,
        PartyLine(do="register-party", id="car 12", persons=("P-001", "P-9"), by="op-1"),
    )

    new, party = answer.events
    assert isinstance(new, PersonRegistered)
    assert isinstance(party, PartyRegistered)
    assert party.party.value == "car 12"
    assert "car 12" not in await work.bodies()
    assert party.persons == ("key-P-001", new.person.key)


async def test_a_box_is_opened_on_the_day_of_the_site(work: Work, desk: Desk) -> None:
    """Its last day is held against the calendar at the bench, as for a label."""
    answer = await desk.serve(work.bay, OpenLotLine(do="open-lot", lot="L-100", by="op-1"))

    (event,) = answer.events
    assert isinstance(event, LotOpened)
    assert answer.board.open_lot == "L-100"


async def test_an_assay_is_adopted_as_checked_with_the_version_it_was_checked_against(
    place: Place, desk: Desk
) -> None:
    """Adoption is somebody's word that the file agrees with the leaflet in the box."""
    work = await place.take_up()
    await desk.serve(work.bay, OperatorLine(do="register-operator", id="op-1"))
    answer = await desk.serve(
        work.bay,
        AdoptionLine(do="adopt-assay", assay=NASAL.id, instructions="v3 2026-02", by="op-1"),
    )

    (event,) = answer.events
    assert isinstance(event, AssayAdopted)
    assert (event.assay, event.content_hash) == (NASAL, content_hash(NASAL))
    assert (event.basis, event.instructions_version) == (Basis.CHECKED, "v3 2026-02")


async def test_an_assay_that_is_not_at_hand_is_told_in_one_sentence(work: Work, desk: Desk) -> None:
    """The sentence names those that are."""
    line = AdoptionLine(do="adopt-assay", assay="no-such-assay", instructions="1", by="op-1")

    with pytest.raises(
        WrongFileError, match=f"'no-such-assay' is not known: name one of .*{NASAL.id}"
    ):
        await desk.serve(work.bay, line)


async def test_a_lot_is_received(work: Work, desk: Desk) -> None:
    """What stands on the box is what stands in the record."""
    answer = await desk.serve(work.bay, NEW_LOT)

    (event,) = answer.events
    assert isinstance(event, LotReceived)
    assert (event.number, event.expires, event.units) == ("L-7", date(2027, 1, 31), 25)
    assert event.assay == content_hash(NASAL)


async def test_an_act_on_a_cartridge_is_entered(work: Work, desk: Desk) -> None:
    """A line and a key press end in the same place."""
    await desk.serve(work.bay, EntryLine(entry=work.label(), ago=None))

    assert work.cartridge().label == "C1"


async def test_a_step_done_some_time_ago_counts_from_the_present(work: Work, desk: Desk) -> None:
    """Gloved people forget to press: "two minutes ago" is what they can say."""
    await work.to_extract()
    work.clock.advance("4:00")
    answer = await desk.serve(
        work.bay,
        EntryLine(
            entry=Entry(
                do=Do.STEP,
                by="op-1",
                cartridge="C1",
                step="withdraw",
                give_or_take=span("0:10"),
            ),
            ago=span("2:00"),
        ),
    )

    (event,) = answer.events
    assert isinstance(event, StepDone)
    assert event.done.stated
    assert (event.done.said, event.at) == (at("2:00"), at("4:00"))
    assert (event.done.earliest, event.done.latest) == (at("1:50"), at("2:10"))


async def test_what_the_bay_refuses_the_desk_passes_on(work: Work, desk: Desk) -> None:
    """The desk has no rules of its own."""
    await desk.serve(work.bay, NEW_LOT)
    answer = await desk.serve(work.bay, NEW_LOT)

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.ALREADY_KNOWN


async def test_the_alarm_is_muted_given_back_and_tested(work: Work, desk: Desk) -> None:
    """Each line is the act that a screen's key is, by whoever gave it."""
    lines: list[SoundLine] = [
        MuteLine.model_validate({"do": "mute", "by": "op-1", "reason": "distress", "for": "5:00"}),
        UnmuteLine(do="unmute", by="op-2"),
        TestAlarmLine(do="test-alarm", by="op-1", heard=False),
    ]
    events = [(await desk.serve(work.bay, line)).events for line in lines]

    assert events == [
        (
            SoundMuted(
                at=work.now(),
                by="key-op-1",
                reason=MuteReason.DISTRESS,
                until=later(work.now(), span("5:00")),
            ),
        ),
        (SoundRestored(at=work.now(), by="key-op-2"),),
        (AlarmTested(at=work.now(), by="key-op-1", heard=False),),
    ]


async def test_a_cartridge_is_heard_by_its_label(work: Work, desk: Desk) -> None:
    """The one that calls, and while it calls."""
    await work.to_extract()
    line = HearLine(do="hear-alert", by="op-1", cartridge="C1")
    assert not (await desk.serve(work.bay, line)).accepted
    work.clock.advance("1:00")

    assert (await desk.serve(work.bay, line)).accepted


async def test_a_test_without_an_answer_only_sounds(work: Work, desk: Desk) -> None:
    """This bay has no bell, and says so; nothing of it is recorded."""
    before = len(await work.stored())
    answer = await desk.serve(work.bay, TestAlarmLine(do="test-alarm", by="op-1"))

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.NOT_ALLOWED
    assert len(await work.stored()) == before
