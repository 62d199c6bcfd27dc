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
