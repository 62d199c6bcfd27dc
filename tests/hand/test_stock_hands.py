"""Boxes, lots and control samples by scans and keys: one scan fills, nothing is lost or merged."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bay.conftest import place  # noqa: F401  # a fixture, used by its name
from builders import NASAL
from hand.conftest import visit
from readbell.core.cartridge.events import How, SubjectKind
from readbell.core.controls.material import SampleKind
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.shifts import Shifts
from readbell.core.policy.stocking import Strictness
from readbell.core.stock.events import LossReason, LotReleased, Storage, UnitsLost
from readbell.core.stock.lot import WhyHeld
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Filling, Judging, Labelling, Paper, Room, Visiting, Watching
from readbell.hand.given import Key, Scanned
from readbell.scenarios.stock_lines import ReceiveBoxLine

if TYPE_CHECKING:
    from bay.conftest import Place
    from hand.conftest import Hands


GTIN = "38425876095074"
GS = "\x1d"
CODE = f"01{GTIN}1727123110L-777"


async def deed(hands: Hands, what: str) -> None:
    """Begin the form of what was done with the bench's lot."""
    await visit(hands, Room.LOTS)
    await hands.press(Key.SECOND)
    await hands.choose("deed", what)
    await hands.press(Key.RIGHT)


async def enter_material(hands: Hands, number: str = "PC-1", kind: str = "positive") -> None:
    """Enter a control material by its form."""
    await visit(hands, Room.SAMPLES)
    await hands.press(Key.START)
    await hands.scan(number)
    await hands.choose("kind", kind)
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    await hands.press(Key.RIGHT, Key.RIGHT)
    await hands.type("2099-12-31")
    await hands.press(Key.START)
    assert number in hands.work.bay.board.samples.materials, hands.words


async def test_units_are_written_off_in_the_form(hands: Hands) -> None:
    """How many and why, by coded reason."""
    await deed(hands, "lose-units")
    await hands.type("2")
    await hands.choose("loss", "damaged")
    await hands.press(Key.START)

    lost = [each for each in await hands.stored() if isinstance(each, UnitsLost)]
    assert [(each.units, each.reason) for each in lost] == [(2, LossReason.DAMAGED)], hands.words
    assert hands.in_hand() == Visiting(room=Room.LOTS)


async def test_a_count_takes_none_for_an_answer(hands: Hands) -> None:
    """An empty box is a count; letters are not."""
    await deed(hands, "count-units")
    await hands.type("many")
    assert "is no number of units" in hands.words
    await hands.type("0")
    await hands.press(Key.START)

    assert hands.work.bay.board.lots["L-100"].left == 0, hands.words


async def test_another_delivery_must_have_the_same_last_day(hands: Hands) -> None:
    """It is read off the new box once more."""
    expires = hands.work.bay.board.lots["L-100"].expires
    await deed(hands, "receive-box")
    await hands.type("2031-01-31")
    assert "a lot has one last day" in hands.words
    await hands.type(expires.isoformat(), "10")
    await hands.press(Key.START)

    assert len(hands.work.bay.board.lots["L-100"].deliveries) == 2, hands.words


async def test_a_recall_and_a_release_want_the_box_itself(hands: Hands) -> None:
    """Its scan or its number once more, and why."""
    await deed(hands, "recall-lot")
    await hands.scan("L-200")
    assert "is not L-100" in hands.words
    await hands.scan("L-100")
    await hands.type("notice 7")
    await hands.press(Key.START)
    assert hands.work.bay.board.lots["L-100"].held_for is WhyHeld.RECALLED, hands.words
    await deed(hands, "release-lot")
    await hands.scan("L-100")
    await hands.choose("release", "recall-withdrawn")
    await hands.press(Key.RIGHT)
    await hands.type("notice 8")
    await hands.press(Key.START)

    assert not hands.work.bay.board.lots["L-100"].on_hold, hands.words
    assert any(isinstance(each, LotReleased) for each in await hands.stored())


async def test_a_fresh_box_of_a_lot_is_opened_in_the_form(hands: Hands) -> None:
    """From that day its days after opening count."""
    await deed(hands, "begin-box")
    await hands.press(Key.START)

    assert hands.work.bay.board.lots["L-100"].opened_on is not None, hands.words


