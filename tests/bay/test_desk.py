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
from readbell.core.cartridge.events import StepDone
from readbell.core.people.events import OperatorRegistered, PersonRegistered
from readbell.core.refusal import RefusalCode
from readbell.core.stock.events import LotReceived
from readbell.scenarios.line import (
    AdoptionLine,
    EntryLine,
    LotLine,
    OperatorLine,
    PersonLine,
)
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.core.assay.assay import Assay

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
        WrongFileError, match=f"'no-such-assay' is not known: name one of {NASAL.id}"
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
