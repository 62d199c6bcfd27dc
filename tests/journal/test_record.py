"""The hash chain is only worth something if anybody can check it with other tools."""

from __future__ import annotations

import hashlib

import pytest

from journal.samples import day
from readbell.journal.record import NO_HASH, Head, PrivateRow, digest_of, link


@pytest.mark.parametrize(
    ("message", "digest"),
    [
        # FIPS 180-4, SHA-256 examples published by NIST: one block, two blocks, a long message;
        # the empty message is from NIST's short-message test vectors.
        pytest.param(
            "abc",
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            id="one block",
        ),
        pytest.param(
            "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            id="two blocks",
        ),
        pytest.param(
            "a" * 1_000_000,
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
            id="a million letters",
        ),
        pytest.param(
            "",
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            id="nothing",
        ),
    ],
)
def test_events_are_linked_by_sha_256(message: str, digest: str) -> None:
    """A checker who was not told which hash it is would find the chain useless."""
    assert link(b"", message).hex() == digest


def test_the_hash_before_goes_first() -> None:
    """The order is part of the format: NIST's "abc" again, cut in two."""
    assert link(b"ab", "c") == link(b"", "abc")
    assert link(b"a", "cb") != link(b"", "abc")


def test_a_body_is_hashed_as_utf_8() -> None:
    """Letters beyond ASCII must give the same hash on every computer."""
    assert link(b"", "Zoë") == hashlib.sha256(b"Zo\xc3\xab").digest()


def test_the_chain_of_a_day_can_be_followed_with_the_library_alone() -> None:
    """Each hash covers the one before it and the bytes of the event, and nothing else."""
    expected = bytes(32)
    for record in day():
        expected = hashlib.sha256(expected + record.body.encode("utf-8")).digest()

        assert record.hash == expected


def test_nothing_before_the_first_event_is_written_as_zeros() -> None:
    """The first link needs a fixed start, the same for every journal."""
    assert bytes(32) == NO_HASH
    assert Head().hex == "0" * 64


def test_an_identifier_is_digested_with_its_salt_before_it() -> None:
    """Without the salt a short number could be found by trying them all."""
    assert digest_of("s", "P-1") == hashlib.sha256(b"s\x00P-1").hexdigest()
    assert digest_of("s", "P-1") != digest_of("t", "P-1")
    assert digest_of("s", "P-1") != digest_of("sP", "-1")


def test_a_row_that_is_printed_shows_neither_value_nor_salt() -> None:
    """A crash report with this row in it must not name the person."""
    row = PrivateRow(key="key-1", salt="some salt", value="Jo Bloggs")

    assert "key-1" in repr(row)
    assert "Jo Bloggs" not in repr(row)
    assert "some salt" not in repr(row)