async def test_what_can_be_done_depends_on_the_lot(hands: Hands) -> None:
    """Only a cold lot is taken out, only a held one released."""
    line = ReceiveBoxLine(
        do="receive-box",
        by="op-1",
        number="L-100",
        expires=hands.work.bay.board.lots["L-100"].expires,
        units=0,
        storage=Storage.COLD,
    )
    await hands.desk.serve(hands.work.bay, line)
    await deed(hands, "release-lot")
    doing = hands.in_hand()
    assert isinstance(doing, Filling)
    assert "deed" not in dict(doing.answers)
    await hands.choose("deed", "take-out")
    await hands.press(Key.START)
    assert hands.work.bay.board.lots["L-100"].taken_out is not None, hands.words
    await deed(hands, "put-back")
    await hands.press(Key.START)
    assert hands.work.bay.board.lots["L-100"].taken_out is None, hands.words


async def test_a_control_sample_is_run_with_the_scans_of_a_patient(hands: Hands) -> None:
    """Material, label, steps, strip, material read back: no key more, no scan more."""
    await enter_material(hands)
    hands.hand = hands.hand.now_doing(Watching())
    hands.scans = hands.keys = 0
    await hands.to_well("C1", "PC-1")
    hands.wait("15:00")
    await hands.scan("C1")
    assert isinstance(hands.in_hand(), Judging), hands.words
    assert any("Control material: scan" in each for each in said_aloud(hands.hand, hands.scene))
    await hands.scan("PC-1")
    assert "same control material" in hands.words
    await hands.press(Key.UP, Key.UP, Key.UP, Key.READ)

    cartridge = hands.cartridge("C1")
    assert cartridge.labelled.subject_kind is SubjectKind.CONTROL_SAMPLE
    assert cartridge.labelled.identified.person is How.SCANNED
    assert "passed on lot L-100" in hands.words
    assert hands.scans <= 7
    assert hands.keys <= 7


async def test_another_material_at_the_reading_is_the_wrong_one(hands: Hands) -> None:
    """Refused, and kept as a near miss."""
    await enter_material(hands)
    await enter_material(hands, "NC-1", "negative")
    hands.hand = hands.hand.now_doing(Watching())
    await hands.to_well("C1", "PC-1")
    hands.wait("15:00")
    await hands.scan("C1", "NC-1")

    assert hands.fine is False
    assert "is not this person's" in hands.words


async def test_a_material_is_run_from_its_room_and_its_bottle_opened(hands: Hands) -> None:
    """F3 runs the chosen one, F6 says that it was opened."""
    await visit(hands, Room.SAMPLES)
    await hands.press(Key.DONE)
    assert "F2 enters a control material" in hands.words
    hands.hand = hands.hand.now_doing(Watching())
    await enter_material(hands)
    await hands.press(Key.SECOND)
    assert hands.work.bay.board.samples.materials["PC-1"].opened_on is not None, hands.words
    await hands.press(Key.DONE)
    doing = hands.in_hand()
    assert any("Control sample PC-1." in each for each in said_aloud(hands.hand, hands.scene))

    assert isinstance(doing, Labelling)
    assert (doing.person, doing.person_by, doing.is_sample) == ("PC-1", How.PICKED, True)


async def test_another_sample_waits_while_one_is_labelled(hands: Hands) -> None:
    """The pouch may be open for the first; the same one again is nothing new."""
    await enter_material(hands)
    await enter_material(hands, "NC-1", "negative")
    hands.hand = hands.hand.now_doing(Watching())
    await hands.scan("PC-1", "NC-1")
    assert "NC-1 waits" in hands.words
    await hands.scan("PC-1")

    doing = hands.in_hand()
    assert isinstance(doing, Labelling)
    assert doing.person == "PC-1"


async def test_a_material_is_entered_once(hands: Hands) -> None:
    """Its number is one thing here."""
    await enter_material(hands)
    await hands.press(Key.START)
    await hands.scan("PC-1")

    assert "entered already" in hands.words


async def test_a_form_without_its_lot_asks_which(hands: Hands) -> None:
    """However it was come by, it does nothing to no lot."""
    hands.hand = hands.hand.now_doing(Filling(paper=Paper.DEED))
    assert any("Which lot" in each for each in said_aloud(hands.hand, hands.scene))
    await hands.choose("lot", "L-100")
    await hands.choose("deed", "begin-box")
    await hands.press(Key.START)

    assert hands.work.bay.board.lots["L-100"].opened_on is not None, hands.words


async def test_the_lines_of_a_device_with_several_are_each_wanted(hands: Hands) -> None:
    """A positive material may be so for some of them alone."""
    from builders import THREE_LINES
    from readbell.scenarios.line import AdoptionLine

    await hands.desk.serve(
        hands.work.bay,
        AdoptionLine(do="adopt-assay", by="op-1", assay=THREE_LINES.id, instructions="v1"),
    )
    answers = (
        ("number", "PC-3"),
        ("kind", "positive"),
        ("assay", THREE_LINES.id),
        ("expires", "2099-12-31"),
    )
    hands.hand = hands.hand.now_doing(Filling(paper=Paper.SAMPLE, answers=answers))
    await hands.press(Key.START)
    assert "Still open" in hands.words
    for number, line in enumerate(THREE_LINES.line_keys):
        await hands.choose(f"line {line}", "negative" if number else "positive")
    await hands.press(Key.START)

    found = hands.work.bay.board.samples.materials["PC-3"]
    assert found.kind is SampleKind.POSITIVE
    assert [str(each.outcome) for each in found.expected] == ["positive", "negative", "negative"]


