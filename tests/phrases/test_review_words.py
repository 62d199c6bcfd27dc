"""What is held and why, in words that a supervisor works through."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at, private
from core.board.paper_bench import run as paper_run
from core.board.twice_bench import clock, to_well
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import SlipReason
from readbell.core.cartridge.looks import lapse
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.bands import Bands, Unreadable
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.phrases.board_words import SECOND_CLOSING, SECOND_READER, standing
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.of_bay import tell
from readbell.phrases.review_words import (
    say_contradicting,
    say_mark,
    say_new_specimens,
    say_read_by,
    say_readings,
    say_referral,
    what_is_held,
)
from readbell.phrases.staff_words import say_in_history
from readbell.phrases.standing import where_all_stand

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

FACE = ClockFace(zone=UTC)


def held(bench: Bench) -> None:
    """Hold C1."""
    event = ReadingHeld(
        at=at("3:00"), by=None, cartridge="id-C1", reasons=(HoldReason.NOT_COMPETENT,)
    )
    bench.board = fold(bench.board, event)


def test_nothing_held_is_said_too() -> None:
    """An empty answer could be a fault."""
    assert list(what_is_held(Bench().board, FACE)) == ["Nothing is held for review."]


def test_a_held_reading_says_why_and_by_whom_it_was_read() -> None:
    """Whoever looked early, where nobody read it in its window."""
    bench = Bench()
    bench.to_well()
    held(bench)
    assert say_read_by(bench.cartridge(), bench.board, FACE) == "Not read"
    bench.must(bench.look_act(FAINT), "6:00")
    assert say_read_by(bench.cartridge(), bench.board, FACE) == "Seen early by op-1 at 00:59:20"
    bench.must(bench.read_act(NEGATIVE, by="op-2"), "18:00")
    assert list(what_is_held(bench.board, FACE)) == [
        (
            "C1  HELD for review: read by somebody who is not cleared for this assay. "
            "Read by op-2 at 01:11:20."
        )
    ]
    assert say_mark(bench.cartridge()) == "held"


def test_what_is_released_stands_unless_it_has_no_outcome() -> None:
    """Of two readings that disagree nothing comes, whoever has looked at it."""
    said = []
    for second in (FAINT, NEGATIVE):
        bench = Bench()
        decides(bench)
        bench.to_well()
        held(bench)
        bench.must(bench.read_act(FAINT), "18:00")
        bench.must(bench.read_act(second, by="op-2"), "19:00")
        bench.must(RegisterOperator(by="op-1", operator=private("op-3")))
        release = ReleaseReading(by="op-3", cartridge="C1", words=private("looked"))
        said += words(bench, release, "20:00")
    assert said == [
        "C1  released by op-3: the result stands.",
        "C1  released by op-3: it stays WITHHELD, and a repeat is due.",
    ]


def test_what_lapsed_unseen_is_not_listed() -> None:
    """There is nothing to be released."""
    bench = Bench()
    bench.to_well()
    held(bench)
    bench.board = fold(bench.board, lapse(bench.cartridge(), at("22:30.001")))
    assert list(what_is_held(bench.board, FACE)) == ["Nothing is held for review."]
    assert say_mark(Bench().label()) == ""


def decides(bench: Bench, when: SecondReader = SecondReader.ALL) -> None:
    """Let the site ask for second readers, and give one repeat."""
    policy = SitePolicy(
        second_reader=(SecondReaderRule(when=when),), repeat_limit=1, referral="Go to room 4."
    )
    bench.board = fold(bench.board, PolicySet(at=at("0:00"), policy=policy))


def words(bench: Bench, act: Act, now: str) -> list[str]:
    """What is told of an act."""
    return [tell(each, bench.board, FACE) for each in bench.must(act, now)]


def test_between_two_readings_nothing_that_is_said_gives_the_first_one_away() -> None:
    """Whatever was seen, the words are the same; so are the row, the history and the list."""
    said = set()
    for seen in (CLEAR, FAINT, NEGATIVE, NO_CONTROL):
        bench = Bench()
        decides(bench)
        bench.to_well()
        bench.must(bench.look_act(FAINT), "6:00")
        bench.must(bench.look_act(CLEAR), "6:10")
        told = words(bench, bench.read_act(seen), "18:00")
        if seen is not CLEAR and seen is not FAINT:
            continue  # it contradicts its own early look, and is withheld at once
        slip = CorrectReading(
            aim=bench.aim(), bands=NO_CONTROL, reason=SlipReason.PRESSED_WRONG_KEY
        )
        told += words(bench, slip, "18:10")
        told += [*where_all_stand(bench.board, at("19:00"), FACE)]
        told += [standing(bench.cartridge(), at(now)).word for now in ("19:00", "21:00")]
        told += [*what_is_held(bench.board, FACE), say_in_history(bench.cartridge(), FACE)]
        said.add("\n".join(told))
    (one,) = said
    for word in ("POSITIVE", "NEGATIVE", "INVALID", "faint", "e+"):
        assert word not in one
    assert "A second reader is asked for" in one
    assert SECOND_READER in one
    assert SECOND_CLOSING in one


def test_two_readers_who_disagree_are_both_quoted_to_whoever_decides() -> None:
    """By the letters printed beside the lines, each with who and when."""
    bench = Bench()
    decides(bench)
    bench.to_well()
    bench.must(bench.read_act(FAINT), "18:00")
    told = words(bench, bench.read_act(Bands(unreadable=Unreadable.SMEAR), by="op-2"), "19:00")
    assert told[0] == (
        "C1  read by a second reader too: ? WITHHELD. The two readers disagree, so neither "
        "counts. A supervisor decides, or repeat."
    )
    assert list(what_is_held(bench.board, FACE))[1:] == [
        "C1  First, op-1 at 01:11:20: C present, T faint.",
        "C1  Second, op-2 at 01:12:20: cannot be read, smear.",
    ]


def test_a_story_says_that_readers_disagreed_before_it_comes_to_the_hold() -> None:
    """A story takes one event after another; nobody looked early at this strip."""
    bench = Bench()
    decides(bench)
    bench.to_well()
    bench.must(bench.read_act(FAINT), "18:00")
    before = bench.board
    read, hold = bench.must(bench.read_act(NEGATIVE, by="op-2"), "19:00")
    assert isinstance(hold, ReadingHeld)
    assert "The two readers disagree" in tell(read, fold(before, read), FACE)


def test_results_of_one_person_that_contradict_name_each_other_and_say_what_a_supervisor_does() -> (
    None
):
    """Once what one says was taken back the other is contradicted by nothing, and still held."""
    bench = Bench()
    to_well(bench, "C1")
    to_well(bench, "C2", 1)
    bench.must(bench.read_act(NEGATIVE, "C1"), clock(18))
    told = words(bench, bench.read_act(CLEAR, "C2", by="op-2"), clock(19))
    why = "another cartridge of this person, run at the same time, says otherwise"
    assert told[1:] == [
        f"{label}  HELD for review: {why}. A supervisor decides which of them stands."
        for label in ("C2", "C1")
    ]
    advice = (
        "of the same person. Release what stands, take back what does not; if neither is sure, "
        "take back both and repeat with a new specimen."
    )
    assert list(what_is_held(bench.board, FACE)) == [
        f"C1  HELD for review: {why}. Read by op-1 at 01:11:20.",
        f"C1  Contradicted by C2 {advice}",
        f"C2  HELD for review: {why}. Read by op-2 at 01:12:20.",
        f"C2  Contradicted by C1 {advice}",
    ]
    held_now = bench.cartridge("C2").holds[0]
    said = "C2 and C1 HELD: results of one person contradict; see F9, Review."
    assert say_contradicting(held_now, bench.board) == said
    nobodys = ReadingHeld(at=at("1:00"), by=None, cartridge="id-C9", reasons=held_now.reasons)
    assert say_contradicting(nobodys, bench.board).endswith("see F9, Review.")
    reason, why_not = WithdrawReason.OTHER, private("mislaid")
    act = WithdrawResult(by="op-1", cartridge="C2", reason=reason, words=why_not)
    bench.must(act, "20:00")
    assert list(what_is_held(bench.board, FACE)) == [
        f"C1  HELD for review: {why}. Read by op-1 at 01:11:20."
    ]


def test_a_strip_that_no_second_reader_came_to_says_so() -> None:
    """And shows the supervisor the reading that there is, as last corrected."""
    bench = Bench()
    decides(bench)
    bench.to_well()
    bench.must(bench.read_act(FAINT), "18:00")
    slip = CorrectReading(aim=bench.aim(), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY)
    bench.must(slip, "18:10")
    event = lapse(bench.cartridge(), at("22:30.001"))
    bench.board = fold(bench.board, event)
    assert tell(event, bench.board, FACE) == (
        "C1  the window closed and no second reader had read it: withheld. A supervisor decides, "
        "or repeat with a fresh cartridge and a new specimen."
    )
    assert list(say_readings(bench.cartridge(), bench.board, FACE)) == [
        "First, op-1 at 01:11:20: C present, T clear."
    ]


def test_what_was_read_by_one_alone_quotes_nobody() -> None:
    """There is nothing to decide between."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(FAINT), "18:00")
    assert not list(say_readings(bench.cartridge(), bench.board, FACE))


