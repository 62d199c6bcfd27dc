"""Two kits side by side: each pouch is from the box that was said, and that is said before it is opened."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest_asyncio

from builders import LAST_DAY, NASAL, THREE_LINES, private
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, HoldLot, OpenLot, ReceiveLot, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.people.acts import NoteConsent
from readbell.core.people.particulars import ConsentBy, ConsentHow, ToldTo
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.staffing import OutsideCompetence
from readbell.core.policy.stocking import Strictness
from readbell.core.reading.bands import Strength
from readbell.hand.aloud import said_aloud, understood
from readbell.hand.doing import Filling, Watching
from readbell.hand.given import Key
from readbell.hand.idle_keys import idle_keys

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Hands
    from readbell.core.board.acts import Act

OTHER_KIT = THREE_LINES.title
TODAY = date(2026, 3, 29)


async def does(hands: Hands, *acts: Act) -> None:
    """Have somebody else do something at this bay."""
    for act in acts:
        answer = await hands.work.bay.do(act)
        assert answer.accepted, answer


@pytest_asyncio.fixture
async def kits(hands: Hands) -> Hands:
    """Hands at a bay with a box of each of two kits open, that of the first in front."""
    await does(
        hands,
        AdoptAssay(
            by="op-1",
            assay=THREE_LINES,
            content_hash=content_hash(THREE_LINES),
            basis=Basis.CHECKED,
            instructions_version="1",
        ),
        ReceiveLot(by="op-1", number="L-300", assay=THREE_LINES.id, expires=LAST_DAY, units=20),
        RegisterPerson(by="op-1", person=private("P-003")),
        OpenLot(by="op-1", lot="L-300", today=TODAY),
        OpenLot(by="op-1", lot="L-100", today=TODAY),
    )
    return hands


async def material(hands: Hands, *, expires: date = LAST_DAY) -> None:
    """Have a control material of the second kit."""
    act = ReceiveMaterial(
        by="op-1",
        number="PC-3",
        kind=SampleKind.POSITIVE,
        assay=THREE_LINES.id,
        expires=expires,
    )
    await does(hands, act)


async def comes_to_nothing(hands: Hands, label: str = "C01", person: str = "P-001") -> None:
    """Have the test of a person read invalid."""
    await hands.to_window(label, person)
    read = Entry(do=Do.READ, by="op-1", cartridge=label, control=False, test=Strength.ABSENT)
    await hands.work.must(read)


async def test_the_box_of_another_kit_is_opened_beside_the_first(kits: Hands) -> None:
    """And what stands open beside it is said with each pouch."""
    await kits.scan("P-001")

    assert f"Open one pouch of lot L-100, {NASAL.title}." in kits.words
    assert kits.words.endswith(f"Also open: lot L-300, {OTHER_KIT}.")


async def test_one_key_takes_the_pouch_from_the_other_box_for_this_turn_alone(kits: Hands) -> None:
    """No box has to be found and scanned; the one in front stays in front."""
    await kits.scan("P-001")
    await kits.press(Key.LOOK)
    assert f"Open one pouch of lot L-300, {OTHER_KIT}." in kits.words
    assert f"Also open: lot L-100, {NASAL.title}." in kits.words
    await kits.scan("C01", "P-002", "C02")

    assert kits.cartridge("C01").labelled.lot == "L-300"
    assert kits.cartridge("C02").labelled.lot == "L-100"


async def test_the_key_goes_round_all_open_boxes(kits: Hands) -> None:
    """Struck once too often it leads back."""
    await kits.scan("P-001")
    await kits.press(Key.LOOK, Key.LOOK)

    assert "Open one pouch of lot L-100" in kits.words
    await kits.press(Key.LOOK, Key.START)
    assert kits.cartridge("C01").labelled.assay == content_hash(THREE_LINES)


async def test_where_one_box_stands_open_the_key_is_not_offered_and_says_why(hands: Hands) -> None:
    """A bay with one kit looks as it did."""
    await hands.scan("P-001")
    doing = hands.in_hand()
    assert Key.LOOK in idle_keys(doing, hands.scene)
    assert "Also open" not in hands.words
    await hands.press(Key.LOOK)

    assert hands.words.startswith("No other box stands open.")
    assert hands.in_hand() == doing


async def test_a_repeat_is_from_the_box_of_its_own_kit(kits: Hands) -> None:
    """Before, the other test was begun, and the repeat that was due stayed due."""
    await kits.scan("L-100")
    await comes_to_nothing(kits)
    await kits.scan("L-300", "P-001")
    await kits.press(Key.START)
    assert kits.words.startswith("C01 is to be repeated. Open one pouch of lot L-100")
    await kits.scan("C02", "P-002", "C03")

    assert kits.cartridge("C02").labelled.repeat_of == kits.cartridge("C01").id
    assert kits.cartridge("C03").labelled.lot == "L-300"


async def test_a_repeat_of_whose_kit_no_box_is_open_is_said_before_the_pouch(kits: Hands) -> None:
    """They may be there for the other test; nobody is to take it for the repeat."""
    await comes_to_nothing(kits)
    await does(kits, HoldLot(by="op-2", lot="L-100"))
    await kits.scan("L-300", "P-001")
    await kits.press(Key.START)

    first = "C01 is to be repeated, and this box is for another test. Open one pouch of lot L-300"
    assert kits.words.startswith(first)


async def test_consent_for_one_test_asks_for_its_kit(kits: Hands) -> None:
    """The other pouch would be opened for nothing."""
    consent = NoteConsent(
        by="op-1",
        person="P-001",
        giver=ConsentBy.SELF,
        how=ConsentHow.SPOKEN,
        assays=(THREE_LINES.id,),
        told_to=ToldTo.PERSON,
        words=None,
        today=TODAY,
    )
    await does(kits, consent)
    await kits.scan("P-001")

    assert kits.words.startswith("Consent was given for this test alone. Open one pouch of lot L-3")


async def test_a_control_material_is_run_from_a_box_of_its_own_kit(kits: Hands) -> None:
    """Before, a pouch of the other kit was opened, and the label refused."""
    await material(kits)
    await kits.scan("PC-3")
    assert f"Open one pouch of lot L-300, {OTHER_KIT}." in kits.words
    assert Key.LOOK in idle_keys(kits.in_hand(), kits.scene), "no other box would do"
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-300"


async def test_without_a_box_of_its_kit_no_pouch_is_opened_for_a_control_material(
    kits: Hands,
) -> None:
    """Whichever stands open; the scan of a box that will do goes on with it."""
    await material(kits)
    await does(kits, HoldLot(by="op-2", lot="L-300"))
    await kits.scan("PC-3", "C01")
    assert kits.words == f"No box is open of {OTHER_KIT}. Scan the lot of the box first."
    assert len(kits.work.bay.board.running) == 0
    await kits.scan("L-100")

    assert kits.words.startswith("Open no pouch. Two assays are named for it")
    assert kits.in_hand() == Watching()


async def test_a_control_material_past_its_day_is_named_before_a_pouch_is_opened(
    kits: Hands,
) -> None:
    """Before, the label was refused, with the pouch open."""
    await material(kits, expires=date(2026, 3, 28))
    await kits.scan("PC-3")

    assert kits.words.startswith("Open no pouch. Control material PC-3 (2026-03-28) is past")
    assert kits.in_hand() == Watching()


async def test_a_box_scanned_in_a_turn_decides_and_says_what_comes_next(kits: Hands) -> None:
    """The pouch in the hand is from that one; it is in front from now on."""
    await kits.scan("P-001", "L-300")
    opened = "Lot L-300 stands open at the bench. Open one pouch of lot L-300"
    assert kits.words.startswith(opened)
    await kits.scan("C01", "P-002", "C02")

    assert kits.cartridge("C01").labelled.lot == kits.cartridge("C02").labelled.lot == "L-300"


async def test_a_box_scanned_in_the_turn_of_a_repeat_decides_as_well(kits: Hands) -> None:
    """Whoever scans it means it."""
    await comes_to_nothing(kits)
    await kits.scan("P-001")
    await kits.press(Key.START)
    await kits.scan("L-300", "C02")

    assert kits.cartridge("C02").labelled.lot == "L-300"


async def test_a_box_that_is_refused_in_a_turn_changes_nothing(kits: Hands) -> None:
    """It was put on hold, and the scan of it says so."""
    await does(kits, HoldLot(by="op-2", lot="L-300"))
    await kits.scan("P-001")
    before = kits.in_hand()
    await kits.scan("L-300")

    assert "on hold" in kits.words
    assert kits.in_hand() == before


async def test_what_stands_against_a_box_that_is_scanned_in_a_turn_is_said_at_once(
    kits: Hands, place: Place
) -> None:
    """Before, it was said at the label alone, with the pouch open."""
    await proves_first_lot(kits, place)
    await kits.scan("P-001", "L-300")

    assert kits.words.startswith("Open no pouch. Control samples are overdue on lot L-300")
    assert kits.in_hand() == Watching()


async def test_the_key_does_not_take_a_box_that_would_be_refused(kits: Hands, place: Place) -> None:
    """The turn goes on with the one in hand."""
    await proves_first_lot(kits, place)
    await kits.scan("P-001")
    before = kits.in_hand()
    await kits.press(Key.LOOK)

    assert kits.words.startswith("Lot L-300 is not taken. Open no pouch. Control samples are over")
    assert kits.in_hand() == before


async def proves_first_lot(hands: Hands, place: Place) -> None:
    """Control samples are wanted of each lot, and have passed on L-100 alone."""
    from readbell.core.controls.room import LotRecord, Proof

    await decided(hands, place, controls_new_lot=True, controls_overdue=Strictness.REFUSE)
    bay = hands.work.bay
    proof = Proof(at=bay.now(), by=bay.board.operators["op-1"])
    samples = replace(bay.board.samples, lots={"L-100": LotRecord(positive=proof, negative=proof)})
    bay._recorder.board = replace(bay.board, samples=samples)


async def decided(hands: Hands, place: Place, **decisions: object) -> None:
    """The site decides otherwise; the bay is taken up anew, its boxes as they stood."""
    await hands.work.die()
    policy = SitePolicy(**decisions)  # type: ignore[arg-type]
    hands.work = await place.take_up(hands.work.clock, policy=policy)


async def test_boxes_stand_open_still_after_a_restart(kits: Hands, place: Place) -> None:
    """And in the order in which they were opened."""
    before = kits.work.bay.board
    await decided(kits, place)
    found = kits.work.bay.board

    assert [*found.open_boxes.items()] == [*before.open_boxes.items()]
    assert found.open_lot == "L-100"


async def test_a_supervisor_is_asked_for_by_the_kit_that_is_taken(
    kits: Hands, place: Place
) -> None:
    """Whoever is cleared for neither needs one for both; the pouch stays shut until they are there."""
    await decided(kits, place, outside_competence=OutsideCompetence.SUPERVISED)
    await kits.scan("P-001")
    assert "Open no pouch." in kits.words
    await kits.press(Key.LOOK)
    await kits.scan("op-2")
    assert kits.words.startswith("op-2 stands by. Now one pouch of lot L-300")
    await kits.press(Key.LOOK)
    assert "Open one pouch of lot L-100" in kits.words, "they stand by still"
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-100"


async def test_a_box_scanned_at_another_station_does_not_change_the_pouch_in_hand(
    kits: Hands,
) -> None:
    """Before, the label named whatever lot was scanned last, wherever that was."""
    await kits.scan("P-001")
    await does(kits, OpenLot(by="op-2", lot="L-300", today=TODAY))
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-100"


async def test_a_box_that_is_put_on_hold_in_a_turn_leaves_no_other_in_its_place(
    kits: Hands,
) -> None:
    """The pouch may be open, and is of none of the other boxes."""
    await kits.scan("P-001")
    await does(kits, HoldLot(by="op-2", lot="L-100"))
    await kits.scan("C01")
    gone = "The box of lot L-100 stands open no more. Scan the lot of the box first."
    assert kits.words == gone
    await kits.press(Key.LOOK)
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-300"


async def test_once_the_box_in_front_has_ended_nothing_is_offered_until_it_is_said(
    kits: Hands,
) -> None:
    """The next pouch is from the next box of that kit as likely as from the other one."""
    await does(kits, HoldLot(by="op-2", lot="L-100"))
    await kits.scan("P-001", "C01")
    first = "No box is in front. Scan the lot of the box first."
    assert kits.words == f"{first} Also open: lot L-300, {OTHER_KIT}."
    assert len(kits.work.bay.board.running) == 0
    await kits.press(Key.LOOK)
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-300"


async def test_nobody_who_acts_opens_no_box_in_a_turn(kits: Hands) -> None:
    """Each act bears a name."""
    await kits.scan("P-001")
    kits.hand = replace(kits.hand, operator=None)
    await kits.scan("L-300")

    assert "Nobody is signed on" in kits.words
    assert kits.work.bay.board.open_lot == "L-100"


async def test_a_form_that_breaks_into_a_turn_leads_back_to_its_box(kits: Hands) -> None:
    """Somebody said that they have gone; they are there after all, and the pouch is the same."""
    await kits.press(Key.START)
    await kits.scan("P-101", "P-102")
    await kits.press(Key.START)
    await kits.scan("P-101")
    await kits.press(Key.LOOK, Key.VOID)
    assert isinstance(kits.in_hand(), Filling)
    await kits.press(Key.BACK)
    await kits.scan("C01")

    assert kits.cartridge("C01").labelled.lot == "L-300"


async def test_plain_lines_say_how_to_take_the_other_box(kits: Hands) -> None:
    """Whoever cannot see the keys hears the word; where there is none to take it is not said."""
    await kits.scan("P-001")
    asks = "Is the pouch of another open box? Say .box, or scan that box."
    assert asks in [*said_aloud(kits.hand, kits.scene)]
    await kits.give(understood(".box", kits.hand, kits.scene))
    assert "Open one pouch of lot L-300" in kits.words

    await does(kits, HoldLot(by="op-2", lot="L-100"))
    assert asks not in [*said_aloud(kits.hand, kits.scene)]
