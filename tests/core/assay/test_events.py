"""On what ground an assay is used stands in the record as a stable word."""

from __future__ import annotations

from readbell.core.assay.events import Basis
from readbell.core.assay.step import Limit


def test_words_of_the_record_never_change() -> None:
    """A journal written today is read by a later version of the program."""
    assert [str(each) for each in Basis] == ["checked", "rehearsal"]
    assert [str(each) for each in Limit] == ["firm", "advisory"]
