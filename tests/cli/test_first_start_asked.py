"""The questions of a first start, asked line by line on any terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.assembly import shelf
from readbell.cli import first_start
from readbell.cli.first_start import NotStartedError, RehearseFirst, ask_all, founding_for
from readbell.hand.first_start import FirstQuestion

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

QUESTIONS = (
    FirstQuestion(key="bay", asks="Called?", accepts=lambda _: None, usual="Bay 1"),
    FirstQuestion(
        key="checked", asks="Agree?", accepts=lambda text: None if text in ("yes", "no") else "Say."
    ),
)


def typing(*lines: str) -> Callable[[str], str]:
    """Somebody who types these lines, and then has gone."""
    left = iter(lines)

    def read(_: str) -> str:
        try:
            return next(left)
        except StopIteration:
            raise EOFError from None

    return read


def test_enter_takes_the_usual_answer_and_a_wrong_one_is_asked_again(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """With the reason, on a line of its own."""
    said = ask_all(QUESTIONS, typing("", "perhaps", " yes "))
    shown = capsys.readouterr()

    assert said == {"bay": "Bay 1", "checked": "yes"}
    assert "Called? [Bay 1]" in shown.out
    assert shown.err == "Say.\n"


def test_figures_that_do_not_agree_found_no_bay() -> None:
    """What to do instead is told."""
    with pytest.raises(NotStartedError, match="Nothing was kept"):
        ask_all(QUESTIONS, typing("", "no"))


def test_whoever_leaves_has_kept_nothing() -> None:
    """By the end of input or Ctrl+C."""

    def stop(_: str) -> str:
        raise KeyboardInterrupt

    for read in (typing(), stop):
        with pytest.raises(NotStartedError, match="Left before"):
            ask_all(QUESTIONS, read)


def test_a_rehearsal_may_be_asked_for_at_any_question() -> None:
    """Before anything is decided."""
    with pytest.raises(RehearseFirst):
        ask_all(QUESTIONS, typing("", "Rehearsal"))


def test_an_old_bay_asks_nothing(tmp_path: Path) -> None:
    """Its journal says what it is."""
    journal = tmp_path / "bay.journal"
    journal.touch()

    assert founding_for(journal, shelf())[1] == ()


def test_a_new_bay_is_founded_by_its_answers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All nine, in order."""
    said = ("Harrow Quay", "Europe/London", "op-1", "1", "v3", "yes", "L-100", "2999-12-31", "40")
    monkeypatch.setattr(first_start, "ask_all", lambda questions: ask_all(questions, typing(*said)))
    founding, requests = founding_for(tmp_path / "bay.journal", shelf())

    assert (founding.bay, founding.timezone) == ("Harrow Quay", "Europe/London")
    assert len(requests) == 4


def test_what_is_to_be_checked_is_shown_and_what_an_answer_says_beside_itself_is_not_asked(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The figures come before the question about them; the day stands in the code of the box."""
    questions = (
        FirstQuestion(key="assay", asks="Which?", accepts=lambda _: None),
        FirstQuestion(
            key="lot",
            asks="Lot?",
            accepts=lambda _: None,
            shows=lambda said: f"Figures of {said['assay']}:\n  Read 15:00 to 20:00",
            means=lambda text: {"lot": text[:2], "expires": text[2:]},
        ),
        FirstQuestion(key="expires", asks="Until when?", accepts=lambda _: None),
        FirstQuestion(key="units", asks="How many?", accepts=lambda _: None),
    )
    said = ask_all(questions, typing("1", "L12027-12-31", "20"))
    shown = capsys.readouterr().out

    assert said == {"assay": "1", "lot": "L1", "expires": "2027-12-31", "units": "20"}
    assert shown.index("Figures of 1:\n  Read 15:00 to 20:00\n") < shown.index("Lot?")
    assert "Until when?" not in shown
    assert "By its code: lot L1, good to 2027-12-31. Hold it against the box." in shown


def test_no_line_is_wider_than_the_terminal_where_words_can_be_parted(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A terminal breaks a word in the middle; the cautions are read once, and have to be readable."""
    monkeypatch.setenv("COLUMNS", "60")
    ask_all(QUESTIONS, typing("", "yes"))

    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines())) < 60
    assert "A negative does not exclude infection." in " ".join(shown.split())


def test_what_is_said_of_a_wrong_answer_and_at_the_end_is_laid_in_lines_too(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A word that a terminal broke in two is read wrongly, above all by whoever is to do what it says."""
    monkeypatch.setenv("COLUMNS", "50")
    questions = (
        FirstQuestion(
            key="checked",
            asks="Agree?",
            accepts=lambda text: None if text == "no" else "Type yes or no, " * 5,
        ),
    )
    with pytest.raises(NotStartedError) as left:
        ask_all(questions, typing("perhaps", "no"))

    refused = capsys.readouterr().err.splitlines()
    assert max(map(len, (*refused, *str(left.value).splitlines()))) < 50
    assert "'readbell assay ID --copy our-kit' copies" in " ".join(str(left.value).split())


SECRET = FirstQuestion(
    key="pin", asks="Your PIN?", accepts=lambda text: None if text != "1" else "No.", is_secret=True
)


def test_a_secret_is_asked_twice_unseen_until_both_are_the_same(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A slip of the keys would lock the first operator out of their own bay."""
    unseen = typing("1", "2580", "2508", "2580", "2580")
    said = ask_all((*QUESTIONS, SECRET), typing("", "yes"), unseen)
    shown = capsys.readouterr()

    assert said["pin"] == "2580"
    assert shown.err == "No.\nThose were two. Type it again.\n"
    assert "2580" not in shown.out


def test_whoever_leaves_amid_a_secret_has_kept_nothing() -> None:
    """As at any other question."""
    with pytest.raises(NotStartedError, match="Left before"):
        ask_all((*QUESTIONS, SECRET), typing("", "yes"), typing("2580"))


def test_how_many_questions_there_are_is_said_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    """Ten where a PIN is chosen."""
    ten = tuple(FirstQuestion(key=str(n), asks="?", accepts=lambda _: None) for n in range(10))
    ask_all(ten, typing(*"abcdefghij"))
    assert "Ten short questions" in capsys.readouterr().out
