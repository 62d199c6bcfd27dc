"""Errors of this program share one root, so that the two outer edges can catch them."""

from __future__ import annotations

from readbell.core.errors import BrokenRecordError, ReadbellError


def test_a_broken_record_is_an_error_of_this_program() -> None:
    """The edges catch one class and show its sentence as it stands."""
    error = BrokenRecordError("the journal needs a supervisor")

    assert isinstance(error, ReadbellError)
    assert str(error) == "the journal needs a supervisor"
