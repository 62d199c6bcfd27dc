"""An event changes a cartridge as the table of its life allows, or the record is broken."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NASAL, NEGATIVE, Bench, at, private
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.cartridge.events import (
    AlertKind,
    AlertRaised,
    ApplicationStated,
    CartridgeEvent,
    CartridgeLabelled,
    CartridgeRead,
    CartridgeVoided,
    EarlyPositiveSeen,
    Identified,
    ReadingCorrected,
    ReadingKind,
    ResultAmended,
    SlipReason,
    StepDone,
    SubjectKind,
    VoidReason,
)
from readbell.core.cartridge.fold import begin, fold_cartridge
from readbell.core.cartridge.looks import lapse
from readbell.core.cartridge.moment import timed
from readbell.core.cartridge.stage import LIFE, Stage
from readbell.core.errors import BrokenRecordError
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.reasons import AmendReason

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge

NOW = at("20:00")
ASKED = Identified()


READ = CartridgeRead(
    at=NOW,
    by="key-op-1",
    cartridge="id",
    bands=CLEAR,
    outcomes=(),
    outcome=Outcome.POSITIVE,
    ordinal=1,
    kind=ReadingKind.WINDOW,
    identified=ASKED,
)
READ_ONCE = replace(READ, second=SecondReader.ALL)


def cartridges() -> dict[Stage, Cartridge]:
    """One cartridge in each stage that a record can leave it in."""
    bench = Bench(units=None)
    for label, steps in (("C1", 0), ("C2", 1), ("C3", 3), ("C4", 3), ("C5", 3)):
        bench.label(label)
        for step in ("buffer", "collect", "extract")[:steps]:
            bench.step(step, "0:00", label)
    for label in ("C4", "C5"):
        bench.step("withdraw", "1:00", label)
        bench.step("apply", "2:00", label)
    bench.must(bench.read_act(NEGATIVE, "C5"), "17:00")
    bench.label("C6")
    bench.must(bench.void_act("C6"))
    developing = bench.cartridge("C4")
    return {
        Stage.LABELLED: bench.cartridge("C1"),
        Stage.PREPARING: bench.cartridge("C2"),
        Stage.EXTRACTING: bench.cartridge("C3"),
        Stage.DEVELOPING: developing,
        Stage.SECOND_READING_DUE: fold_cartridge(developing, READ_ONCE),
        Stage.READ: bench.cartridge("C5"),
        Stage.LAPSED: fold_cartridge(developing, lapse(developing, NOW)),
        Stage.VOID: bench.cartridge("C6"),
    }


CARTRIDGES = cartridges()


def step_done(step: str) -> StepDone:
    """The event of a step done now."""
    return StepDone(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        step=step,
        done=timed(NOW),
        deviations=(),
        specimen=None,
        identified=ASKED,
    )


EVENTS: dict[str, CartridgeEvent] = {
    "labelled": CartridgeLabelled(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        label="C1",
        subject="key-P-001",
        subject_kind=SubjectKind.PATIENT,
        lot="L-100",
        assay="hash",
        repeat_of=None,
        identified=ASKED,
    ),
    "first step": step_done("buffer"),
    "extracting step": step_done("extract"),
    "last step": step_done("apply"),
    "early positive": EarlyPositiveSeen(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        bands=FAINT,
        lines=("sars-cov-2",),
        ordinal=1,
        kind=ReadingKind.EARLY,
        identified=ASKED,
    ),
    "read": READ,
    "read once": READ_ONCE,
    "read a second time": replace(READ, ordinal=2, kind=ReadingKind.SECOND),
    "corrected": ReadingCorrected(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        bands=CLEAR,
        outcomes=(),
        outcome=Outcome.POSITIVE,
        reason=SlipReason.OTHER,
        identified=ASKED,
    ),
    "amended": ResultAmended(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        bands=CLEAR,
        outcomes=(),
        outcome=Outcome.POSITIVE,
        reason=AmendReason.OTHER,
        words=private("why"),
        own=False,
    ),
    "lapsed": lapse(CARTRIDGES[Stage.DEVELOPING], NOW),
    "voided": CartridgeVoided(
        at=NOW,
        by="key-op-1",
        cartridge="id",
        reason=VoidReason.DROPPED,
        words=None,
        identified=ASKED,
    ),
    "stated": ApplicationStated(
        at=NOW, by="key-op-1", witness="key-op-2", cartridge="id", done=timed(NOW)
    ),
    "alert": AlertRaised(at=NOW, cartridge="id", alert=AlertKind.READ_NOW, due=NOW, step=""),
}
# Written out once more, by hand: for each stage what may happen in it and where it leads.
ALLOWED: dict[Stage, dict[str, Stage]] = {
    Stage.LABELLED: {
        "first step": Stage.PREPARING,
        "extracting step": Stage.EXTRACTING,
        "last step": Stage.DEVELOPING,
        "voided": Stage.VOID,
        "alert": Stage.LABELLED,
    },
    Stage.PREPARING: {
        "first step": Stage.PREPARING,
        "extracting step": Stage.EXTRACTING,
        "last step": Stage.DEVELOPING,
        "voided": Stage.VOID,
        "alert": Stage.PREPARING,
    },
    Stage.EXTRACTING: {
        "first step": Stage.EXTRACTING,
        "extracting step": Stage.EXTRACTING,
        "last step": Stage.DEVELOPING,
        "voided": Stage.VOID,
        "alert": Stage.EXTRACTING,
    },
    Stage.DEVELOPING: {
        "early positive": Stage.DEVELOPING,
        "read": Stage.READ,
        "read once": Stage.SECOND_READING_DUE,
        "lapsed": Stage.LAPSED,
        "voided": Stage.VOID,
        "stated": Stage.DEVELOPING,
        "alert": Stage.DEVELOPING,
    },
    Stage.SECOND_READING_DUE: {
        "read a second time": Stage.READ,
        "corrected": Stage.SECOND_READING_DUE,
        "lapsed": Stage.LAPSED,
        "stated": Stage.SECOND_READING_DUE,
        "alert": Stage.SECOND_READING_DUE,
    },
    Stage.READ: {"corrected": Stage.READ, "amended": Stage.READ},
    Stage.LAPSED: {"alert": Stage.LAPSED, "amended": Stage.LAPSED},
    Stage.VOID: {},
}
PAIRS = [(stage, name) for stage in LIFE for name in EVENTS]


@pytest.mark.parametrize(
    ("stage", "name"), PAIRS, ids=[f"{name} when {stage}" for stage, name in PAIRS]
)
def test_only_what_the_table_lists_can_have_happened(stage: Stage, name: str) -> None:
    """Any other pair is a broken record, told with both stages and left as it was."""
    cartridge, event = CARTRIDGES[stage], EVENTS[name]
    leads_to = ALLOWED[stage].get(name)

    if leads_to is None:
        with pytest.raises(BrokenRecordError, match=f"was {stage} when the record says"):
            fold_cartridge(cartridge, event)
    else:
        assert fold_cartridge(cartridge, event).stage is leads_to


def test_a_step_the_assay_does_not_list_is_a_broken_record() -> None:
    """A record of another assay must not be taken for this one's."""
    with pytest.raises(BrokenRecordError, match="a step 'incubate' that its assay does not list"):
        fold_cartridge(CARTRIDGES[Stage.LABELLED], step_done("incubate"))


