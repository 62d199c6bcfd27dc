"""The first start, answered on a terminal: nine questions, and then there is a bay."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.board.events import BayFounded, Mode
from readbell.core.people.events import OperatorRegistered
from readbell.core.stock.events import LotOpened, LotReceived

if TYPE_CHECKING:
    from pathlib import Path

    from board_program.bench import Bench
    from board_program.conftest import Place

QUESTIONS = (
    ("What is this bay called?", "Harrow Quay", ("x" * 121,)),
    ("Time zone of the site", "Europe/London", ("Mars/Base",)),
    ("Your operator ID", "op-Quillfeather", ("",)),
    ("Which assay do you run?", "{number}", ("0", "99", "quick", "\u0661")),
    ("Which version of the instructions", "rev 4", ("",)),
    ("Do all figures agree?", "yes", ("y", "")),
    ("Lot number on the box", "L-204", ("",)),
    ("Good to the end of which day?", "2099-12-31", ("31.12.2099", "2020-01-01", "2099-02-30")),
    ("How many units are in the box?", "25", ("many", "0", "-5", "1e3")),
)
"""What is asked, what is answered, and wrong answers."""
BEGINS = {asks: asks for asks, _, _ in QUESTIONS} | {
    "Which version of the instructions": "Hold every figure of it"
}
"""How each question begins, where that is not what is waited for."""


def first_start(place: Place, *options: str) -> Bench:
    """Start the program where there is no journal yet."""
    return place.board(*options, until=("What is this bay called?", "\n>"))


def number_of_quick(bench: Bench) -> str:
    """The number under which the assay of these tests stands on the list."""
    row = next(row for row in bench.rows if "A strip of seconds" in row)
    return row.split()[0]


def is_asked(bench: Bench, words: str) -> bool:
    """Whether a question stands there and waits."""
    rows = [row for row in bench.rows if row]
    place = [n for n, row in enumerate(rows) if words in row]
    return bool(place) and rows[-1] == ">"


def answer(bench: Bench, asks: str, text: str) -> None:
    """Wait for a question and answer it."""
    bench.until(lambda: is_asked(bench, asks))
    bench.type_line(text.format(number=number_of_quick(bench) if "{" in text else ""))


def test_nine_answers_make_a_bay_and_stand_in_its_journal(place: Place) -> None:
    """Under three minutes is a matter of count; the work begins with the alarm."""
    bench = first_start(place)
    assert "Nine short questions" in bench.picture
    assert "does not exclude infection" in bench.picture
    assert len(QUESTIONS) <= 9
    for asks, text, _ in QUESTIONS:
        answer(bench, asks, text)
    bench.until_seen("Work begins with the alarm", "[Sound]", "Harrow Quay", "op-Quillfeather")

    rung = bench.bells
    bench.press_for("f3", "The alarm rings. F8: heard. F6: not heard.")
    bench.until(lambda: bench.bells > rung)
    bench.press_for("f8", "Alarm tested: heard.")
    bench.press_for("f9", "Nothing runs. F2 starts the first patient.")
    bench.leave()

    events = place.events()
    (founded,) = (each for each in events if isinstance(each, BayFounded))
    assert (founded.bay, founded.timezone) == ("Harrow Quay", "Europe/London")
    assert founded.mode is Mode.LIVE
    (operator,) = (each for each in events if isinstance(each, OperatorRegistered))
    assert operator.operator.value == "op-Quillfeather"
    (lot,) = (each for each in events if isinstance(each, LotReceived))
    assert (lot.number, str(lot.expires), lot.units) == ("L-204", "2099-12-31", 25)
    assert any(isinstance(each, LotOpened) for each in events)
    board = place.kept()
    assert [each.assay.id for each in board.assays.values()] == ["quick"]
    assert [each.instructions_version for each in board.assays.values()] == ["rev 4"]
    assert board.alarm_test is not None


def test_each_wrong_answer_gets_one_sentence_and_the_question_again(place: Place) -> None:
    """Nobody reads a page about a slip of the keys."""
    bench = first_start(place)
    for asks, text, wrong in QUESTIONS:
        for each in wrong:
            bench.until(lambda asks=asks: is_asked(bench, asks))  # type: ignore[misc]
            bench._screen.reset()  # what comes next stands alone
            bench.type_line(each)
            bench.until(lambda asks=asks: is_asked(bench, asks))  # type: ignore[misc]
            rows = [row for row in bench.rows if row and not row.startswith(">")]
            asked_from = next(n for n, row in enumerate(rows) if BEGINS[asks] in row)
            said = " ".join(rows[:asked_from])
            assert said.endswith("."), said
            assert asked_from <= 3, said  # with what was typed
        answer(bench, asks, text)
    bench.until_seen("Work begins with the alarm")


def test_usual_answers_are_taken_by_enter_alone(place: Place) -> None:
    """The name of the bay and the computer's own time zone are known already."""
    bench = first_start(place)
    for asks, text, _ in QUESTIONS:
        usual = asks.startswith(("What is this bay", "Time zone"))
        answer(bench, asks, "" if usual else text)
    bench.until_seen("Work begins with the alarm", "Bay 1")


