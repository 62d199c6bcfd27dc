"""A site's decisions go into the record, and only when they are not the ones it has."""

from __future__ import annotations

from dataclasses import fields

from readbell.core.board.board import Board
from readbell.core.board.fold import fold
from readbell.core.instant import Instant
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.policy_table import PolicyTable


def test_the_table_of_a_file_has_each_decision_once() -> None:
    """A decision that no file could make would not be one."""
    assert set(PolicyTable.model_fields) == {field.name for field in fields(SitePolicy)}


def test_a_site_that_says_nothing_decides_as_a_board_does_by_itself() -> None:
    """Else every bay would begin with a decision that nobody made."""
    assert PolicyTable().to_policy() == SitePolicy() == Board().policy


def test_what_was_decided_last_counts() -> None:
    """Decisions change; each act is judged by those of its day."""
    decided = SitePolicy(warn_expiry_days=30)
    board = fold(Board(), PolicySet(at=Instant(1), policy=decided))
    assert board.policy == decided
