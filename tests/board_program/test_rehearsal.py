"""A trainee plays a scenario on the real program: from the goal to the debrief, with mistakes."""

from __future__ import annotations

import json
import re
import signal
import subprocess
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.core.board.events import ActRefused, BayFounded, Mode
from readbell.core.cartridge.events import CartridgeRead
from readbell.core.practice.events import PracticeActed, PracticeBegun
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from pathlib import Path

    from board_program.bench import Bench
    from board_program.conftest import Place

SCENARIO = """\
title = "Two at the window"
goal = "read both in their windows"
teaching = "A faint line is a line."
starts = 2026-03-29T00:40:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"
[[operator]]
id = "op-1"
[[lot]]
number = "L-100"
expires = 2026-12-31
[[person]]
id = "P-001"
arrives = "0:00"
[person.bands]
test = { from = "6:30", strength = "very-faint" }
[[person]]
id = "P-002"
arrives = "0:00"
[[interruption]]
at = "30:00"
kind = "question"
says = "A colleague asks which lot is open."
answer = "L-100"
"""
MARK = " REHEARSAL  "


@pytest.fixture
def scenario(place: Place) -> Path:
    """A file with two people, of whom one shows the weakest line there is."""
    file = place.folder / "two.toml"
    file.write_text(SCENARIO, "utf-8")
    place.journal.parent.mkdir(parents=True, exist_ok=True)
    return file


def begin(place: Place, scenario: Path, *options: str, size: tuple[int, int] = (120, 40)) -> Bench:
    """Open the rehearsal and let its clock go as in life."""
    words = ["rehearse", str(scenario), "--journal", str(place.journal), *options]
    bench = place.start([*place.program, *words], size=size)
    goal = "Goal: do the work" if "silent" in options else "Goal: read both in their windows."
    bench.until_seen(goal, "F7 begins.", "stands still")
    bench.press_for("f7", MARK + "x1  ")
    return bench


def at_speed(bench: Bench, speed: int) -> None:
    """Type a speed and press the key for it."""
    bench.pause(0.2)
    bench.give(str(speed))
    bench.press_for("f7", f"{MARK}x{speed}  ")


def label(bench: Bench, person: str, name: str) -> None:
    """Open a pouch for `person`, label the device and do what comes before the wait."""
    bench.scan_for(person, "Only now: open one pouch")
    bench.scan_for(name, f"ok {name}  labelled for {person}", f"{name} on the bench")
    bench.scan_for(name, "Swab into the buffer]")
    bench.press_for("f3", "3 steps in one act")


def drops(bench: Bench, name: str) -> None:
    """Squeeze the swab out and let the drops fall."""
    bench.scan_for(name, "withdraw the swab]")
    bench.press("f3")
    bench.until(lambda: bench.answer.startswith(f"ok {name}"))
    bench.scan_for(name, "[Drops onto the well]")
    bench.press_for("f3", "Drops onto the well: done.")


def leap_to(bench: Bench, name: str, word: str) -> None:
    """Leap from one thing to the next until `word` is called for a cartridge."""
    for _ in range(6):
        if word in bench.row_of(name):
            return
        before = bench.picture
        bench.press("f11")
        bench.until(lambda before=before: bench.picture != before)  # type: ignore[misc]
        bench.until_it_has_settled()
    bench.until(lambda: word in bench.row_of(name))


def minutes_in(row: str) -> int:
    """Return how many whole minutes the figure of `row` says have gone by."""
    found = re.search(r"\+(\d+):\d\d", row)
    return int(found[1]) if found else 0


def answer_no_line(bench: Bench, name: str) -> None:
    """Say of the strip in hand that its control line is there, and no other."""
    bench.scan_for(name, "Control line C", "Test line T")
    bench.press("up")
    bench.press_for("down", "NEGATIVE")