@pytest.mark.parametrize("place_in_line", [0, 8])
def test_rehearsal_is_shown_at_any_question_and_nothing_is_kept(
    place: Place, place_in_line: int
) -> None:
    """Whoever wants to see it first sees it, to its end."""
    bench = first_start(place)
    for asks, text, _ in QUESTIONS[:place_in_line]:
        answer(bench, asks, text)
    answer(bench, QUESTIONS[place_in_line][0], "Rehearsal")
    assert bench.wait() == 0

    assert b"READ NOW" in bench.output
    assert not things_kept(place)


@pytest.mark.parametrize(
    ("place_in_line", "how"),
    [(0, "ctrl+c"), (8, "ctrl+c"), (0, "ctrl+d"), (8, "ctrl+d"), (5, "no")],
)
def test_leaving_before_the_end_keeps_nothing(place: Place, place_in_line: int, how: str) -> None:
    """No journal and no lock stands there for the next start to stumble over."""
    bench = first_start(place)
    for asks, text, _ in QUESTIONS[:place_in_line]:
        answer(bench, asks, text)
    bench.until(lambda: is_asked(bench, QUESTIONS[place_in_line][0]))
    bench.give({"ctrl+c": "\x03", "ctrl+d": "\x04", "no": "no\r"}[how])
    assert bench.wait() == 0

    assert "Left before anything was kept." in bench.picture or "Nothing was kept." in bench.picture
    assert "Traceback" not in bench.picture
    assert not things_kept(place)


def things_kept(place: Place) -> list[Path]:
    """What the program left in the folders of this computer, beside what the test put there."""
    return [each for each in place.folder.rglob("*") if each.is_file() and each.suffix != ".toml"]


@pytest.mark.parametrize("sign_in", ["badge", "pin"])
def test_where_people_sign_in_the_first_operator_is_in_and_acts(place: Place, sign_in: str) -> None:
    """Or the bay would be founded by half: nothing that somebody has to be signed in for is taken."""
    place.write_settings(f'[policy]\nsign_in = "{sign_in}"\n')
    bench = first_start(place)
    for asks, text, _ in QUESTIONS:
        answer(bench, asks, text)
        if asks == "Your operator ID" and sign_in == "pin":
            answer(bench, "Your PIN", "2580")
            answer(bench, "Once more.", "2580")
    bench.until_seen("Work begins with the alarm", "op-Quillfeather acts")
    bench.press_for("f9", "Nothing runs. F2 starts the first patient.")
    assert b"2580" not in bytes(bench.output)
    bench.scan_for("L-204", "stands open at the bench")
    bench.leave()

    # The next start signs everybody out, and lets them in again the same way.
    again = place.board(until=("LOCKED",))
    again.scan("op-Quillfeather")
    if sign_in == "pin":
        again.until_seen("PIN of op-Quillfeather")
        again.pause(1)
        again.give_slowly("2580", 0.15)
        again.pause(0.5)
        again.press("enter")
    again.until_seen("op-Quillfeather signed in and acts now.")
