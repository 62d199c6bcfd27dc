"""What is not taken back: the label, what was seen, what ended, what nobody can know."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, span
from core.cartridge.taking_back_bench import TO_BUFFER, back, but_the_record
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.events import ClockUnsure
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import StateApplication
from readbell.core.cartridge.events import (
    Identified,
    StepTakenBack,
    TakeBackReason,
)
from readbell.core.cartridge.fold import fold_cartridge
from readbell.core.cartridge.stage import LIFE, Stage
from readbell.core.cartridge.taking_back import (
    LABEL_ALONE,
    UNKNOWN_WAITS,
    confirmed_last,
)
from readbell.core.errors import BrokenRecordError
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.refusal import Refusal, RefusalCode


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 was taken to its well by one act for each step, the drops at 2:30."""
    bench = Bench()
    bench.to_well()
    return bench


def test_the_label_is_never_taken_back(bench: Bench) -> None:
    """A pouch that was opened is opened: what is not to be run is given up."""
    for step in ("apply", "withdraw", "extract", "collect", "buffer"):
        bench.must(back(bench, step), "3:00")

    assert confirmed_last(bench.cartridge()) == ()
    for step in ("label", "buffer", "apply"):
        assert bench.refused(back(bench, step), "3:10") == Refusal(
            code=RefusalCode.NOT_ALLOWED, subject=LABEL_ALONE
        )


@pytest.mark.parametrize("step", ["withdraw", "extract", "label", "incubate", ""])
def test_only_what_was_confirmed_last_is_taken_back(bench: Bench, step: str) -> None:
    """Somebody else may have gone on meanwhile; the refusal says what is last now."""
    assert bench.refused(back(bench, step), "3:00") == Refusal(
        code=RefusalCode.OUT_OF_ORDER, subject="Drops onto the well"
    )


@pytest.mark.parametrize(
    ("code", "named"),
    [
        (RefusalCode.UNKNOWN_OPERATOR, {"by": "nobody"}),
        (RefusalCode.UNKNOWN_CARTRIDGE, {"cartridge": "C9"}),
        (RefusalCode.WRONG_CARTRIDGE, {"scanned": "C9"}),
        (RefusalCode.WRONG_PERSON, {"person": "P-002"}),
    ],
)
def test_operator_cartridge_and_person_are_made_sure_of_first(
    bench: Bench, code: RefusalCode, named: dict[str, str]
) -> None:
    """As at every act on a cartridge; a step out of turn comes behind it."""
    act = back(bench, "extract", aim=replace(bench.aim(), **named))  # type: ignore[arg-type]  # texts

    assert bench.refused(act, "3:00").code is code


def test_what_was_seen_early_stays(bench: Bench) -> None:
    """A line that was there had drops."""
    bench.must(bench.look_act(FAINT), "5:00")

    assert bench.refused(back(bench, "apply"), "5:10") == Refusal(
        code=RefusalCode.NOT_ALLOWED, subject="early positive"
    )


def test_what_was_read_once_stays_while_a_second_reader_is_waited_for(bench: Bench) -> None:
    """And the refusal says no more than that it was read, whatever was seen early on it."""
    bench.decides(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    bench.must(bench.look_act(FAINT), "5:00")
    bench.must(bench.read_act(CLEAR), "18:00")
    assert bench.cartridge().awaits_second

    assert bench.refused(back(bench, "apply"), "18:10") == Refusal(
        code=RefusalCode.ALREADY_READ, subject="C1"
    )


@pytest.mark.parametrize(
    ("now", "code"),
    [("17:29.999", None), ("17:30", None), ("22:30", None), ("22:30.001", "already-ended")],
)
def test_drops_are_taken_back_until_their_window_closes(
    bench: Bench, now: str, code: str | None
) -> None:
    """From then on the cartridge has lapsed, whether or not that is on record yet."""
    decided = bench.do(back(bench, "apply"), now)

    assert (decided.code if isinstance(decided, Refusal) else None) == code


def test_what_has_ended_takes_nothing_back(bench: Bench) -> None:
    """Read, lapsed or void."""
    bench.to_well("C2", "P-002")
    bench.to_well("C3", "P-002")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(bench.void_act("C2"), "18:00")
    bench.lapse("C3")

    assert bench.refused(back(bench, "apply"), "23:00").code is RefusalCode.ALREADY_READ
    for label in ("C2", "C3"):
        refused = bench.refused(back(bench, "apply", label=label), "23:00")
        assert refused.code is RefusalCode.ALREADY_ENDED


@pytest.mark.parametrize("stated", [False, True])
def test_where_nobody_knows_how_long_it_waited_before_its_drops_nothing_is_taken_back(
    bench: Bench, stated: bool
) -> None:
    """The wait would run on as if the clock had never been in doubt; a later statement tells nothing of it."""
    bench.board = fold(bench.board, ClockUnsure(at=at("3:00"), cartridges=("id-C1",)))
    if stated:
        act = StateApplication(
            aim=bench.aim(), witness="op-2", done_at=at("2:40"), give_or_take=span("0:10")
        )
        bench.must(act, "3:30")

    assert bench.refused(back(bench, "apply"), "4:00") == Refusal(
        code=RefusalCode.NOT_ALLOWED, subject=UNKNOWN_WAITS
    )


def test_a_doubt_before_the_drops_stays_on_the_wait_that_runs_again() -> None:
    """It may have been any time: the wait counts as too long whatever was pressed since."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.board = fold(bench.board, ClockUnsure(at=at("1:30"), cartridges=("id-C1",)))
    before = bench.cartridge()
    bench.step("withdraw", "1:40")
    bench.must(back(bench, "withdraw"), "1:50")

    assert but_the_record(bench.cartridge()) == but_the_record(before)
    assert [each.limit for each in bench.cartridge().running_waits] == [at("1:30")]


@pytest.mark.parametrize(
    "steps", [(), ("withdraw",), ("apply", "withdraw"), ("label", *TO_BUFFER, "withdraw", "apply")]
)
def test_a_record_that_takes_back_what_was_not_last_is_broken(
    bench: Bench, steps: tuple[str, ...]
) -> None:
    """The label among it, or nothing at all: no readbell ever wrote that."""
    event = StepTakenBack(
        at=at("3:00"),
        by="key-op-1",
        cartridge="id-C1",
        steps=steps,
        reason=TakeBackReason.OTHER,
        identified=Identified(),
    )

    with pytest.raises(BrokenRecordError, match="id-C1"):
        fold_cartridge(bench.cartridge(), event)


def test_of_a_cartridge_with_its_label_alone_nothing_is_ever_taken_back() -> None:
    """The table of its life has no such row."""
    assert StepTakenBack not in LIFE[Stage.LABELLED]
    assert {stage for stage, row in LIFE.items() if StepTakenBack in row} == {
        Stage.PREPARING,
        Stage.EXTRACTING,
        Stage.DEVELOPING,
    }