def test_labelling_counts_as_the_first_step() -> None:
    """The next step that is due is the second of the assay."""
    event = EVENTS["labelled"]
    assert isinstance(event, CartridgeLabelled)
    begun = begin(event, NASAL, 7)

    assert [(mark.step, mark.done, mark.by) for mark in begun.marks] == [
        ("label", timed(NOW), "key-op-1")
    ]
    assert (begun.stage, begun.ordinal) == (Stage.LABELLED, 7)
    assert begun.next_step is not None
    assert begun.next_step.key == "buffer"


def test_the_swab_goes_on_extracting_after_it_was_withdrawn() -> None:
    """Between the swab's way out and the drops the stage is still the one it entered."""
    bench = Bench()
    bench.label()
    stages = [
        bench.step(step, now).stage
        for step, now in (
            ("buffer", "0:00"),
            ("collect", "0:00"),
            ("extract", "0:00"),
            ("withdraw", "1:00"),
            ("apply", "1:10"),
        )
    ]

    assert stages == [
        Stage.PREPARING,
        Stage.PREPARING,
        Stage.EXTRACTING,
        Stage.EXTRACTING,
        Stage.DEVELOPING,
    ]


def test_a_reading_is_kept_as_it_was_seen_and_judged() -> None:
    """The raw bands and the outcome of that day stay side by side."""
    after = fold_cartridge(CARTRIDGES[Stage.DEVELOPING], EVENTS["read"])

    assert after.reading == EVENTS["read"]
    assert after.outcome is Outcome.POSITIVE


def test_a_void_keeps_its_reason_and_gives_no_outcome() -> None:
    """It was given up: nothing is known, and the record says why."""
    after = fold_cartridge(CARTRIDGES[Stage.DEVELOPING], EVENTS["voided"])

    assert after.voided == EVENTS["voided"]
    assert (after.outcome, after.outcomes) == (None, ())


def test_an_alert_is_remembered_with_its_step() -> None:
    """Once told it is not told again, and other alerts are not taken for it."""
    after = fold_cartridge(CARTRIDGES[Stage.DEVELOPING], EVENTS["alert"])

    assert after.raised == {(AlertKind.READ_NOW, "")}


def test_a_statement_moves_the_drops_and_lets_the_alerts_fall_anew() -> None:
    """The window moves with them, so what was announced for the old one counts no more."""
    told = replace(
        fold_cartridge(CARTRIDGES[Stage.DEVELOPING], EVENTS["alert"]),
        unsure=True,
    )
    after = fold_cartridge(told, EVENTS["stated"])

    assert after.applied == timed(NOW)
    assert not after.unsure
    assert after.raised == frozenset()
    assert after.marks[:-1] == told.marks[:-1]


def test_a_fold_leaves_the_cartridge_before_as_it_was() -> None:
    """Whoever still looks at the older board sees the older cartridge."""
    before = CARTRIDGES[Stage.DEVELOPING]
    copy = replace(before)
    fold_cartridge(before, EVENTS["read"])

    assert before == copy
