"""A refused act changes nothing, and the refusal itself is kept: the near-miss register."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import bands
from readbell.core.board.acts import HearAlert, HoldLot, MuteSound
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ActRefused, MuteReason
from readbell.core.cartridge.events import CartridgeRead, ReadingCorrected
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Span
from readbell.core.reading.bands import Strength
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from bay.conftest import Work


async def near_miss(work: Work) -> ActRefused:
    """The last event of the journal, which must be a near miss."""
    last = (await work.stored())[-1].event
    assert isinstance(last, ActRefused), last
    return last


async def test_a_refused_act_changes_no_cartridge_lot_or_person(work: Work) -> None:
    """A slip of the hand must not cost a kit, a window or anybody's place."""
    await work.to_extract()
    before = work.bay.board

    await work.refused(work.step("withdraw"))

    after = work.bay.board
    assert (after.running, after.lots, after.persons) == (
        before.running,
        before.lots,
        before.persons,
    )


async def test_a_refusal_is_an_event_of_its_own(work: Work) -> None:
    """What nearly went wrong is the first thing a supervisor looks at."""
    await work.to_extract()
    work.clock.advance("0:20")

    await work.refused(work.step("withdraw"))

    found = await near_miss(work)
    assert (found.act, found.code) == ("step", RefusalCode.WAIT_NOT_OVER)
    assert (found.cartridge, found.by) == (work.cartridge().id, "key-op-1")
    assert found.at == work.now()


async def test_what_was_scanned_is_kept_apart_from_the_chain(work: Work) -> None:
    """The wrong barcode may be somebody's name: it can be erased, the near miss stays."""
    await work.to_extract()

    code = await work.refused(
        replace(work.step("withdraw"), scanned="Ada Quill", person="Ada Quill")
    )

    found = await near_miss(work)
    assert code is RefusalCode.WRONG_CARTRIDGE
    assert found.entered is not None
    assert json.loads(found.entered.value or "")["scanned"] == "Ada Quill"
    assert "Ada Quill" not in await work.bodies()


async def test_words_of_a_void_are_kept_apart_from_the_chain(work: Work) -> None:
    """A reason in free words may name somebody."""
    await work.must(work.label())
    await work.must(
        Entry(do=Do.VOID, by="op-1", cartridge="C1", reason="Ada Quill knocked it over")
    )

    voided = work.cartridge().voided
    assert voided is not None
    assert voided.words is not None
    assert voided.words.value == "Ada Quill knocked it over"
    assert "Ada Quill" not in await work.bodies()


async def test_words_about_the_place_are_kept_apart_from_the_chain(work: Work) -> None:
    """Where somebody sits is free text too, and free text may name people."""
    await work.must(replace(work.label(), place="the car of Ada Quill"))

    assert "Ada Quill" not in await work.bodies()


async def test_an_unknown_operator_leaves_a_near_miss_without_a_key(work: Work) -> None:
    """There is nobody to name; what was typed is on the erasable side."""
    await work.refused(work.label(by="op-404"))

    found = await near_miss(work)
    assert (found.by, found.code) == (None, RefusalCode.UNKNOWN_OPERATOR)
    assert found.entered is not None
    assert json.loads(found.entered.value or "")["by"] == "op-404"


async def test_a_refusal_that_aims_at_no_cartridge_is_kept_too(work: Work) -> None:
    """A hold on a lot that was never received is a slip worth knowing."""
    answer = await work.bay.do(HoldLot(by="op-1", lot="L-404"))

    found = await near_miss(work)
    assert not answer.accepted
    assert (found.act, found.cartridge, found.bands) == ("hold-lot", None, None)


async def test_a_late_look_is_kept_with_its_bands(work: Work) -> None:
    """What was seen after the close is never an outcome, and must not be lost either."""
    await work.to_well()
    work.clock.advance("20:01")

    code = await work.refused(work.read(test=Strength.FAINT))

    found = await near_miss(work)
    assert code is RefusalCode.WINDOW_CLOSED
    assert found.bands == bands(sars_cov_2="faint")
    assert found.cartridge == work.cartridge().id
    assert work.cartridge().reading is None
    assert work.cartridge().stage is Stage.LAPSED


