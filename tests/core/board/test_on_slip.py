"""What of a visit stands on a slip: one result for each assay, and nothing that is not to be told."""

from __future__ import annotations

from dataclasses import replace

from builders import CLEAR, NASAL, NEGATIVE, NO_CONTROL, THREE_LINES, Bench, at, bands
from core.board.telling_bench import TellingBench
from readbell.core.board.on_slip import SlipOf, slip_of
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import MINUTE, Instant
from readbell.core.people.particulars import ToldTo
from readbell.core.results.telling import Hearer

DAY = 24 * 60 * MINUTE


def on_slip(
    made: Bench, to: Hearer = Hearer.PERSON, cartridge: str | None = None, day: int = DAY
) -> SlipOf:
    """What goes on the slip of P-001, where a day lasts so long."""

    def day_of(instant: Instant) -> int:
        return (instant - at("0:00")) // day

    return slip_of(made.board, "key-P-001", day_of, to=to, cartridge=cartridge)


def labels(found: SlipOf) -> list[tuple[str, tuple[str, ...]]]:
    """Of each result the label, and those of what lies under it."""
    return [(each.shown.label, tuple(one.label for one in each.under)) for each in found.results]


def test_the_last_valid_result_stands_on_it_and_the_invalid_one_under_it() -> None:
    """One visit and assay has one result."""
    made = TellingBench()
    made.read(NO_CONTROL, "C1")
    assert labels(on_slip(made)) == [("C1", ())]
    made.to_well("C2", applied="25:00")
    assert not on_slip(made).results
    assert [each.label for each in on_slip(made).waiting] == ["C2"]

    made.must(made.read_act(CLEAR, "C2"), "41:00")

    assert labels(on_slip(made)) == [("C2", ("C1",))]


def test_what_is_held_waits_and_stands_on_no_slip() -> None:
    """A supervisor looks at it first."""
    made = TellingBench()
    made.read(CLEAR)
    made.hold()

    found = on_slip(made)

    assert (found.results, found.kept_back) == ((), ())
    assert [each.label for each in found.waiting] == ["C1"]


def test_what_somebody_may_not_read_is_kept_back_from_their_slip() -> None:
    """A guardian's slip has what consent lets them be told, and no confidential test."""
    made = TellingBench(replace(NASAL, confidential=True))
    made.read(NEGATIVE)
    made.consents(ToldTo.GUARDIAN)

    assert labels(on_slip(made)) == [("C1", ())]
    found = on_slip(made, Hearer.GUARDIAN)
    assert not found.results
    assert [each.label for each in found.kept_back] == ["C1"]


def test_a_slip_has_all_that_was_run_on_the_last_day_by_each_assay() -> None:
    """Two assays of one visit are two results on one page."""
    made = TellingBench()
    made.read(NEGATIVE)
    made.adopt(THREE_LINES)
    made.receive("L-3", THREE_LINES)
    made.must(replace(made.label_act("C2"), lot="L-3"), "24:00")
    for step in THREE_LINES.steps[1:]:
        made.step(
            step.key, "25:00" if step.key in ("buffer", "collect", "extract") else "26:30", "C2"
        )
    seen = bands(influenza_a="absent", influenza_b="absent", sars_cov_2="clear")
    made.must(made.read_act(seen, "C2"), "42:00")
    assert made.cartridge("C2").stage is Stage.READ

    assert labels(on_slip(made)) == [("C1", ()), ("C2", ())]
    assert labels(on_slip(made, cartridge="id-C1")) == [("C1", ())]
    assert labels(on_slip(made, day=23 * MINUTE)) == [("C2", ())]


def test_what_is_older_than_whoever_asks_may_see_is_left_out_by_name() -> None:
    """A tester sees the running day, a supervisor all."""
    made = TellingBench()
    made.read(NEGATIVE)

    def day_of(_: Instant) -> int:
        return 0

    old = slip_of(made.board, "key-P-001", day_of, to=Hearer.PERSON, back_to=at("0:01"))
    assert [each.label for each in old.too_old] == ["C1"]
    assert not old.results
    seen = slip_of(made.board, "key-P-001", day_of, to=Hearer.PERSON, back_to=at("0:00"))
    assert labels(seen) == [("C1", ())]


def test_whoever_was_never_tested_has_nothing_on_a_slip() -> None:
    """Neither a result nor one that waits."""
    found = on_slip(TellingBench())

    assert (found.results, found.waiting, found.kept_back) == ((), (), ())
