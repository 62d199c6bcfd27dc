"""A start leaves rubbish alone, and what stands then is never looked through again."""

from __future__ import annotations

import gc

import pytest

from readbell.cli.main import main
from readbell.cli.starting import SELDOM, USUALLY, make_ready, started, starting


def test_rubbish_is_looked_for_but_seldom_while_a_program_starts() -> None:
    """It makes a hundred thousand values, and keeps them."""
    starting()

    assert gc.isenabled()
    assert gc.get_threshold()[0] == SELDOM


def test_every_command_starts_so(capsys: pytest.CaptureFixture[str]) -> None:
    """The imports come before anything else."""
    with pytest.raises(SystemExit):
        main(["--version"])

    assert capsys.readouterr().out.startswith("readbell ")
    assert gc.get_threshold()[0] == SELDOM


def test_rubbish_is_looked_for_often_once_it_is_up() -> None:
    """The more seldom, the longer it takes; yet two hundred alarms at once do not come to it."""
    assert 200 * 10 < USUALLY < SELDOM / 10


def test_once_it_is_up_what_stands_is_left_alone() -> None:
    """Looking through all of it takes longer than an alarm may wait."""
    starting()
    before = gc.get_freeze_count()

    started()

    assert gc.get_threshold()[0] == USUALLY
    assert gc.get_freeze_count() > before
    assert len(gc.get_objects()) < 10_000


def test_with_all_that_keys_need_a_board_is_up() -> None:
    """What is loaded by then stays as well, and is never looked through again."""
    starting()
    before = gc.get_freeze_count()

    make_ready()

    assert gc.get_threshold()[0] == USUALLY
    assert gc.get_freeze_count() > before
