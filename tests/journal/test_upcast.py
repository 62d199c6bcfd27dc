"""Old events are read for as long as the record is kept, whatever shape they have."""

from __future__ import annotations

from typing import Any

import pytest

from readbell.core.catalogue import BY_NAME, VERSIONS
from readbell.journal.errors import NewerJournalError
from readbell.journal.upcast import LIFTS, Fields, lift


def minutes_to_milliseconds(fields: Fields) -> Fields:
    """Turn the first made-up shape into the second."""
    return {"span": fields["minutes"] * 60_000}


def name_the_reason(fields: Fields) -> Fields:
    """Turn the second made-up shape into the third."""
    return {**fields, "reason": "other"}


TABLES: dict[str, Any] = {
    "versions": {"break-taken": 3},
    "lifts": {("break-taken", 1): minutes_to_milliseconds, ("break-taken", 2): name_the_reason},
}


@pytest.mark.parametrize(
    ("version", "stored"),
    [
        pytest.param(1, {"minutes": 5}, id="two steps up"),
        pytest.param(2, {"span": 300_000}, id="one step up"),
        pytest.param(3, {"span": 300_000, "reason": "other"}, id="present already"),
    ],
)
def test_every_old_shape_arrives_at_the_present_one(version: int, stored: Fields) -> None:
    """A change of shape written once must serve the oldest journal as well."""
    assert lift("break-taken", version, stored, **TABLES) == {"span": 300_000, "reason": "other"}


def test_lifting_leaves_what_was_stored_as_it_was() -> None:
    """The fields may be shown beside the lifted event; they are evidence."""
    stored = {"minutes": 5}

    lift("break-taken", 1, stored, **TABLES)

    assert stored == {"minutes": 5}


def test_a_version_one_above_the_present_is_refused_in_one_sentence() -> None:
    """Guessing at fields from the future could turn a void into a result."""
    with pytest.raises(NewerJournalError, match="'break-taken' has version 4: a newer readbell"):
        lift("break-taken", 4, {}, **TABLES)


def test_a_kind_that_never_changed_is_of_version_one() -> None:
    """The tables name only what changed, so most kinds stand in neither."""
    assert lift("bay-founded", 1, {"bay": "A"}, **TABLES) == {"bay": "A"}
    with pytest.raises(NewerJournalError):
        lift("bay-founded", 2, {"bay": "A"}, **TABLES)


def test_the_real_tables_lift_every_older_version_of_every_kind_they_name() -> None:
    """A version that was raised without a lift would make old journals unreadable."""
    steps = {(kind, old) for kind, present in VERSIONS.items() for old in range(1, present)}

    assert set(VERSIONS) <= set(BY_NAME)
    assert set(LIFTS) == steps
