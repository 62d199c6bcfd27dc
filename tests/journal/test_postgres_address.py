"""An address is read as libpq writes it, shown without its password, and never used in the clear."""

from __future__ import annotations

import pytest

from readbell.journal import postgres_address
from readbell.journal.errors import JournalError
from readbell.journal.postgres_address import NEEDS_SHARED, NO_ADDRESS, is_address, read_address

SECRET = "seven small lamps"  # noqa: S105  # made up


def test_an_address_is_shown_without_its_password() -> None:
    """It stands in sentences, and those are read by whoever is near."""
    found = read_address(f"postgresql://bench:{SECRET.replace(' ', '%20')}@db.test:5433/bays")

    assert found.parameters["password"] == SECRET
    assert found.told == "postgresql://bench@db.test:5433/bays"
    assert SECRET not in repr(found)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("postgresql://db1.test,db2.test/bays", "postgresql://db1.test,db2.test/bays"),
        ("postgresql://db1.test:5433,db2.test/bays", "postgresql://db1.test:5433,db2.test/bays"),
        ("postgresql://db1.test:1,db2.test:2/bays", "postgresql://db1.test:1,db2.test:2/bays"),
        ("postgresql://a.test,b.test/bays?port=7", "postgresql://a.test:7,b.test:7/bays"),
    ],
)
def test_of_several_servers_each_is_shown_with_its_own_port(given: str, told: str) -> None:
    """As it has to be typed."""
    assert read_address(given).told == told


def test_a_bay_may_stand_in_the_address() -> None:
    """libpq knows of no bays, so it is not told."""
    found = read_address("postgresql://bench@db.test/bays?bay=Harrow%20Quay&sslrootcert=/ca.crt")

    assert found.bay == "Harrow Quay"
    assert "bay" not in found.parameters
    assert found.parameters["sslrootcert"] == "/ca.crt"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "db.test",
        "host=db.test dbname=bays",
        "http://db.test/bays",
        "postgresql://bench:se cret@db.test/bays",
        "postgresql://bench@db.test/bays?colour=red",
        "postgresql://[::1/bays",
    ],
)
def test_what_is_no_address_is_told_in_one_sentence(text: str) -> None:
    """The sentence says how one looks, and nothing of what was typed: a password may be in it."""
    with pytest.raises(JournalError) as refused:
        read_address(text)

    assert str(refused.value) == NO_ADDRESS


@pytest.mark.parametrize(
    "address",
    [
        "postgresql:///bays",
        "postgresql://localhost/bays",
        "postgresql://127.0.0.1:5433/bays",
        "postgresql://127.8.9.1/bays",
        "postgresql://[::1]/bays",
        "postgresql:///bays?host=/run/postgresql",
        "postgresql://localhost,127.0.0.1/bays",
    ],
)
def test_a_server_on_this_computer_needs_no_certificate(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing that is sent leaves the machine."""
    for name in ("PGHOST", "PGHOSTADDR", "PGSERVICE"):
        monkeypatch.delenv(name, raising=False)

    assert "sslmode" not in read_address(address).parameters


@pytest.mark.parametrize(
    "address",
    [
        "postgresql://db.test/bays",
        "postgresql://192.168.1.4/bays",
        "postgresql://localhost,db.test/bays",
        "postgresql://localhost/bays?hostaddr=192.168.1.4",
        "postgresql:///bays?service=site",
        "postgresql://db.test/bays?sslmode=verify-full",
        "postgresql://localhost.db.test/bays",
    ],
)
def test_any_other_server_has_to_show_that_it_is_the_right_one(address: str) -> None:
    """Encrypted to whoever answers is no secret."""
    assert read_address(address).parameters["sslmode"] == "verify-full"


@pytest.mark.parametrize("mode", ["disable", "allow", "prefer", "require", "verify-ca"])
def test_less_than_that_is_refused_in_one_sentence(mode: str) -> None:
    """Names and results would go over the network for whoever listens."""
    with pytest.raises(JournalError, match=rf"^sslmode={mode} lets others listen in .*verify-full"):
        read_address(f"postgresql://db.test/bays?sslmode={mode}")


@pytest.mark.parametrize(
    ("name", "value"), [("PGHOST", "db.test"), ("PGHOSTADDR", "192.168.1.4"), ("PGSERVICE", "site")]
)
def test_what_the_environment_says_of_the_host_counts_too(
    name: str, value: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """libpq listens to it, so an address without a host may still lead anywhere."""
    monkeypatch.setenv(name, value)

    assert read_address("postgresql:///bays").parameters["sslmode"] == "verify-full"


def test_without_the_extra_one_sentence_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Most bays are of one station and need no such package."""
    monkeypatch.setattr(postgres_address, "find_spec", lambda _: None)

    with pytest.raises(JournalError) as refused:
        read_address("postgresql://localhost/bays")

    assert str(refused.value) == NEEDS_SHARED


def test_of_several_servers_the_one_that_can_be_written_to_is_taken() -> None:
    """A standby takes the call as well, and then stores nothing."""
    found = read_address("postgresql://db1.test,db2.test/bays").parameters

    assert found["target_session_attrs"] == "read-write"
    assert "target_session_attrs" not in read_address("postgresql://db1.test/bays").parameters


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("postgresql://localhost/bays", True),
        ("postgres://localhost/bays", True),
        ("bay.journal", False),
        ("postgresql", False),
    ],
)
def test_an_address_is_told_from_a_file(text: str, is_one: bool) -> None:
    """Both are given in the same place."""
    assert is_address(text) == is_one
