"""What one pair of hands has before it: earliest and latest times of each piece of work."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import NASAL, START, at, span
from readbell.core.instant import later
from readbell.core.rehearsal.workload import (
    FAR,
    READING,
    Gloves,
    Job,
    after_piece,
    effort,
    missed,
    next_ready,
    pick,
)

if TYPE_CHECKING:
    from readbell.core.assay.assay import Assay

STEPS = [step.key for step in NASAL.steps]


def job(done: dict[str, str] | None = None, *, number: int = 1, assay: Assay = NASAL) -> Job:
    """Return a cartridge whose steps ended when `done` says."""
    return Job(
        cartridge=f"C{number}",
        person=f"P-00{number}",
        assay=assay,
        order=number,
        begun=START,
        done={} if done is None else {key: at(when) for key, when in done.items()},
    )


def in_buffer(extracted: str = "1:30", *, number: int = 1, assay: Assay = NASAL) -> Job:
    """Return a cartridge whose swab stands in the buffer."""
    done = dict.fromkeys(STEPS[:3], "0:00") | {"extract": extracted}
    return job(done, number=number, assay=assay)


def on_the_well(applied: str = "3:00", *, number: int = 1, assay: Assay = NASAL) -> Job:
    """Return a cartridge that develops."""
    return job(dict.fromkeys(STEPS[:5], "0:00") | {"apply": applied}, number=number, assay=assay)


def test_a_cartridge_not_begun_is_ready_as_it_is_begun_and_has_no_deadline() -> None:
    """Nothing has been set going that could spoil."""
    assert (job().ready(), job().deadline()) == (START, FAR)


def test_a_swab_in_its_buffer_is_ready_after_its_minute_and_due_within_three() -> None:
    """Both limits of the wait count from the end of the step that began it."""
    assert (in_buffer().ready(), in_buffer().deadline()) == (at("2:30"), at("4:30"))


def test_a_wait_with_no_upper_limit_sets_no_deadline() -> None:
    """An assay need not state one, and then nothing is overdue."""
    steps = tuple(
        replace(step, wait=None if step.wait is None else replace(step.wait, most=None))
        for step in NASAL.steps
    )

    assert in_buffer(assay=replace(NASAL, steps=steps)).deadline() == FAR


def test_a_cartridge_on_the_well_is_ready_and_due_by_its_window() -> None:
    """Opening and close are those of the assay."""
    assert (on_the_well().ready(), on_the_well().deadline()) == (at("18:00"), at("23:00"))


def test_a_window_with_no_stated_close_sets_no_deadline() -> None:
    """Such a strip may be read at any time after its opening."""
    open_ended = replace(NASAL, reading=replace(NASAL.reading, closes=None))

    assert on_the_well(assay=open_ended).deadline() == FAR


def test_a_copy_is_played_out_without_touching_its_original() -> None:
    """The question whether one more person fits must not change the answer."""
    original = in_buffer()
    after_piece(original.copy(), Gloves(), at("3:00"))

    assert "withdraw" not in original.done


@pytest.mark.parametrize(
    ("gloves", "takes"),
    [
        pytest.param(Gloves(), "0:10", id="fresh hands"),
        pytest.param(Gloves(person="P-001"), "0:10", id="the same person"),
        pytest.param(Gloves(person="P-002"), "0:30", id="another person before"),
    ],
)
def test_fresh_gloves_add_to_the_effort(gloves: Gloves, takes: str) -> None:
    """They are changed only between two people's specimens."""
    assert effort(in_buffer(), gloves) == span(takes)


def test_a_reading_needs_no_fresh_gloves() -> None:
    """Eyes touch no specimen."""
    assert effort(on_the_well(), Gloves(person="P-002")) == span("0:15")


def test_a_piece_that_touches_no_specimen_leaves_the_gloves_as_they_were() -> None:
    """Labelling one person's cartridge does not clean the hands of the last one's swab."""
    gloves = after_piece(job(number=2), Gloves(person="P-001", cartridge="C1"), at("0:10"))

    assert gloves == Gloves(person="P-001", cartridge="C2")


def test_a_reading_is_noted_as_done() -> None:
    """Otherwise the hands would read one strip for ever."""
    read = on_the_well()
    after_piece(read, Gloves(), at("18:15"))

    assert read.done[READING] == at("18:15")


def test_nothing_ready_is_nothing_to_pick() -> None:
    """Hands do not touch a swab before its minute."""
    assert pick([in_buffer(), on_the_well()], Gloves(), at("2:29.999")) is None


def test_the_work_begun_is_gone_on_with() -> None:
    """A swab in the hand goes before everything, even before a window about to close."""
    begun = job({"label": "22:00"}, number=2)

    assert pick([on_the_well(), begun], Gloves(cartridge="C2"), at("22:00")) is begun


def test_a_wait_ends_the_unbroken_work() -> None:
    """While the swab stands in the buffer the hands are free for others."""
    well, waiting = on_the_well(), in_buffer("18:00", number=2)

    assert pick([well, waiting], Gloves(cartridge="C2"), at("18:30")) is well


def test_what_must_be_begun_soonest_is_picked() -> None:
    """A deadline counts less the effort it takes to meet it."""
    later_due, sooner_due = on_the_well("3:00"), in_buffer("16:50", number=2)

    assert pick([later_due, sooner_due], Gloves(), at("18:00")) is sooner_due


def test_a_tie_goes_to_the_one_begun_first() -> None:
    """Two runs of one day must pick alike."""
    second, first = on_the_well(number=2), on_the_well(number=1)

    assert pick([second, first], Gloves(), at("18:00")) is first


def test_the_next_piece_is_ready_when_the_first_of_them_is() -> None:
    """Hands with nothing ready sleep exactly so long."""
    assert next_ready([on_the_well(), in_buffer()]) == at("2:30")
    assert next_ready([]) == FAR


@pytest.mark.parametrize(
    ("now", "lost"),
    [
        pytest.param("22:45", frozenset(), id="just in time"),
        pytest.param("22:45.001", frozenset({"C1"}), id="a millisecond too late"),
    ],
)
def test_a_reading_that_ends_after_the_close_is_missed(now: str, lost: frozenset[str]) -> None:
    """The reading takes 15 seconds, and its instant is its end."""
    assert missed([on_the_well()], Gloves(), at(now)) == lost


def test_of_two_windows_that_close_together_only_one_may_be_lost() -> None:
    """The play goes on after a miss, and names no cartridge that was kept."""
    pair = [on_the_well(number=1), on_the_well(number=2)]

    assert missed(pair, Gloves(), at("22:40")) == {"C2"}
    assert missed(pair, Gloves(), at("22:30")) == frozenset()


def test_playing_to_the_end_waits_where_nothing_is_ready() -> None:
    """From the buffer to the reading there are two waits, and no deadline is lost in them."""
    assert missed([in_buffer()], Gloves(), later(START, span("1:30"))) == frozenset()
