"""What is chained must come back as it was, for every kind of event and for ever."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from dataclasses import replace
from typing import Any, get_args, get_type_hints

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builders import NASAL, START, THREE_LINES, private
from journal.samples import STAMP, arrival, chain, envelope
from readbell.core.assay.assay import Assay
from readbell.core.board.events import BayFounded, Mode
from readbell.core.catalogue import NAMES
from readbell.core.instant import Instant
from readbell.core.private import Private
from readbell.journal.codec import decode, encode
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.errors import BrokenChainError, NewerJournalError
from readbell.journal.record import Head, PrivateRow, Record, digest_of, link

VALUE = "Zoë Quill-Identifier"
SALT = "a-salt-of-its-own"
KINDS = [pytest.param(kind, id=name) for kind, name in NAMES.items()]
WITH_IDENTIFIER = [
    pytest.param(kind, id=name)
    for kind, name in NAMES.items()
    if Private
    in (part for hint in get_type_hints(kind).values() for part in (hint, *get_args(hint)))
]
FOUNDED = BayFounded(at=START, bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE)
FOUNDED_BODY = (
    '{"assay":null,"event":{"at":1774745600000,"bay":"Harrow Quay","mode":"live",'
    '"timezone":"Europe/London"},"id":"event-1","kind":"bay-founded","rules":1,"seq":1,'
    '"stamp":{"at":1774745600000,"bay":"Harrow Quay","boot":"boot-1","counting":5000,'
    '"mode":"rehearsal","program":"0.0","station":"bench-1","wall":1774745600000},"version":1}'
)

KEPT_APART = st.builds(Private, key=st.text(), salt=st.text(), value=st.text())
STAMPS = st.builds(
    Stamp,
    bay=st.text(),
    station=st.text(),
    mode=st.sampled_from(Mode),
    program=st.text(),
    at=st.integers().map(Instant),
    wall=st.integers(),
    counting=st.integers(),
    boot=st.text(),
)


def events_of(kind: type, kept: st.SearchStrategy[Private | None]) -> st.SearchStrategy[Any]:
    """Return a strategy for events of `kind` whose identifiers are drawn from `kept`."""
    made: dict[Any, st.SearchStrategy[Any]] = {
        Assay: st.sampled_from([NASAL, THREE_LINES]),
        Private: kept.filter(bool),
        Private | None: kept,
        float: st.floats(allow_nan=False, allow_infinity=False),
    }
    fields = get_type_hints(kind).items()
    return st.builds(kind, **{name: made[hint] for name, hint in fields if hint in made})


def rows_of(record: Record) -> dict[str, PrivateRow]:
    """Return what `record` keeps apart, by key."""
    return {row.key: row for row in record.private}


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=15, deadline=None)
@given(case=st.data())
def test_every_kind_of_event_comes_back_as_it_was(kind: type, case: st.DataObject) -> None:
    """An event that is stored but cannot be read again is a lost one."""
    stored = Envelope(
        id=case.draw(st.text()),
        event=case.draw(events_of(kind, st.none() | KEPT_APART)),
        stamp=case.draw(STAMPS),
        assay=case.draw(st.none() | st.text()),
    )

    record = encode(stored, Head())
    assume(len(rows_of(record)) == len(record.private))  # no two values share a key

    assert decode(record, rows_of(record).get) == stored


@pytest.mark.parametrize("kind", WITH_IDENTIFIER)
@settings(max_examples=10, deadline=None)
@given(case=st.data())
def test_no_identifier_and_no_salt_is_in_the_chained_bytes(kind: type, case: st.DataObject) -> None:
    """What is chained can never be erased, so a person's name must not get in."""
    kept = Private(key="key-1", salt=SALT, value=VALUE)
    event = case.draw(events_of(kind, st.just(kept)))

    record = encode(envelope(event), Head())

    assert VALUE not in record.body
    assert SALT not in record.body
    assert set(record.private) == {PrivateRow(key="key-1", salt=SALT, value=VALUE)}


def types_inside(hint: Any) -> set[Any]:
    """Return every type that a value of type `hint` may hold, however deep."""
    found = {hint}
    parts = list(get_args(hint))
    if dataclasses.is_dataclass(hint) and hint is not Private:
        parts += get_type_hints(hint).values()
    for part in parts:
        found |= types_inside(part)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_identifiers_stand_only_where_the_codec_looks_for_them(kind: type) -> None:
    """One inside a list or another value would be chained in the clear, unnoticed."""
    fields = get_type_hints(kind).values()
    hidden = [
        hint
        for hint in fields
        if hint not in (Private, Private | None) and Private in types_inside(hint)
    ]

    assert hidden == []


def test_the_stored_bytes_of_an_event_are_pinned() -> None:
    """They are hashed: a space more would make every journal written so far look forged."""
    record = encode(envelope(FOUNDED), Head())

    assert record.body == FOUNDED_BODY
    assert record.hash == hashlib.sha256(bytes(32) + FOUNDED_BODY.encode()).digest()


