"""Whoever may not be erased yet: what is still to be done with them, and where it is seen."""

from __future__ import annotations

from readbell.core.board.keeping import NOT_DONE_WITH
from readbell.phrases.keeping_words import NOT_ALLOWED


def test_who_is_not_done_with_is_said_with_where_that_is_seen() -> None:
    """Somebody who asked to be forgotten stands at the desk: nobody can search five rooms for why not.

    A negative that nobody was told is not among the reasons, as a site may note no telling at all.
    """
    said = NOT_ALLOWED[NOT_DONE_WITH]

    assert "The rooms Patients, Review and Tell (F9) name them" in said
    assert "a positive that nobody was told" in said
    assert "or is still to be told" not in said
