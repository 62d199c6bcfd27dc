"""A trainee steers the clock, never the world: what is taken, when, and what is kept of it."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

from readbell.core.practice.assist import Assist
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.hand.doing import Judging, Leaving, Visiting, Watching
from readbell.hand.given import Key, Pressed, Scanned, Steer, Steered
from readbell.phrases.bench_words import (
    IT_STANDS_STILL,
    NO_LEAP_HERE,
    NO_SPEED,
    NOBODY_ASKED,
    NOTHING_COMES,
    WANTS_WORDS,
)
from readbell.rehearsals import events_in
from rehearsal.attempts import FAINT, HEAD, STRIPS, Sitting, person

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from readbell.hand.given import Given

GO, STILL = Steered(Steer.SPEED), Steered(Steer.SPEED)
ONWARD = Steered(Steer.ONWARD)
SECOND = 1_000
QUESTION = """\
[[interruption]]
at = "1:00"
kind = "question"
says = "Which lot is open?"
answer = "L-100"
"""
START = (Scanned("L-100"), Pressed(Key.START), Scanned("P-001"), Pressed(Key.START))
FIRST = (Scanned("C01"), Scanned("C01"), Pressed(Key.DONE))
"""The device is labelled, then its first steps are offered, then they are done."""


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of these bays may land in the folders of whoever runs the tests."""
    for name in ("STATE", "CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(tmp_path / name))


@contextmanager
def sitting(
    folder: Path,
    *tables: str,
    assist: Assist = Assist.FULL,
    name: str = "day",
    takes_time: bool = False,
) -> Iterator[Sitting]:
    """Sit down before a scenario of these tables; its clock goes at the speed of life."""
    file = folder / f"{name}.toml"
    file.write_text(HEAD + "".join(tables or (person("P-001", bands=FAINT),)), encoding="utf-8")
    found = Sitting(file, folder / f"{name}.journal", assist, takes_time=takes_time)
    try:
        yield found
    finally:
        found.leave()


def test_it_begins_standing_still_and_tells_the_goal(tmp_path: Path) -> None:
    """Nobody loses time by reading what is asked of them."""
    with sitting(tmp_path) as found:
        assert found.clock.speed == 0
        assert "stands still" in found.bench_words()
        assert "Goal: Read both in their windows. F7 begins." in found.bench_words()


def test_nothing_that_changes_anything_is_taken_while_the_clock_stands_still(
    tmp_path: Path,
) -> None:
    """An act takes time; one that takes none would be practice of nothing."""
    with sitting(tmp_path) as found:
        for given in (Scanned("L-100"), Pressed(Key.START), Pressed(Key.DONE), Pressed(Key.VOID)):
            assert found.give(given) == IT_STANDS_STILL
        assert found.front.present().scene.board.open_lot is None
        found.give(GO, Scanned("L-100"))
        assert found.front.present().scene.board.open_lot == "L-100"


def test_while_it_stands_still_one_may_look_about_and_leave(tmp_path: Path) -> None:
    """Somebody explains; and two strokes to leave are two, though no time lies between."""
    with sitting(tmp_path) as found:
        found.give(Pressed(Key.ROOMS))
        assert isinstance(found.front.present().hand.doing, Visiting)
        found.give(Pressed(Key.RIGHT), Pressed(Key.BACK))
        assert found.front.present().hand.doing == Watching()
        found.give(Pressed(Key.LEAVE))
        assert isinstance(found.front.present().hand.doing, Leaving)
        assert not found.front.left.is_set()
        found.give(Pressed(Key.LEAVE))
        assert found.front.left.is_set()


@pytest.mark.parametrize(("typed", "speed"), [("4", 4), ("20", 20), ("60", 60), ("0", 0), ("", 1)])
def test_a_number_before_the_key_is_the_speed(tmp_path: Path, typed: str, speed: int) -> None:
    """Typed as minutes are typed before F3."""
    with sitting(tmp_path) as found:
        found.give(Steered(Steer.SPEED, typed))
        assert found.clock.speed == speed


@pytest.mark.parametrize("typed", ["61", "-1", "x4", "4.5", "\u0664", "P-001"])
def test_what_is_no_speed_changes_none(tmp_path: Path, typed: str) -> None:
    """It is said what would be one."""
    with sitting(tmp_path) as found:
        assert found.give(Steered(Steer.SPEED, typed)) == NO_SPEED
        assert found.clock.speed == 0


def test_the_key_alone_goes_on_as_fast_as_before(tmp_path: Path) -> None:
    """A pause is a pause."""
    with sitting(tmp_path) as found:
        found.give(Steered(Steer.SPEED, "20"), STILL)
        assert found.clock.speed == 0
        found.give(GO)
        assert found.clock.speed == 20


def test_the_leap_goes_from_one_thing_that_happens_to_the_next(tmp_path: Path) -> None:
    """Who comes, what breaks in, what falls due: none is passed over."""
    tables = (person("P-001"), person("P-002", "3:00"), QUESTION)
    with sitting(tmp_path, *tables) as found:
        found.give(ONWARD)
        assert found.clock.passed == 60 * SECOND
        found.give(ONWARD)
        assert found.clock.passed == 180 * SECOND
        assert found.give(ONWARD) == NOTHING_COMES


def test_the_leap_stops_where_a_wait_is_over(tmp_path: Path) -> None:
    """There is the next thing to do; it is refused to leap over what is called."""
    with sitting(tmp_path) as found:
        found.give(GO, *START, *FIRST, STILL)
        before = found.clock.passed
        found.give(Steered(Steer.SPEED, "+"))
        assert 59 * SECOND < found.clock.passed - before <= 60 * SECOND
        assert found.give(ONWARD).startswith("C01 calls")
        assert 59 * SECOND < found.clock.passed - before <= 60 * SECOND


def test_in_an_examination_nothing_leaps_while_a_cartridge_runs(tmp_path: Path) -> None:
    """A leap lands where something falls due, and would tell when that is."""
    tables = (person("P-001"), person("P-002", "3:00"))
    with sitting(tmp_path, *tables, assist=Assist.SILENT) as found:
        found.give(ONWARD)
        assert found.clock.passed == 180 * SECOND
        found.give(GO, *START, *FIRST, STILL)
        assert found.give(ONWARD) == NO_LEAP_HERE
        assert found.clock.passed < 190 * SECOND


def test_a_question_takes_no_key_and_no_place_and_waits_for_words(tmp_path: Path) -> None:
    """It breaks in as a call does; what is typed for it goes to it and nowhere else."""
    with sitting(tmp_path, person("P-001"), QUESTION) as found:
        found.give(GO)
        assert found.give(Steered(Steer.ANSWER, "L-100")) == NOBODY_ASKED
        found.at(60 * SECOND, Scanned("L-100"), Pressed(Key.START))
        assert "QUESTION" in found.bench_words()
        assert found.give(Steered(Steer.ANSWER)) == WANTS_WORDS
        assert found.give(Steered(Steer.ANSWER, "L-100")) == "Noted."
        assert "QUESTION" not in found.bench_words()
        assert found.give(Steered(Steer.ANSWER, "L-100")) == NOBODY_ASKED
    (answered,) = (
        each for each in events_in(found.journal) if isinstance(each, InterruptionAnswered)
    )
    assert (answered.number, answered.answer.value) == (1, "L-100")


@pytest.mark.parametrize(("speed", "lasts"), [(1, 30), (4, 30), (20, 120), (60, 360)])
def test_an_answer_can_be_read_however_fast_the_clock_goes(
    tmp_path: Path, speed: int, lasts: int
) -> None:
    """At 60 times the speed of life the half minute of a live board is gone in half a second."""
    with sitting(tmp_path) as found:
        found.give(Steered(Steer.SPEED, str(speed)), Scanned("L-999"))
        at = found.front.present().news.at - found.script.scenario.starts

        def said_after(seconds: int) -> str:
            found.clock.leap(at + seconds * SECOND)
            found.settle()
            return found.said

        assert '"L-999" is nothing we know.' in said_after(lasts * 2 // 3)
        assert said_after(lasts + 5) == ""


def test_everything_that_is_asked_stands_in_the_journal(tmp_path: Path) -> None:
    """With its instant: what a replay and a debrief are made from."""
    with sitting(tmp_path, assist=Assist.ALARMS) as found:
        found.give(Steered(Steer.SPEED, "4"), *START, *FIRST, STILL, ONWARD)
    events = events_in(found.journal)
    begun = next(each for each in events if isinstance(each, PracticeBegun))
    assert begun.assist is Assist.ALARMS
    assert begun.scenario == found.script.digest.hex()
    acted = [each for each in events if isinstance(each, PracticeActed)]
    assert len(acted) == 4  # box, party, label, steps
    assert all(each.done <= each.at for each in acted)
    assert [each.speed for each in events if isinstance(each, SpeedSet)] == [4, 0]
    assert len([each for each in events if isinstance(each, LeaptAhead)]) == 1


def test_who_comes_is_not_known_before_and_their_papers_are(tmp_path: Path) -> None:
    """A trainee enters people as they come; on whom there are papers they stand in the record."""
    known = person("P-002").replace("arrives", 'name = "Ada Vale"\narrives')
    with sitting(tmp_path, person("P-001"), known) as found:
        assert set(found.front.present().scene.board.persons) == {"P-002"}
        assert "2 together, P-001 / P-002 (Ada Vale)" in found.bench_words(200, 60)


def test_hands_take_their_time_and_the_clock_runs_on_to_its_end(tmp_path: Path) -> None:
    """Labelling, then three steps in one act: a minute and a half, and a moment of the trainee's."""
    with sitting(tmp_path, takes_time=True) as found:
        found.give(GO, *START, *FIRST)
        (cartridge,) = found.front.present().scene.board.running.values()
        swab = next(each.done.latest for each in cartridge.marks if each.step == "extract")
        assert cartridge.labelled.at - found.front._starts >= 10 * SECOND
        assert swab - cartridge.labelled.at >= 80 * SECOND
        assert found.clock.passed < 120 * SECOND
        assert found.clock.speed == 1
        assert "hands at work" not in found.bench_words()


OPERATIONS: tuple[tuple[int, tuple[Given, ...]], ...] = (
    (0, START),
    (20, FIRST),
    (50, (Scanned("C01"), Pressed(Key.DONE))),  # too soon: refused
    (90, (Scanned("C01"), Pressed(Key.DONE))),
    (100, (Scanned("C01"), Pressed(Key.DONE))),
    (130, (Pressed(Key.LOOK),)),
    (300, (Pressed(Key.LOOK), Pressed(Key.UP))),
    (310, (Pressed(Key.BACK), Pressed(Key.RIGHT))),
    (320, (Pressed(Key.READ),)),  # too early: refused
    (400, (Pressed(Key.ROOMS),)),
    (410, (Pressed(Key.ROOMS), Pressed(Key.HELP))),
    (420, (Pressed(Key.BACK),)),
    (1_010, (Scanned("C01"),)),
    (1_020, (Pressed(Key.SECOND),)),
    (1_025, (Pressed(Key.SECOND),)),
    (1_030, (Pressed(Key.DOWN),)),
    (1_035, (Pressed(Key.LEFT), Pressed(Key.UP))),
    (1_040, (Pressed(Key.DOWN), Pressed(Key.READ))),
    (1_050, (Scanned("P-009"),)),
    (1_060, (Pressed(Key.UP), Pressed(Key.READ))),
    (1_320, (Pressed(Key.READ),)),
    (1_330, (Scanned("C01"), Scanned("P-001"))),
)
"""Seconds after the start, and what is given then: every page, with refusals."""


def test_no_page_row_form_or_refusal_tells_what_a_strip_shows(tmp_path: Path) -> None:
    """The trainee reads; whatever helps them is the same for every strip there could be."""
    told: dict[str, list[str]] = {}
    benches: dict[str, str] = {}
    for name, bands in STRIPS.items():
        with sitting(tmp_path, person("P-001", bands=bands), name=name) as found:
            found.clock.leap(0)
            found.give(GO)
            pages = []
            for seconds, given in OPERATIONS:
                # Steered to the second, so that no page differs for a millisecond.
                found.clock.go_at(0)
                found.clock.leap(seconds * SECOND)
                found.settle()
                found.front._clock = Frozen(found.clock)
                for each in given:
                    found.front.process(each)
                    for size in ((80, 24), (120, 40)):
                        pages += [line.text for line in found.page(*size)]
                    pages.append(found.said)
                if seconds == 1_010:
                    benches[name] = found.bench_words()
                found.front._clock = found.clock
            told[name] = pages
            assert any("Control line" in each for each in pages)
    first = told.pop("negative")
    for name, pages in told.items():
        differs = [(one, other) for one, other in zip(first, pages, strict=True) if one != other]
        assert not differs, (name, differs[:3])
    # And the strips themselves did differ, or this would say nothing.
    assert len({benches[each] for each in STRIPS}) == len(STRIPS)


class Frozen:
    """A clock that says it goes, and stands: so every page of two attempts has one instant."""

    speed = 1

    def __init__(self, clock: object) -> None:
        self._clock = clock

    def go_at(self, speed: int) -> None:
        """Not here."""

    def leap(self, passed: int) -> None:
        """Not here."""

    def race(self, passed: int, speed: int) -> None:
        """Not here."""


def test_in_a_reading_nothing_is_answered_beforehand(tmp_path: Path) -> None:
    """As on the live board: the strip lies there, and the form is empty."""
    with sitting(tmp_path) as found:
        found.give(GO, *START, *FIRST)
        found.at(100 * SECOND, Scanned("C01"), Pressed(Key.DONE))
        found.at(110 * SECOND, Scanned("C01"), Pressed(Key.DONE))
        found.at(1_100 * SECOND, Scanned("C01"))
        doing = found.front.present().hand.doing
        assert isinstance(doing, Judging)
        assert (doing.control, doing.lines, doing.unreadable, doing.person) == (
            None,
            (),
            None,
            None,
        )
