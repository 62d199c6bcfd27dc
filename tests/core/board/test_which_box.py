"""Of each assay a box may stand open; what a start is for says which of them it is from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, NO_CONTROL, START, THREE_LINES, TODAY, at
from core.board.stock_bench import StockBench
from readbell.core.board.which_box import (
    WhichBox,
    Why,
    assay_of,
    box_for_person,
    box_for_sample,
    is_open,
)
from readbell.core.cartridge.acts import Void
from readbell.core.cartridge.events import VoidReason
from readbell.core.people.acts import NoteConsent, RefuseConsent
from readbell.core.people.particulars import ConsentBy, ConsentHow, DeclineReason, ToldTo

OTHER = replace(THREE_LINES, id="other")
"""A third kit, which nobody has a box of at the beginning."""


def two_kits(in_front: str = "L-300") -> StockBench:
    """A bench with a box of each of two assays open, one of them in front."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    for lot in sorted(("L-100", "L-300"), key=lambda lot: lot == in_front):
        bench.open(lot)
    return bench


def of(bench: StockBench, person: str = "P-001", *, since: str = "0:00") -> WhichBox:
    """Which box a person's next cartridge is from."""
    key = bench.board.persons.get(person)
    return box_for_person(bench.board, key, since=at(since), day_began=START)


def fails(bench: StockBench, label: str = "C1", hour: int = 0) -> None:
    """Have a nasal test of P-001 come to nothing."""
    bench.whole(label, NO_CONTROL, hour)


def agrees(bench: StockBench, *assays: str, now: str = "0:00") -> None:
    """P-001 consents to those assays; to whatever is run if none is named."""
    bench.must(
        NoteConsent(
            by="op-1",
            person="P-001",
            giver=ConsentBy.SELF,
            how=ConsentHow.SPOKEN,
            assays=assays,
            told_to=ToldTo.PERSON,
            words=None,
            today=TODAY,
        ),
        now,
    )


@pytest.mark.parametrize("lot", ["L-100", "L-300"])
def test_where_nothing_says_which_it_is_the_box_in_front(lot: str) -> None:
    """Whose code was scanned last; for whoever is not known yet, too."""
    bench = two_kits(in_front=lot)

    assert of(bench) == of(bench, "P-404") == WhichBox(lot)


def test_after_the_box_in_front_has_ended_nothing_says_which() -> None:
    """A pouch of the next box of that kit would be taken for one of the other."""
    bench = two_kits()
    bench.must(bench.hold_act("L-300"))

    assert of(bench) == WhichBox(None)
    assert is_open(bench.board, "L-100")
    assert not is_open(bench.board, "L-300")


def test_a_repeat_is_from_the_box_of_the_assay_that_it_repeats() -> None:
    """Else another test would be begun, and the repeat be owed still."""
    bench = two_kits()
    fails(bench)

    assert of(bench) == WhichBox("L-100", Why.REPEAT, "C1")


def test_where_the_box_in_front_will_do_it_stays() -> None:
    """Nothing is said of it that was not said before."""
    bench = two_kits(in_front="L-100")
    fails(bench)

    assert of(bench) == WhichBox("L-100")


def test_a_repeat_of_which_no_box_stands_open_is_named() -> None:
    """The person may be here for the other test all the same."""
    bench = two_kits()
    fails(bench)
    bench.must(bench.hold_act("L-100"))
    assert of(bench) == WhichBox("L-300", Why.NO_REPEAT, "C1")

    bench.must(bench.hold_act("L-300"))
    assert of(bench) == WhichBox(None)


def test_what_was_owed_at_an_earlier_visit_says_nothing() -> None:
    """They come for something else now."""
    bench = two_kits()
    fails(bench)

    assert of(bench, since="0:00.001") == WhichBox("L-300")


def test_of_whoever_is_referred_and_not_repeated_nothing_is_owed() -> None:
    """The box of that assay would only be refused."""
    bench = two_kits()
    bench.decides(repeat_limit=1)
    fails(bench)
    fails(bench, "C2", 1)

    assert of(bench) == WhichBox("L-300")


def test_what_was_repeated_or_is_not_owed_says_nothing() -> None:
    """Whoever declined is owed none; a repeat that runs is one."""
    bench = two_kits()
    fails(bench)
    bench.label("C2", now="30:00")
    declined = two_kits()
    declined.label()
    declined.must(Void(aim=declined.aim(), reason=VoidReason.DECLINED))

    assert of(bench) == of(declined) == WhichBox("L-300")


def test_consent_for_one_assay_asks_for_its_box() -> None:
    """A start from the other box would be refused at the label, with its pouch open."""
    bench = two_kits()
    agrees(bench, NASAL.id)

    assert of(bench) == WhichBox("L-100", Why.CONSENT)
    agrees(bench, NASAL.id, THREE_LINES.id)
    assert of(bench) == WhichBox("L-300")
    agrees(bench)
    assert of(bench) == WhichBox("L-300")


def test_only_consent_of_today_that_stands_says_anything() -> None:
    """It is asked for anew on each day, and whoever takes it back has none."""
    bench = two_kits()
    agrees(bench, NASAL.id)
    tomorrow = box_for_person(
        bench.board, bench.board.persons["P-001"], since=START, day_began=at("0:01")
    )
    assert tomorrow == WhichBox("L-300")

    bench.must(RefuseConsent(by="op-1", person="P-001", reason=DeclineReason.OTHER, words=None))
    assert of(bench) == WhichBox("L-300")


def test_consent_for_what_no_box_stands_open_leaves_the_one_in_front() -> None:
    """The label says what is against it; nothing else is guessed."""
    bench = two_kits()
    bench.adopt(OTHER)
    agrees(bench, OTHER.id)

    assert of(bench) == WhichBox("L-300")


def test_a_repeat_outside_of_what_was_agreed_to_is_not_offered() -> None:
    """They said yes to the other test alone."""
    bench = two_kits()
    fails(bench)
    agrees(bench, THREE_LINES.id)

    assert of(bench) == WhichBox("L-300")


def test_of_two_boxes_that_would_do_it_is_the_one_opened_last() -> None:
    """As long as neither of them is in front."""
    bench = two_kits()
    bench.adopt(OTHER)
    bench.receive("L-900", OTHER)
    bench.open("L-900")
    agrees(bench, NASAL.id, THREE_LINES.id)

    assert of(bench) == WhichBox("L-300", Why.CONSENT)


def test_a_control_material_is_run_from_a_box_of_its_own_assay() -> None:
    """Whatever is in front; and of none if none is open."""
    bench = two_kits()
    bench.materials()

    assert box_for_sample(bench.board, "PC-1") == WhichBox("L-100", Why.MATERIAL)
    bench.must(bench.hold_act())
    assert box_for_sample(bench.board, "PC-1") == WhichBox(None, Why.MATERIAL)
    assert box_for_sample(bench.board, "PC-404") == WhichBox("L-300")


def test_a_lot_is_known_by_its_assay() -> None:
    """And none that was never received."""
    board = two_kits().board

    assert (assay_of(board, "L-300"), assay_of(board, "L-404"), assay_of(board, None)) == (
        THREE_LINES.id,
        None,
        None,
    )
