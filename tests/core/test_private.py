"""What identifies somebody stays out of anything that is printed by accident."""

from __future__ import annotations

from readbell.core.private import Private


def test_the_value_and_its_salt_never_show() -> None:
    """A crash report or a log line prints values; it may name nobody, nor help to guess."""
    shown = repr(Private(key="k-17", salt="s-4711", value="Ada Example"))

    assert "k-17" in shown
    assert "Ada Example" not in shown
    assert "s-4711" not in shown


def test_an_erased_value_leaves_the_key_that_events_name() -> None:
    """The record stays whole after somebody was forgotten."""
    known = Private(key="k-17", salt="s", value="Ada Example")
    erased = Private(key="k-17", salt="s", value=None)

    assert erased.key == known.key
    assert erased != known
