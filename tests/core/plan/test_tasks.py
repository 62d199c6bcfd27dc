"""What is left to do on one cartridge, and by when: the figures are those of the bundled assay."""

from __future__ import annotations

from dataclasses import replace

from builders import NASAL, at, span
from core.plan.kits import BARE, bench, new, reading_in
from readbell.core.assay.step import Wait
from readbell.core.instant import Span
from readbell.core.plan.arranging import arrange
from readbell.core.plan.bench import FAR, LONG_AGO, Task
from readbell.core.plan.hands_on import READING
from readbell.core.plan.tasks import Known, tasks_of
from readbell.core.plan.work import Work, work_of


def pouched(until: str, most: str) -> Work:
    """Return the work with a limit on how long the pouch may have been open."""
    wait = Wait(until=until, most=span(most))
    steps = (replace(NASAL.steps[0], wait=wait), *NASAL.steps[1:])
    return work_of(replace(NASAL, steps=steps), gloves=BARE)


def left(work: Work, **done: str) -> tuple[Task, ...]:
    """Return what is left once these steps were done then."""
    known = {step: Known(earliest=at(when), latest=at(when)) for step, when in done.items()}
    return tasks_of(work, "C1", "P-001", known)


def test_of_somebody_new_everything_is_left_and_hangs_on_what_goes_before() -> None:
    """Nothing has an instant yet, and nothing could spoil."""
    first, second, reading = new(work_of(NASAL))

    assert (first.ready, first.latest, first.ties) == (LONG_AGO, FAR, ())
    assert [tie.after for tie in (*second.ties, *reading.ties)] == [first.key, second.key]
    assert reading.parts == (READING,)


def test_within_a_piece_only_its_rest_is_left() -> None:
    """With the time that the rest takes."""
    (rest, _, _) = left(work_of(NASAL), label="0:00", buffer="0:10")

    assert rest.parts == ("collect", "extract")
    assert rest.hands.usual == span("1:10")


def test_a_limit_that_ends_within_the_rest_leaves_room_for_what_goes_before() -> None:
    """The pouch has been open since 0:00; the drops must be on the well at 4:00."""
    second = left(
        pouched("apply", "4:00"), label="0:00", buffer="0:10", collect="0:55", extract="1:20"
    )[0]

    # 4:00 less the withdrawal (13.333 s) and the drops (26.667 s) at their longest.
    assert second.latest == at("3:20")
    rest = left(
        pouched("apply", "4:00"),
        label="0:00",
        buffer="0:10",
        collect="0:55",
        extract="1:20",
        withdraw="2:20",
    )[0]
    assert (rest.parts, rest.latest) == (("apply",), at("3:33.333"))


def test_a_limit_within_one_piece_binds_once_it_has_begun() -> None:
    """From the label to the swab in the buffer, say."""
    work = pouched("extract", "3:00")

    assert left(work)[0].latest == FAR
    rest = left(work, label="0:00", buffer="0:10")[0]
    # 3:00 less the swab (60 s) and its rolling (33.333 s).
    assert rest.latest == at("1:26.667")


def test_a_window_with_no_stated_close_leaves_the_reading_any_time() -> None:
    """Such a strip may be read at any time after its opening."""
    steps = dict.fromkeys((step.key for step in NASAL.steps), "2:00")
    (reading,) = left(work_of(reading_in("15:00", None)), **steps)

    assert (reading.ready, reading.latest) == (at("17:00"), FAR)


def test_what_a_task_hung_on_becomes_instants_once_that_has_ended() -> None:
    """And the other ties stay."""
    chain = new(pouched("apply", "9:00"))
    untied = chain[1].untied(chain[0].key, at("2:00"))

    assert untied.ties == ()
    assert untied.ready == at("3:00")
    assert chain[2].untied(chain[0].key, at("2:00")) is chain[2]


def test_what_hangs_on_two_pieces_comes_after_both() -> None:
    """Four pieces, and a limit from the first to the third."""
    waits = {
        "withdraw": Wait(until="apply", least=span("0:30")),
        "label": Wait(until="apply", most=span("9:00")),
    }
    steps = tuple(replace(step, wait=waits.get(step.key, step.wait)) for step in NASAL.steps)
    chain = new(work_of(replace(NASAL, steps=steps), gloves=Span(0)))

    assert [len(task.ties) for task in chain] == [0, 1, 2, 1]
    assert arrange(bench(chain)) == (chain,)