def test_a_trainee_plays_from_the_goal_to_the_debrief_with_mistakes(
    place: Place, scenario: Path
) -> None:
    """Each mistake is kept and told, and the same session comes to the same once more."""
    bench = begin(place, scenario, "--trainee", "Quillfeather")
    bench.scan_for("L-100", "stands open at the bench")
    bench.press_for("f2", "Scan each person in the order of swabbing")
    bench.scan("P-001", "P-002")
    bench.until_seen("2: P-002. Read it back.")
    bench.press_for("f2", "Entered. First: P-001.")
    label(bench, "P-001", "C01")
    bench.scan_for("C01", "withdraw the swab]")
    bench.press("f3")  # the first mistake: far too soon
    bench.until(lambda: bench.answer.startswith("no C01 has been in buffer"))
    bench.press_for("escape", "Back at the board")
    label(bench, "P-002", "C02")
    leap_to(bench, "C01", "WAIT OVER")
    drops(bench, "C01")
    leap_to(bench, "C02", "WAIT OVER")
    drops(bench, "C02")

    assert bench.bells >= 1
    at_speed(bench, 20)
    at_speed(bench, 1)  # at 20 a machine that is held up would pass the window by
    leap_to(bench, "C01", "READ NOW")
    assert "·" in bench.picture.split(MARK)[1]  # the weakest line, drawn
    answer_no_line(bench, "C01")
    bench.scan("P-002")  # the second: somebody else's ID
    bench.until(lambda: bench.answer.startswith("no C01 is not this person's"))
    bench.press_for("escape", "Nothing was saved of this look")
    answer_no_line(bench, "C01")  # the third: a line that is there
    bench.scan_for("P-001", "same person as on C01")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith("ok C01  read"))
    leap_to(bench, "C02", "READ NOW")
    answer_no_line(bench, "C02")
    bench.scan_for("P-002", "same person as on C02")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith("ok C02  read"))
    bench.press_for("f11", "QUESTION", "which lot is open")
    bench.give("L-100")
    bench.press_for("f10", "Nothing is left to do")
    bench.leave()

    said = bytes(bench.output).decode(errors="replace").split("Work is")[-1]
    assert "REHEARSAL" in said
    assert "Two at the window" in said
    events = place.events()
    assert next(each for each in events if isinstance(each, BayFounded)).mode is Mode.REHEARSAL
    begun = next(each for each in events if isinstance(each, PracticeBegun))
    assert begun.trainee is not None
    assert begun.trainee.value == "Quillfeather"
    refused = [each.code for each in events if isinstance(each, ActRefused)]
    assert refused == [RefusalCode.WAIT_NOT_OVER, RefusalCode.WRONG_PERSON]
    read = [each for each in events if isinstance(each, CartridgeRead)]
    assert [each.outcome for each in read] == [Outcome.NEGATIVE] * 2
    acted = [each for each in events if isinstance(each, PracticeActed)]
    assert len(acted) == 15

    again = place.folder / "again.journal"
    words = ["rehearse", str(scenario), "--unattended", "--json", "--journal", str(again)]
    replayed = subprocess.run(
        [*place.program, *words, "--replay", str(place.journal)],
        env=place.whole_environment,
        capture_output=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    assert replayed.returncode == 0, replayed.stderr
    report = json.loads(replayed.stdout)
    assert [each["outcome"] for each in report["cartridges"]] == ["negative", "negative"]
    assert [each["refusal"] for each in report["acts"] if each["refusal"]] == [
        "wait-not-over",
        "wrong-person",
    ]


def test_an_examination_neither_rings_nor_calls(place: Place, scenario: Path) -> None:
    """The row says what was done and since when; what is due is for the trainee to know."""
    bench = begin(place, scenario, "--assist", "silent")
    bench.scan_for("L-100", "stands open at the bench")
    bench.press_for("f2", "Scan each person in the order of swabbing")
    bench.scan_for("P-001", "1: P-001. Read it back.")
    bench.press_for("f2", "Only now: open one pouch")
    bench.scan_for("C01", "labelled for P-001")
    bench.scan_for("C01", "Swab into the buffer]")
    bench.press_for("f3", "3 steps in one act")
    bench.press_for("f11", "nothing leaps while a cartridge runs")
    at_speed(bench, 60)
    # Its minute is over, and its three are: no row says so.
    bench.until(lambda: minutes_in(bench.row_of("C01")) >= 4)
    assert "in buffer" in bench.row_of("C01")
    bench.press_for("f7", "the strip is covered")
    assert "OVERDUE" not in bench.picture
    assert "F8 Heard" not in bench.picture
    bench.press("ctrl+q")
    bench.until_seen("Leave the board")
    bench.press("ctrl+q")
    assert bench.wait() == 0
    assert bench.bells == 0


def test_a_rehearsal_and_a_live_bay_never_share_a_journal(place: Place, scenario: Path) -> None:
    """Neither is ever opened as the other, and nothing of either is touched."""
    place.prepare(persons=("P-0412",))
    before = place.journal.read_bytes()
    words = ["rehearse", str(scenario), "--journal", str(place.journal)]
    refused = place.start([*place.program, *words])
    assert refused.wait() == 2
    assert "a rehearsal begins a new journal" in refused.picture.replace("\n", "")
    assert place.journal.read_bytes() == before
    place.journal.unlink()

    bench = begin(place, scenario)
    bench.leave()
    live = place.start([*place.program, *place.board_words])
    assert live.wait() == 2
    assert "journal is of a rehearsal bay and stays so for ever" in live.picture.replace("\n", "")


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_no_page_of_a_rehearsal_passes_for_work(
    place: Place, scenario: Path, size: tuple[int, int]
) -> None:
    """Board, rooms, forms, help and the question whether to leave: the bar stands under each."""
    bench = begin(place, scenario, size=size)
    for key, words in (
        ("f9", "[Lots]"),
        ("escape", "Back at the board"),
        ("f2", "Who is here"),
        ("escape", "Back at the board"),
        ("f1", "Esc Back"),
        ("escape", "F2 Start"),
        ("ctrl+q", "Leave the board"),
    ):
        bench.press_for(key, words, MARK)
    bench.press_for("f7", "stands still")
    bench.press("ctrl+q")
    assert bench.wait() == 0


def test_the_keys_of_a_rehearsal_do_nothing_on_a_live_board(place: Place) -> None:
    """And none of its keys means anything else here."""
    place.prepare(persons=("P-0412",))
    bench = place.board("--quiet", until=("Ctrl+Q Leave",))
    picture = bench.picture
    for key in ("f7", "f10", "f11"):
        bench.press(key)
    bench.until_it_has_settled()
    assert "REHEARSAL" not in bench.picture
    assert bench.rows[-1] == picture.split("\n")[-1]
    bench.press("escape")
    bench.leave()


@pytest.mark.parametrize("how", ["left", "ended by the system"])
def test_without_a_journal_named_nothing_is_left_behind(
    place: Place, scenario: Path, how: str
) -> None:
    """Practice; and somebody may have typed a real ID by mistake."""
    scratch = place.folder / "scratch"
    scratch.mkdir()
    bench = place.start(
        [*place.program, "rehearse", str(scenario)], environment={"TMPDIR": str(scratch)}
    )
    bench.until_seen("F7 begins.")
    assert [*scratch.rglob("*.journal")]
    if how == "left":
        bench.press_for("ctrl+q", "Leave the board")
        bench.press("ctrl+q")  # its clock stands still, so no stroke is too soon
        assert bench.wait() == 0
        assert "--journal FILE keeps one" in bytes(bench.output).decode()
    else:
        bench.send(signal.SIGTERM)
        assert bench.wait() == 0
    assert not [*scratch.iterdir()]
