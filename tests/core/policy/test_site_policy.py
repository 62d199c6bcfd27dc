"""A site's decisions go into the record, and only when they are not the ones it has."""

from __future__ import annotations

from dataclasses import fields

import pytest
from pydantic import ValidationError

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.board import Board
from readbell.core.board.fold import fold
from readbell.core.instant import Instant
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
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


def test_a_rule_for_second_readers_names_an_assay_or_none_and_a_number_where_it_needs_one() -> None:
    """Half a rule would ask for nothing, and nobody would see it."""
    table = PolicyTable.model_validate(
        {
            "second_reader": [
                {"when": "faint"},
                {"assay": "urine-hcg", "when": "each-nth", "nth": 20},
            ]
        }
    )
    assert table.to_policy().second_reader == (
        SecondReaderRule(when=SecondReader.FAINT),
        SecondReaderRule(assay="urine-hcg", when=SecondReader.EACH_NTH, nth=20),
    )
    for wrong in ({"when": "each-nth"}, {"when": "all", "nth": 5}, {"when": "each-nth", "nth": 1}):
        with pytest.raises(ValidationError):
            PolicyTable.model_validate({"second_reader": [wrong]})
