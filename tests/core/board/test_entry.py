"""What somebody writes down becomes an act, and nothing is filled in that a person is to check."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from builders import FAINT, START, at, private, span
from readbell.core.board.acts import HoldLot, OpenLot
from readbell.core.board.entry import SCRIPTED, Do, Entry, Setting, to_act
from readbell.core.cartridge.acts import (
    Aim,
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
    Void,
)
from readbell.core.cartridge.events import How, SlipReason, SubjectKind, TakeBackReason, VoidReason
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.instant import Instant
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    LastDay,
    LoseUnits,
    PutBack,
    RecallLot,
    ReleaseLot,
    TakeOut,
)
from readbell.core.stock.events import LossReason, ReleaseReason

TODAY = date(2026, 3, 29)
SETTING = Setting(
    now=at("9:00"),
    today=TODAY,
    new_id=lambda kind: f"new-{kind}",
    keep_apart=private,
    day_ends=lambda day: day.toordinal(),
)
ENTRY = Entry(do=Do.READ, by="op-1", cartridge="C1")
AIM = Aim(by="op-1", cartridge="C1", cartridge_by=How.TYPED)


def act(**written: Any) -> object:
    """The act that an entry with these words is understood as."""
    return to_act(replace(ENTRY, **written), SETTING, FAINT)


def test_the_words_of_a_scenario_are_those_of_the_contract() -> None:
    """Others check the product by them; what a bay alone may be told comes after."""
    assert [str(each) for each in Do if each in SCRIPTED] == [
        "label", "step", "look", "read", "void", "hold-lot", "state-application", "answer",
        "begin-box", "take-out", "put-back", "lose-units", "count-units", "recall-lot",
        "release-lot", "take-back-step", "correct-lot",
    ]  # fmt: skip
    assert [str(each) for each in Do if each not in SCRIPTED] == [
        "steps", "correct-reading", "open-lot",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        pytest.param(
            {"do": Do.LABEL, "lot": "L-100", "place": "tray 3"},
            Label(
                aim=AIM,
                new_id="new-cartridge",
                lot="L-100",
                today=TODAY,
                subject_kind=SubjectKind.PATIENT,
                place=private("tray 3"),
            ),
            id="label",
        ),
        pytest.param(
            {"do": Do.STEP, "step": "apply"},
            DoStep(aim=AIM, step="apply", new_specimen="new-specimen", today=TODAY),
            id="step",
        ),
        pytest.param(
            {"do": Do.STEP, "step": "apply", "done_at": at("8:00"), "give_or_take": span("0:30")},
            DoStep(
                aim=AIM,
                step="apply",
                new_specimen="new-specimen",
                done_at=at("8:00"),
                give_or_take=span("0:30"),
                today=TODAY,
            ),
            id="step stated afterwards",
        ),
        pytest.param(
            {
                "do": Do.STEPS,
                "steps": ("buffer", "collect"),
                "done_at": at("8:00"),
                "give_or_take": span("0:30"),
            },
            DoSteps(
                aim=AIM,
                steps=("buffer", "collect"),
                new_specimen="new-specimen",
                done_at=at("8:00"),
                give_or_take=span("0:30"),
                today=TODAY,
            ),
            id="several steps",
        ),
        pytest.param(
            {"do": Do.CORRECT, "slip": SlipReason.PRESSED_WRONG_KEY},
            CorrectReading(aim=AIM, bands=FAINT, reason=SlipReason.PRESSED_WRONG_KEY, today=TODAY),
            id="correction",
        ),
        pytest.param(
            {"do": Do.LABEL, "lot": "L-100", "is_sample": True},
            Label(
                aim=AIM,
                new_id="new-cartridge",
                lot="L-100",
                today=TODAY,
                subject_kind=SubjectKind.CONTROL_SAMPLE,
            ),
            id="label for a control sample",
        ),
        pytest.param(
            {"do": Do.OPEN_LOT, "lot": "L-100"},
            OpenLot(by="op-1", lot="L-100", today=TODAY),
            id="open a lot",
        ),
        pytest.param({"do": Do.LOOK}, Look(aim=AIM, bands=FAINT, today=TODAY), id="look"),
        pytest.param({"do": Do.READ}, Read(aim=AIM, bands=FAINT, today=TODAY), id="read"),
        pytest.param(
            {"do": Do.READ, "unverified": "A. Name"},
            ReadUnverified(aim=AIM, bands=FAINT, name=private("A. Name")),
            id="read under a typed name",
        ),
        pytest.param(
            {
                "do": Do.STATE_APPLICATION,
                "witness": "op-2",
                "done_at": at("8:00"),
                "give_or_take": span("0:30"),
            },
            StateApplication(
                aim=AIM, witness="op-2", done_at=at("8:00"), give_or_take=span("0:30")
            ),
            id="statement",
        ),
        pytest.param(
            {"do": Do.STATE_APPLICATION, "witness": "op-2"},
            StateApplication(aim=AIM, witness="op-2", done_at=at("9:00")),
            id="statement of just now",
        ),
        pytest.param(
            {"do": Do.STATE_APPLICATION, "witness": "op-2", "done_at": Instant(0)},
            StateApplication(aim=AIM, witness="op-2", done_at=Instant(0)),
            id="statement of the first instant there is",
        ),
        pytest.param(
            {"do": Do.HOLD_LOT, "lot": "L-100"}, HoldLot(by="op-1", lot="L-100"), id="hold a lot"
        ),
    ],
)
def test_an_entry_becomes_the_act_it_writes_down(written: dict[str, Any], expected: object) -> None:
    """Word for word: an entry that lost a word on the way would do something else."""
    assert act(**written) == expected


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        pytest.param({}, AIM, id="typed, and nobody read back"),
        pytest.param(
            {"scanned": "C1"},
            replace(AIM, scanned="C1", cartridge_by=How.SCANNED),
            id="scanned",
        ),
        pytest.param(
            {"person": "P-001"},
            replace(AIM, person="P-001", person_by=How.TYPED),
            id="person read back",
        ),
        pytest.param(
            {"cartridge_by": How.PICKED},
            replace(AIM, cartridge_by=How.PICKED),
            id="picked from the list",
        ),
        pytest.param(
            {"scanned": "C1", "cartridge_by": How.TYPED},
            replace(AIM, scanned="C1", cartridge_by=How.TYPED),
            id="read off the device and typed",
        ),
        pytest.param(
            {"person": "P-001", "person_by": How.SCANNED},
            replace(AIM, person="P-001", person_by=How.SCANNED),
            id="person scanned",
        ),
    ],
)
def test_how_it_was_made_sure_follows_what_was_written(
    written: dict[str, Any], expected: Aim
) -> None:
    """No scan is claimed that nobody made."""
    found = act(**written)
    assert isinstance(found, Read)

    assert found.aim == expected


@pytest.mark.parametrize(
    ("said", "reason", "words"),
    [
        pytest.param(None, VoidReason.OTHER, None, id="nothing said"),
        pytest.param("spilled", VoidReason.SPILLED, None, id="a coded reason"),
        pytest.param("bad-device", VoidReason.BAD_DEVICE, None, id="the kit's own fault"),
        pytest.param("left", VoidReason.LEFT, None, id="nobody is there any more"),
        pytest.param("Ada took it home", VoidReason.OTHER, private("Ada took it home"), id="words"),
        pytest.param("SPILLED", VoidReason.OTHER, private("SPILLED"), id="no code, only like it"),
    ],
)
def test_words_of_a_reason_are_kept_apart(
    said: str | None, reason: VoidReason, words: object
) -> None:
    """Free text may name anybody, so it goes where it can be erased; a code does not."""
    found = act(do=Do.VOID, reason=said)
    assert isinstance(found, Void)

    assert (found.reason, found.words) == (reason, words)


@pytest.mark.parametrize(
    ("said", "reason"),
    [("not-done", TakeBackReason.NOT_DONE), (None, TakeBackReason.OTHER)],
)
def test_a_step_is_taken_back_for_the_reason_that_is_said(
    said: str | None, reason: TakeBackReason
) -> None:
    """Where none is, nothing is made up: it is another one."""
    found = act(do=Do.TAKE_BACK, step="apply", reason=said)

    assert found == TakeBackStep(aim=AIM, step="apply", reason=reason)


def test_an_entry_printed_by_accident_hides_what_identifies() -> None:
    """Lines of a bay end up in logs."""
    entry = replace(ENTRY, by="Nemo", person="Nemo", scanned="Nemo", reason="Nemo", done_at=START)

    assert "Nemo" not in repr(entry)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ({"do": Do.BEGIN_BOX}, BeginBox(by="op-1", lot="L-1", today=TODAY)),
        ({"do": Do.TAKE_OUT}, TakeOut(by="op-1", lot="L-1")),
        ({"do": Do.PUT_BACK}, PutBack(by="op-1", lot="L-1")),
        (
            {"do": Do.LOSE_UNITS, "units": 2, "reason": "damaged", "words": "torn"},
            LoseUnits(
                by="op-1", lot="L-1", units=2, reason=LossReason.DAMAGED, words=private("torn")
            ),
        ),
        (
            {"do": Do.LOSE_UNITS, "units": 2},
            LoseUnits(by="op-1", lot="L-1", units=2, reason=LossReason.OTHER, words=None),
        ),
        ({"do": Do.COUNT_UNITS, "units": 0}, CountUnits(by="op-1", lot="L-1", counted=0)),
        ({"do": Do.RECALL_LOT}, RecallLot(by="op-1", lot="L-1", words=None)),
        (
            {"do": Do.RECALL_LOT, "words": "notice 7"},
            RecallLot(by="op-1", lot="L-1", words=private("notice 7")),
        ),
        (
            {"do": Do.RELEASE_LOT, "reason": "investigated"},
            ReleaseLot(by="op-1", lot="L-1", reason=ReleaseReason.INVESTIGATED, words=None),
        ),
        (
            {"do": Do.RELEASE_LOT},
            ReleaseLot(by="op-1", lot="L-1", reason=ReleaseReason.OTHER, words=None),
        ),
        (
            {"do": Do.CORRECT_LOT, "expires": TODAY, "is_past": True, "words": "a month late"},
            CorrectLot(
                by="op-1",
                lot="L-1",
                today=TODAY,
                words=private("a month late"),
                last_day=LastDay(on=TODAY, ends=TODAY.toordinal()),
                is_past=True,
            ),
        ),
        (
            {"do": Do.CORRECT_LOT, "right_assay": "strep", "words": "another pile"},
            CorrectLot(
                by="op-1", lot="L-1", today=TODAY, words=private("another pile"), assay="strep"
            ),
        ),
    ],
)
def test_what_is_written_of_a_lot_becomes_the_act(
    written: dict[str, Any], expected: object
) -> None:
    """So that a scenario can script a recall as a bay is told of one."""
    assert act(lot="L-1", **written) == expected
