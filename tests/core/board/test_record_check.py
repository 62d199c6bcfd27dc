"""What is known of the record as a whole: broken is one state, and the only loud one."""

from __future__ import annotations

import pytest

from readbell.core.board.record_check import UNCHECKED, RecordCheck, RecordState


@pytest.mark.parametrize("state", RecordState)
def test_only_what_is_broken_is_broken(state: RecordState) -> None:
    """A check that failed says nothing against the record, and stops nobody."""
    assert RecordCheck(state=state).is_broken is (state is RecordState.BROKEN)


def test_where_nobody_checks_nothing_is_known() -> None:
    """Neither good nor bad."""
    assert UNCHECKED.state is RecordState.UNCHECKED
