"""The bench as the record has it: who is in the middle of what, and what is left."""

from __future__ import annotations

from dataclasses import replace

from builders import START, Bench, at, span
from core.plan.kits import BARE, within
from readbell.core.instant import later
from readbell.core.plan.bench import FAR, Break
from readbell.core.plan.bench import Bench as Hands
from readbell.core.plan.hands_on import READING
from readbell.core.plan.present import Taken, bench_now
from readbell.core.plan.work import work_of

TO_THE_BUFFER = (("buffer", "0:10"), ("collect", "0:55"), ("extract", "1:20"))


def taken(
    bench: Bench, now: str, hands: int = 1, breaks: dict[str, list[Break]] | None = None
) -> Taken:
    """Return the bench of planning at `now`."""
    board = bench.board
    works = {key: work_of(each.assay, gloves=BARE) for key, each in board.assays.items()}
    return bench_now(board.running.values(), works, hands, at(now), breaks=breaks)


def hands_of(bench: Bench, now: str, hands: int = 1) -> Hands:
    """Return what lies before the hands at `now`."""
    return taken(bench, now, hands).bench


def in_buffer(bench: Bench, label: str = "C1", person: str = "P-001") -> None:
    """Take a cartridge until its swab stands in the buffer, at 1:20."""
    bench.label(label, person, "0:00")
    for step, when in TO_THE_BUFFER:
        bench.step(step, when, label)


def test_nothing_runs_and_the_hands_are_idle() -> None:
    """As many as are at work; nobody knows their names."""
    found = hands_of(Bench(), "0:00", 2)

    assert found.tasks == ()
    assert [(hand.name, hand.free, hand.free_most, hand.on) for hand in found.hands] == [
        ("", START, START, None)
    ] * 2


def test_who_did_the_last_step_of_a_piece_is_in_the_middle_of_it() -> None:
    """What is left takes from two thirds to four thirds of its usual time, from the last mark."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    bench.step("buffer", "0:10")
    (hand,) = hands_of(bench, "0:15").hands

    assert hand.name == "key-op-1"
    assert hand.on == ("id-C1", 0)
    assert (hand.free, hand.free_most) == (
        later(at("0:10"), span("0:46.667")),
        later(at("0:10"), span("1:33.333")),
    )
    assert hand.touched == "key-P-001"
    tasks = hands_of(bench, "0:15").tasks
    assert [task.parts for task in tasks] == [("withdraw", "apply"), (READING,)]
    assert [tie.after for tie in tasks[0].ties] == [("id-C1", 0)]


def test_a_piece_that_takes_longer_than_it_ever_should_is_taken_to_begin_now() -> None:
    """The rule goes on from how things are; it does not insist on how they should be."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    (hand,) = hands_of(bench, "5:00").hands

    assert (hand.free, hand.free_most) == (at("5:00"), later(at("5:00"), span("1:46.666")))


def test_a_swab_in_its_buffer_leaves_the_hands_free() -> None:
    """From a minute on after the step was done, until what the withdrawal needs is left of three."""
    bench = Bench()
    in_buffer(bench)
    found = hands_of(bench, "1:30")

    (hand,) = found.hands
    assert (hand.free, hand.on, hand.touched) == (at("1:30"), None, "key-P-001")
    assert (found.tasks[0].ready, found.tasks[0].latest) == (at("2:20"), at("4:06.667"))


def test_what_a_hand_may_have_turned_to_unseen_may_end_at_any_moment() -> None:
    """A step is on record when it ends; so what is ready now may be in hand, or nearly done."""
    bench = Bench()
    in_buffer(bench)

    assert [task.hands.least for task in hands_of(bench, "2:19.999").tasks] == [20_000, 10_000]
    assert [task.hands.least for task in hands_of(bench, "2:20").tasks] == [0, 10_000]


def test_a_stated_time_counts_by_the_end_that_cannot_harm() -> None:
    """The wait is over by the latest instant, and passes its limit by the earliest."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    for step in ("buffer", "collect"):
        bench.step(step, "0:00")
    bench.must(bench.step_act("extract", done_at="2:00", doubt="0:20"), "3:00")
    (task, _) = hands_of(bench, "3:00").tasks

    assert (task.ready, task.latest) == (at("3:20"), at("4:26.667"))


def test_a_strip_that_develops_is_to_be_read_in_its_window() -> None:
    """As the rules of reading have it, less the reading itself."""
    bench = Bench()
    bench.to_well(applied="2:30")
    (task,) = hands_of(bench, "3:00").tasks

    assert (task.ready, task.latest) == (at("17:30"), at("22:10"))
    assert task.is_reading


def test_a_strip_that_has_lapsed_or_was_read_asks_for_nothing() -> None:
    """Whether or not the record says so yet."""
    bench = Bench()
    bench.to_well(applied="2:30")

    assert hands_of(bench, "22:30").tasks
    assert hands_of(bench, "22:30.001").tasks == ()


def test_a_soft_limit_that_has_passed_binds_nobody_any_more() -> None:
    """The deviation will be on record; the step is still to be done, and the strip to be read."""
    bench = Bench()
    in_buffer(bench)
    (task, reading) = hands_of(bench, "4:21").tasks

    assert (task.latest, task.is_late) == (FAR, True)
    assert not reading.is_late
    assert reading.ties[0].most is not None


def test_a_firm_limit_that_has_passed_leaves_nothing_to_do() -> None:
    """The next step would be refused; what is left is to void the cartridge."""
    bench = Bench(within("2:00"))
    in_buffer(bench)

    assert hands_of(bench, "3:20").tasks
    assert hands_of(bench, "3:20.001").tasks == ()


def test_a_strip_whose_clock_is_unsure_is_left_out_and_named() -> None:
    """Nobody knows when it is to be read, so nothing can be promised about it."""
    bench = Bench()
    cartridge = bench.to_well(applied="2:30")
    unsure = replace(cartridge, unsure=True)
    board = replace(bench.board, running={cartridge.id: unsure})
    works = {key: work_of(each.assay) for key, each in board.assays.items()}
    found = bench_now(board.running.values(), works, 1, at("3:00"))

    assert found.bench.tasks == ()
    assert found.left_out == (unsure,)


def test_whoever_has_gone_on_to_another_is_no_longer_in_the_middle_of_the_first() -> None:
    """What is left of it is still to be done, and by anybody."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    bench.label("C2", "P-002", "0:20")
    found = hands_of(bench, "0:30")

    assert found.hands[0].on == ("id-C2", 0)
    assert ("id-C1", 0) in [task.key for task in found.tasks]


def test_operators_are_known_by_what_they_did_last_and_others_by_none() -> None:
    """With fewer hands than names the latest are taken: the others have left."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    bench.must(bench.label_act("C2", "P-002", by="op-2"), "0:05")

    assert [hand.name for hand in hands_of(bench, "0:10", 3).hands] == [
        "key-op-2",
        "key-op-1",
        "",
    ]
    (only,) = hands_of(bench, "0:10", 1).hands
    assert only.on == ("id-C2", 0)


def test_a_break_belongs_to_the_operator_it_names() -> None:
    """Known by their work or not."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    pause = Break(since=at("5:00"), until=at("20:00"))
    both = {"key-op-1": [pause], "key-op-2": [pause]}

    found = taken(bench, "0:10", 3, both).bench.hands
    assert [(hand.name, hand.breaks) for hand in found] == [
        ("key-op-1", (pause,)),
        ("key-op-2", (pause,)),
        ("", ()),
    ]
    assert [hand.name for hand in taken(bench, "0:10", 1, both).bench.hands] == ["key-op-1"]
