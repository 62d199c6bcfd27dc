"""Wrong person, wrong cartridge, swapped labels: all of it is taken back, nothing is moved."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, private
from core.board.paper_bench import run as paper_run
from core.board.stock_bench import StockBench
from core.board.telling_bench import results_of
from readbell.core.board.mixed_up import NO_MIX_UP, PersonMixedUp
from readbell.core.board.review import NO_RESULT, NOT_HELD, ON_PAPER
from readbell.core.cartridge.events import CartridgeVoided, Identified, VoidReason
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.events import MixUpFound, ResultWithdrawn
from readbell.core.review.reasons import AmendReason, WithdrawReason

P1, P2 = "key-P-001", "key-P-002"


def swap(
    *others: str,
    persons: tuple[str, ...] = (),
    label: str = "C1",
    reason: WithdrawReason = WithdrawReason.ANOTHER_CARTRIDGE,
) -> WithdrawResult:
    """An act that takes back `label` and the others."""
    return WithdrawResult(
        by="op-2",
        cartridge=label,
        reason=reason,
        words=private("two labels swapped"),
        others=others,
        persons=persons,
    )


def two_read() -> Bench:
    """A bench on which C1 of P-001 and C2 of P-002 were read."""
    made = Bench()
    made.to_well("C1", "P-001")
    made.to_well("C2", "P-002")
    made.must(made.read_act(CLEAR, "C1"), "18:00")
    made.must(made.read_act(NEGATIVE, "C2"), "18:10")
    return made


def test_swapped_labels_take_both_results_back_and_list_both_people() -> None:
    """Each of them is told, and gives a new specimen."""
    made = two_read()
    first, second, found = made.must(swap("C2"), "60:00")

    assert isinstance(first, ResultWithdrawn)
    assert isinstance(second, ResultWithdrawn)
    assert (first.cartridge, second.cartridge) == ("id-C1", "id-C2")
    assert isinstance(found, MixUpFound)
    assert (found.cartridges, found.persons) == (("id-C1", "id-C2"), (P1, P2))
    assert (found.by, found.reason, found.own) == (
        "key-op-2", WithdrawReason.ANOTHER_CARTRIDGE, False,
    )  # fmt: skip
    mixed_up = PersonMixedUp(at=at("60:00"), cartridges=("id-C1", "id-C2"))
    assert made.board.new_specimen == {P1: mixed_up, P2: mixed_up}
    for person in (P1, P2):
        (result,) = results_of(made.board, person)
        assert (result.status, result.subject) == (ResultStatus.WITHDRAWN, person)
        assert result.version == 2


def test_the_words_of_each_event_are_kept_apart_under_a_key_of_their_own() -> None:
    """No two events share what can be erased, and every one of them says why."""
    made = two_read()
    first, second, _ = made.must(swap("C2"), "60:00")
    assert isinstance(first, ResultWithdrawn)
    assert isinstance(second, ResultWithdrawn)
    assert (first.words.key, second.words.key) == (
        "key-two labels swapped", "key-two labels swapped-1",
    )  # fmt: skip
    assert first.words.value == second.words.value


def test_whoever_gets_a_fresh_cartridge_is_off_the_list() -> None:
    """The other one stays on it."""
    made = two_read()
    made.must(swap("C2"), "60:00")
    made.label("C3", "P-002", "61:00")
    assert list(made.board.new_specimen) == [P1]


def test_a_person_who_was_run_for_nobody_yet_is_listed_by_their_id() -> None:
    """The specimen was theirs, and the result went to somebody else."""
    made = two_read()
    act = swap(persons=("P-002",), reason=WithdrawReason.ANOTHER_PERSON)
    _, found = made.must(act, "60:00")
    assert isinstance(found, MixUpFound)
    assert (found.cartridges, found.persons) == (("id-C1",), (P1, P2))
    (theirs,) = results_of(made.board, P2)
    assert theirs.status is ResultStatus.FINAL


def test_a_single_result_taken_back_is_no_mix_up() -> None:
    """As before: one event, and nobody on the list."""
    made = two_read()
    assert len(made.must(swap(), "60:00")) == 1
    assert not made.board.new_specimen


def test_what_still_runs_is_void_and_what_was_seen_early_on_it_is_taken_back() -> None:
    """No reading of either may be told any more."""
    made = two_read()
    for label in ("C3", "C4"):
        made.to_well(label, "P-001")
    made.must(made.look_act(FAINT, "C4"), "6:00")
    _, void, back, found = made.must(swap("C3", "C4"), "19:00")

    assert isinstance(void, CartridgeVoided)
    assert (void.cartridge, void.reason) == ("id-C3", VoidReason.LABEL_ERROR)
    assert (void.at, void.by, void.identified) == (at("19:00"), "key-op-2", Identified())
    assert isinstance(back, ResultWithdrawn)
    assert made.cartridge("C4").stage is Stage.VOID
    assert isinstance(found, MixUpFound)
    assert found.persons == (P1,)


def test_what_was_taken_back_or_void_before_is_listed_and_left_as_it_is() -> None:
    """Nothing can come of it; its person is told all the same."""
    made = two_read()
    made.must(swap(label="C2"), "50:00")
    made.to_well("C3", "P-002")
    made.must(made.void_act("C3"), "3:00")
    _, found = made.must(swap("C2", "C3"), "60:00")
    assert isinstance(found, MixUpFound)
    assert found.cartridges == ("id-C1", "id-C2", "id-C3")
    assert found.persons == (P1, P2)


def test_a_lapsed_one_with_nothing_on_it_is_listed_and_left() -> None:
    """There is no result to take back."""

    made = two_read()
    made.to_well("C3", "P-002")
    made.lapse("C3")
    events = made.must(swap("C3"), "60:00")
    assert [type(each) for each in events] == [ResultWithdrawn, MixUpFound]


@pytest.mark.parametrize(
    ("act", "code", "subject"),
    [
        (swap("C9"), RefusalCode.UNKNOWN_CARTRIDGE, "C9"),
        (swap(persons=("P-404",)), RefusalCode.UNKNOWN_PERSON, ""),
        (swap("C2", reason=WithdrawReason.KIT_FAULT), RefusalCode.NOT_ALLOWED, NO_MIX_UP),
        (swap("C2", label="C3"), RefusalCode.NOT_ALLOWED, NO_RESULT),
    ],
)
def test_all_of_it_is_refused_where_one_part_cannot_be(
    act: WithdrawResult, code: RefusalCode, subject: str
) -> None:
    """Half a mix-up taken back would leave the other half told."""
    made = two_read()
    made.to_well("C3", "P-001")
    refused = made.refused(act, "60:00")
    assert (refused.code, refused.subject) == (code, subject)


def test_a_control_sample_in_a_mix_up_is_nobodys() -> None:
    """Only people are told, and give a new specimen."""
    bench = StockBench()
    bench.materials()
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    bench.to_well("C1")
    bench.must(bench.read_act(CLEAR), "18:00")
    *_, found = bench.must(swap("S1"), "60:00")
    assert isinstance(found, MixUpFound)
    assert found.persons == (P1,)


def on_paper(made: Bench, label: str = "K1", person: str = "P-002") -> None:
    """Enter a positive run from paper."""
    act = replace(paper_run(seen=CLEAR), label=label, person=person, new_id=f"run-{label}")
    made.must(act, "60:00")


def test_a_run_on_paper_is_taken_back_by_its_label_or_its_id() -> None:
    """It was entered for the wrong person as easily as any other; the record keeps it."""
    for named in ("K1", "run-K1"):
        made = Bench()
        on_paper(made)
        act = swap(label=named, persons=("P-001",), reason=WithdrawReason.ANOTHER_PERSON)
        back, found = made.must(act, "61:00")
        assert isinstance(back, ResultWithdrawn)
        assert (back.cartridge, back.own) == ("run-K1", False)
        assert (back.at, back.by, back.reason, back.words) == (
            at("61:00"), "key-op-2", act.reason, act.words,
        )  # fmt: skip
        assert isinstance(found, MixUpFound)
        assert found.persons == (P2, P1)
        (result,) = results_of(made.board, P2)
        assert (result.status, result.outcome, result.version) == (
            ResultStatus.WITHDRAWN, None, 2,
        )  # fmt: skip
        assert [each.outcome for each in result.analytes] == [None]
        assert result.since == at("61:00")
        assert made.board.paper_runs["run-K1"].outcome is Outcome.POSITIVE
        assert made.refused(act, "62:00").code is RefusalCode.ALREADY_ENDED


def test_a_run_on_paper_is_taken_back_among_others_once() -> None:
    """With a cartridge that it was mixed up with."""
    made = two_read()
    on_paper(made)
    on_paper(made, "K2", "P-001")
    made.must(swap(label="K2"), "60:00")
    events = made.must(swap("K1", "K2"), "61:00")
    taken = [each.cartridge for each in events if isinstance(each, ResultWithdrawn)]
    assert taken == ["id-C1", "run-K1"]


def test_a_label_on_paper_is_known_for_a_month() -> None:
    """Later it is named by its opaque id, as labels come again."""
    made = Bench()
    on_paper(made)
    late = "800:00:00"
    assert made.refused(swap(label="K1"), late).code is RefusalCode.UNKNOWN_CARTRIDGE
    assert made.refused(swap(label="K9"), "61:00").code is RefusalCode.UNKNOWN_CARTRIDGE
    made.must(swap(label="run-K1"), late)


def test_a_run_on_paper_is_neither_released_nor_amended() -> None:
    """Nothing holds it, and nobody saw its strip here."""
    made = Bench()
    on_paper(made)
    release = ReleaseReading(by="op-2", cartridge="K1", words=private("fine"))
    refused = made.refused(release, "61:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, NOT_HELD)
    amend = AmendResult(
        by="op-2", cartridge="K1", bands=FAINT, reason=AmendReason.OTHER, words=private("x")
    )
    refused = made.refused(amend, "61:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, ON_PAPER)