async def test_a_box_of_an_assay_that_warms_up_says_where_it_is_kept(hands: Hands) -> None:
    """Elsewhere nobody is asked."""
    from dataclasses import replace

    from core.board.stock_bench import warming
    from readbell.hand.asked_now import asked_now

    doing = Filling(paper=Paper.LOT, answers=(("assay", NASAL.id),))
    assert [each.key for each in asked_now(doing, hands.scene)][-1] == "units"
    board = hands.work.bay.board
    ((key, adopted),) = board.assays.items()
    warm = replace(board, assays={key: replace(adopted, assay=warming())})
    assert [each.key for each in asked_now(doing, replace(hands.scene, board=warm))][-1] == (
        "storage"
    )


async def test_without_an_assay_no_box_and_no_material_is_entered(hands: Hands) -> None:
    """There would be no steps to run it by."""
    from dataclasses import replace

    from readbell.hand.box_scan import as_box
    from readbell.hand.hand import Turn
    from readbell.hand.samples_room import in_samples

    bare = replace(hands.scene, board=replace(hands.work.bay.board, assays={}, lots={}))
    turn = as_box(hands.hand, Scanned(CODE), bare)
    assert isinstance(turn, Turn)
    assert turn.hand.said is not None
    assert "No assay is adopted yet" in turn.hand.said.words
    said = in_samples(hands.hand, None, Key.START, bare).hand.said
    assert said is not None
    assert "No assay is adopted yet" in said.words
    nobody = replace(hands.hand, operator=None)
    said = in_samples(nobody, "PC-1", Key.DONE, hands.scene).hand.said
    assert said is not None
    assert "Nobody is signed on" in said.words


async def test_the_number_of_the_buffer_in_a_box_is_entered_by_its_form(hands: Hands) -> None:
    """So that a buffer of another kit is known as one."""
    await deed(hands, "describe-lot")
    await hands.scan("B-100")
    await hands.press(Key.START)
    assert hands.work.bay.board.lots["L-100"].buffer == "B-100", hands.words
    assert "its buffer is B-100" in hands.words


async def test_what_would_be_refused_at_the_label_is_said_before_a_pouch_is_opened(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """An open pouch without a start is a unit lost; a control sample may be run all the same."""
    await decided(hands, place, controls_new_lot=True, controls_overdue=Strictness.REFUSE)
    await enter_material(hands)
    hands.hand = hands.hand.now_doing(Watching())
    await hands.scan("P-001")
    assert hands.in_hand() == Watching()
    assert hands.words.startswith("Open no pouch. Control samples are overdue on lot L-100")
    assert hands.fine is False
    await hands.scan("PC-1")
    assert isinstance(hands.in_hand(), Labelling)
    assert "Open one pouch" in hands.words


async def test_what_a_start_would_be_warned_of_is_said_before_a_pouch_is_opened(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """Whoever reads it may still choose another box."""
    await decided(hands, place, controls_new_lot=True)
    await hands.scan("P-001")
    assert "Control samples are overdue on this lot. Open one pouch" in hands.words


async def test_outside_a_shift_no_pouch_is_opened(
    hands: Hands,
    place: Place,  # noqa: F811  # the fixture
) -> None:
    """Where work is done in shifts."""
    await decided(hands, place, shifts=Shifts.ON)
    await hands.scan("P-001")
    assert hands.words.startswith("Open no pouch. No shift is open")


async def test_a_box_that_ran_out_of_date_is_named_before_a_pouch_is_opened(hands: Hands) -> None:
    """It stands open since before midnight of its last day."""
    while hands.scene.face.local(hands.scene.now).year < 2027:
        hands.work.clock.advance("9999:00:00")
    await hands.scan("P-001")
    assert hands.words.startswith("Open no pouch.")
    assert "L-100" in hands.words


async def decided(hands: Hands, place: Place, **decisions: Any) -> None:  # noqa: F811  # the fixture
    """The site decides otherwise; the bay is taken up anew, its box as it stood."""
    await hands.work.die()
    hands.work = await place.take_up(hands.work.clock, policy=SitePolicy(**decisions))