@pytest.mark.parametrize("kind", [Do.LOOK, Do.READ], ids=["a look", "a reading"])
async def test_a_look_that_came_too_early_is_kept_with_its_bands(work: Work, kind: Do) -> None:
    """Too early is a near miss like too late."""
    await work.to_well()

    await work.refused(replace(work.read(), do=kind))

    assert (await near_miss(work)).bands == bands(sars_cov_2="absent")


async def test_the_program_fills_in_no_band_at_a_real_bench(work: Work) -> None:
    """A band that nobody answered stays unanswered, and the reading is refused."""
    await work.to_well()
    work.clock.advance("15:00")

    code = await work.refused(Entry(do=Do.READ, by="op-1", cartridge="C1", control=True))

    assert code is RefusalCode.BAD_BANDS


async def test_the_answer_of_a_refusal_holds_the_near_miss_alone(work: Work) -> None:
    """Whoever shows answers must not take a refusal for something that happened."""
    answer = await work.enter(work.step("buffer", "C9"))

    (event,) = answer.events
    assert not answer.accepted
    assert isinstance(event, ActRefused)


async def test_a_near_miss_keeps_what_was_tried(work: Work) -> None:
    """Without the lot or the step nobody can say what nearly went wrong."""
    await work.to_extract()
    await work.refused(work.step("apply"))
    out_of_turn = await near_miss(work)
    await work.refused(replace(work.label("C2"), lot="L-404"))
    unknown = await near_miss(work)

    assert out_of_turn.entered is not None
    assert unknown.entered is not None
    assert json.loads(out_of_turn.entered.value or "")["step"] == "apply"
    assert json.loads(unknown.entered.value or "")["lot"] == "L-404"


async def test_steps_refused_together_leave_one_near_miss_that_names_them(work: Work) -> None:
    """None of them was done, and it is known what was tried."""
    await work.must(work.label())
    entry = Entry(do=Do.STEPS, by="op-1", cartridge="C1", steps=("extract", "withdraw"))

    await work.refused(entry)

    found = await near_miss(work)
    assert (found.act, work.cartridge().stage) == ("steps", Stage.LABELLED)
    assert found.entered is not None
    assert json.loads(found.entered.value or "")["steps"] == ["extract", "withdraw"]


async def test_a_correction_that_came_too_late_is_kept_with_its_bands(work: Work) -> None:
    """What was said to have been seen is for the supervisor who may have to amend it."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.must(work.read(test=Strength.ABSENT))
    work.clock.advance("5:01")

    code = await work.refused(replace(work.read(test=Strength.FAINT), do=Do.CORRECT))

    found = await near_miss(work)
    assert (code, found.act) == (RefusalCode.ALREADY_READ, "correct-reading")
    assert found.bands == bands(sars_cov_2="faint")


async def test_a_correction_counts_and_the_first_entry_stays_in_the_journal(work: Work) -> None:
    """Whoever reads the journal sees both, and the board shows what counts."""
    await work.to_well()
    work.clock.advance("15:00")
    await work.must(work.read(test=Strength.ABSENT))
    await work.must(replace(work.read(test=Strength.FAINT), do=Do.CORRECT))

    told = [each.event for each in await work.stored()]
    (read,) = [each for each in told if isinstance(each, CartridgeRead)]
    (mended,) = [each for each in told if isinstance(each, ReadingCorrected)]
    assert (read.outcome, mended.outcome) == (Outcome.NEGATIVE, Outcome.POSITIVE)
    assert work.cartridge().outcome is Outcome.POSITIVE


async def test_a_refused_act_on_the_alarm_says_what_was_tried(work: Work) -> None:
    """Who wanted silence, of what and for how long; and it counts as no hand on the cartridge."""
    await work.to_extract()
    assert not (await work.bay.do(HearAlert(by="op-1", cartridge="C1"))).accepted
    heard = await near_miss(work)
    mute = MuteSound(by="op-1", reason=MuteReason.DISTRESS, span=Span(900_000))
    assert not (await work.bay.do(mute)).accepted
    muted = await near_miss(work)

    assert (heard.act, heard.cartridge) == ("hear-alert", None)
    assert heard.entered is not None
    assert json.loads(heard.entered.value or "") == {"by": "op-1", "cartridge": "C1"}
    assert muted.entered is not None
    assert json.loads(muted.entered.value or "") == {
        "by": "op-1",
        "reason": "distress",
        "span": 900_000,
    }