def test_an_amendment_says_who_why_and_that_whoever_was_told_has_to_hear() -> None:
    """The first reading stays on record."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    act = AmendResult(
        by="op-2",
        cartridge="C1",
        bands=FAINT,
        reason=AmendReason.WRONGLY_SEEN,
        words=private("beside the letter"),
    )
    assert words(bench, act, "60:00") == [
        (
            "C1  AMENDED by op-2, something on the strip was overlooked or mistaken: + POSITIVE. "
            "The first reading stays on record; whoever was told has to hear."
        )
    ]
    assert say_mark(bench.cartridge()) == "amended"


def test_a_mix_up_names_everybody_who_gives_a_new_specimen() -> None:
    """And says that nothing is moved."""
    bench = Bench()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    act = WithdrawResult(
        by="op-2",
        cartridge="C1",
        reason=WithdrawReason.ANOTHER_PERSON,
        words=private("wrong person"),
        persons=("P-002",),
    )
    assert words(bench, act, "60:00")[-1] == (
        "C1  mixed up: it was another person's. No result is moved to anybody. "
        "Tell each of them, and take a new specimen: P-001, P-002."
    )
    wanted = "Mixed up: to be told, and to give a new specimen: P-001, P-002."
    assert say_new_specimens(bench.board) == wanted
    assert list(what_is_held(bench.board, FACE))[-1] == wanted
    assert say_new_specimens(Bench().board) == ""


def test_after_the_last_repeat_the_site_says_where_to_go() -> None:
    """With the invalid result itself, and again to whoever would begin another one."""
    bench = Bench()
    decides(bench, SecondReader.OFF)
    bench.to_well()
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    bench.to_well("C2")
    told = words(bench, bench.read_act(NO_CONTROL, "C2"), "18:10")
    assert "No further repeat. Go to room 4." in told[0]
    assert "Repeat with" not in told[0]
    assert say_referral("") == "Start no further test: refer them as the local rules say."


def test_after_the_last_repeat_nothing_asks_for_one_of_what_was_withheld() -> None:
    """Whether the looks disagreed, the readers did, or the second one never came."""
    bench = referred_next(SecondReader.OFF)
    bench.must(bench.look_act(CLEAR, "C2"), "5:00")
    told = words(bench, bench.read_act(NEGATIVE, "C2"), "18:10")[0]
    assert "Tell a supervisor. No further repeat. Go to room 4." in told

    bench = referred_next(SecondReader.ALL)
    bench.must(bench.read_act(FAINT, "C2"), "18:10")
    told = words(bench, bench.read_act(NEGATIVE, "C2", by="op-2"), "18:20")[0]
    assert "A supervisor decides. No further repeat. Go to room 4." in told

    bench = referred_next(SecondReader.ALL)
    bench.must(bench.read_act(FAINT, "C2"), "18:10")
    lapsed = lapse(bench.cartridge("C2"), at("30:00"))
    bench.board = fold(bench.board, lapsed)
    told = tell(lapsed, bench.board, FACE)
    assert "withheld. A supervisor decides. No further repeat. Go to room 4." in told


def referred_next(rule: SecondReader) -> Bench:
    """A bench whose site gives one repeat, with an invalid C1; the repeat, C2, develops."""
    bench = Bench()
    decides(bench, SecondReader.OFF)
    bench.to_well()
    bench.must(bench.read_act(NO_CONTROL), "18:00")
    decides(bench, rule)
    bench.to_well("C2")
    return bench


def test_a_run_on_paper_that_was_taken_back_is_named_by_its_label() -> None:
    """It is no cartridge of the board."""
    bench = Bench()
    bench.must(paper_run(seen=CLEAR), "60:00")
    act = WithdrawResult(
        by="op-2", cartridge="C31", reason=WithdrawReason.ANOTHER_PERSON, words=private("x")
    )
    assert words(bench, act, "61:00") == [
        (
            "C31  WITHDRAWN: it was another person's. What was seen stays on record; nothing of "
            "it counts. Repeat with a new specimen."
        )
    ]