def test_what_is_kept_apart_is_tied_to_the_chain_by_its_digest() -> None:
    """Key and digest stay when the value goes, and show whether it is the same if it comes back."""
    record = encode(envelope(arrival("P-1")), Head())

    assert json.loads(record.body)["event"]["person"] == {
        "key": "key-P-1",
        "digest": digest_of("salt-P-1", "P-1"),
    }


def test_letters_beyond_ascii_are_chained_as_they_are() -> None:
    """A record is read by people too, and an escape for each letter would hide the word."""
    founded = replace(FOUNDED, bay="Søndre Kai")

    assert '"bay":"Søndre Kai"' in encode(envelope(founded), Head()).body


def test_an_erased_value_comes_back_as_nothing() -> None:
    """Somebody was forgotten; that they were here stays on the record."""
    record = encode(envelope(arrival("P-1")), Head())
    erased = PrivateRow(key="key-P-1", salt="salt-P-1", value=None)

    found = decode(record, {"key-P-1": erased}.get).event

    assert found == replace(arrival("P-1"), person=Private(key="key-P-1", salt="", value=None))


def test_a_row_that_is_gone_counts_as_erased() -> None:
    """A backup restored without the erasable side must still open."""
    record = encode(envelope(arrival("P-1")), Head())

    found = decode(record, lambda _: None).event

    assert found == replace(arrival("P-1"), person=Private(key="key-P-1", salt="", value=None))


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(PrivateRow(key="key-P-1", salt="salt-P-1", value="P-2"), id="another value"),
        pytest.param(PrivateRow(key="key-P-1", salt="salt-P-2", value="P-1"), id="another salt"),
        pytest.param(PrivateRow(key="key-P-1", salt="salt-P-1", value=""), id="emptied"),
    ],
)
def test_a_changed_identifier_is_found(row: PrivateRow) -> None:
    """A result moved to another person is the worst thing that can be done to a record."""
    record = encode(envelope(arrival("P-1")), Head(seq=6))

    with pytest.raises(BrokenChainError, match="event 7: the identifier") as caught:
        decode(record, {"key-P-1": row}.get)

    assert caught.value.seq == 7


def stored(**changes: Any) -> Record:
    """Return a well-chained record whose body differs from a good one."""
    body = json.dumps(json.loads(FOUNDED_BODY) | changes)
    return Record(seq=1, body=body, hash=link(bytes(32), body))


@pytest.mark.parametrize(
    "record",
    [
        pytest.param(Record(seq=1, body="{", hash=b""), id="not JSON"),
        pytest.param(Record(seq=1, body="[]", hash=b""), id="no table"),
        pytest.param(Record(seq=1, body="{}", hash=b""), id="nothing in it"),
        pytest.param(stored(event={"at": 1}), id="fields are missing"),
        pytest.param(stored(event=[]), id="fields are no table"),
        pytest.param(
            stored(event={**json.loads(FOUNDED_BODY)["event"], "mode": "play"}), id="word"
        ),
        pytest.param(stored(stamp={"at": 1}), id="half a stamp"),
        pytest.param(stored(stamp=None), id="no stamp"),
        pytest.param(stored(version="1"), id="version is no number"),
        pytest.param(stored(version=0), id="version before the first"),
        pytest.param(stored(kind=["bay-founded"]), id="kind is no word"),
    ],
)
def test_bytes_that_make_no_sense_are_named_by_their_number(record: Record) -> None:
    """A person needs the place and what to do, and no stack of Python names."""
    with pytest.raises(BrokenChainError, match=r"^event 1: .*: restore a backup$"):
        decode(record, lambda _: None)


@pytest.mark.parametrize(
    "record",
    [
        pytest.param(stored(kind="cartridge-photographed"), id="unknown kind"),
        pytest.param(stored(version=2), id="newer version of a known kind"),
    ],
)
def test_what_a_newer_program_wrote_is_not_guessed_at(record: Record) -> None:
    """To skip an event that is not understood would show a board that is not true."""
    with pytest.raises(NewerJournalError, match="a newer readbell wrote it, use that one"):
        decode(record, lambda _: None)


def test_an_error_about_bytes_shows_none_of_them() -> None:
    """The bytes may hold what somebody typed, and errors end up on screens and in logs."""
    record = stored(event={"at": "Jo Bloggs"})

    with pytest.raises(BrokenChainError) as caught:
        decode(record, lambda _: None)

    assert "Jo" not in str(caught.value)


def test_each_event_goes_one_after_the_end_it_is_given() -> None:
    """Numbers without a gap are what makes a missing event visible."""
    first, second = chain([FOUNDED, arrival("P-1")])

    assert (first.seq, second.seq) == (1, 2)
    assert json.loads(second.body)["seq"] == 2
    assert second.hash == link(first.hash, second.body)


def test_two_values_under_one_key_do_not_hide_in_one_event() -> None:
    """What an event brings to the erasable side is exactly what it holds."""
    record = encode(Envelope(id="e", event=FOUNDED, stamp=STAMP, assay=None), Head())

    assert record.private == ()
    assert encode(envelope(arrival("P-1")), Head()).private == (
        PrivateRow(key=private("P-1").key, salt=private("P-1").salt, value="P-1"),
    )
