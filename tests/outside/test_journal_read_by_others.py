"""A journal can be checked without this program: with SQLite, SHA-256 and JSON alone.

Nothing of the product reads the file here. The format is the one described for the record: each
hash is SHA-256 over the 32 bytes of the hash before it (zeros before the first) and the UTF-8 bytes
of the event (FIPS 180-4, by way of hashlib); the file is SQLite 3 (by way of sqlite3).
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from rehearsal.playing import Report, report_of

DEMO = Path(__file__).parents[2] / "demo_scenarios" / "invalid_and_repeat.toml"


class Found(NamedTuple):
    """What stands in a journal file."""

    report: Report
    events: list[tuple[int, str, bytes]]
    private: list[tuple[str, str, str]]
    file: Path


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Found:
    """Play a scenario, keep its journal and read that with the standard library."""
    file = tmp_path_factory.mktemp("kept") / "day.journal"
    report = report_of(DEMO, file)
    with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as journal:
        return Found(
            report=report,
            events=journal.execute("SELECT seq, body, hash FROM event ORDER BY seq").fetchall(),
            private=journal.execute("SELECT key, salt, value FROM private").fetchall(),
            file=file,
        )


def digests(found: object) -> list[dict[str, str]]:
    """Return every stand-in for an identifier within an event, wherever it stands."""
    if isinstance(found, dict):
        if set(found) == {"key", "digest"}:
            return [found]
        return [each for inner in found.values() for each in digests(inner)]
    if isinstance(found, list):
        return [each for inner in found for each in digests(inner)]
    return []


def test_the_chain_can_be_worked_out_with_sha_256_alone(found: Found) -> None:
    """A record that only its own program can check convinces nobody else."""
    before = bytes(32)
    for _, body, hashed in found.events:
        before = hashlib.sha256(before + body.encode("utf-8")).digest()

        assert hashed == before


def test_the_last_hash_is_the_head_that_was_printed(found: Found) -> None:
    """The head on paper vouches for every event in the file."""
    last = found.events[-1]

    assert found.report["journal"] == {"events": last[0], "head": last[2].hex()}


def test_events_are_numbered_from_one_without_a_gap(found: Found) -> None:
    """An event taken out would leave a hole."""
    assert [seq for seq, _, _ in found.events] == list(range(1, len(found.events) + 1))
    assert [json.loads(body)["seq"] for _, body, _ in found.events] == [
        seq for seq, _, _ in found.events
    ]


def test_a_changed_byte_breaks_the_chain_from_there_on(found: Found) -> None:
    """This is what the chain is for, so the check itself is tried."""
    before, broken = bytes(32), []
    for seq, body, hashed in found.events:
        changed = body.replace('"C1"', '"C7"') if '"C1"' in body else body
        before = hashlib.sha256(before + changed.encode("utf-8")).digest()
        broken += [seq] if hashed != before else []
    first = next(seq for seq, body, _ in found.events if '"C1"' in body)

    assert broken == list(range(first, len(found.events) + 1))


def test_an_event_is_written_in_one_way_only(found: Found) -> None:
    """Sorted keys and no spaces: whoever writes the same facts gets the same bytes."""
    for _, body, _ in found.events:
        again = json.dumps(
            json.loads(body), sort_keys=True, separators=(",", ":"), ensure_ascii=False
        )

        assert body == again


def test_every_event_says_that_this_was_a_rehearsal(found: Found) -> None:
    """Practice must never be taken for a patient's record."""
    assert {json.loads(body)["stamp"]["mode"] for _, body, _ in found.events} == {"rehearsal"}


@pytest.mark.parametrize("who", ["HQ-0431", "HQ-0432", "HQ-S01"])
def test_identifiers_stand_beside_the_chain_and_not_in_it(who: str, found: Found) -> None:
    """An identifier in a hashed event could never be erased without breaking the record."""
    assert not [seq for seq, body, _ in found.events if who in body]
    assert [value for _, _, value in found.private if who in value]


def test_each_identifier_is_vouched_for_by_a_salted_digest(found: Found) -> None:
    """A name exchanged beside the chain is found out; a name erased leaves nothing to guess by."""
    beside: dict[str, Any] = {key: (salt, value) for key, salt, value in found.private}
    chained = [each for _, body, _ in found.events for each in digests(json.loads(body))]

    assert {each["key"] for each in chained} == set(beside)
    for each in chained:
        salt, value = beside[each["key"]]
        wanted = hashlib.sha256(salt.encode() + b"\0" + value.encode()).hexdigest()
        assert each["digest"] == wanted


def test_sqlite_finds_the_file_whole_and_marked(found: Found) -> None:
    """Any SQLite can open it, and the mark says whose it is."""
    with closing(sqlite3.connect(f"file:{found.file}?mode=ro", uri=True)) as journal:
        assert journal.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert journal.execute("PRAGMA user_version").fetchone() == (1,)
        assert journal.execute("PRAGMA application_id").fetchone() != (0,)


@pytest.mark.parametrize(
    "change",
    [
        pytest.param("UPDATE event SET body = '{}' WHERE seq = 3", id="changed"),
        pytest.param("DELETE FROM event WHERE seq = 3", id="deleted"),
        pytest.param("UPDATE private SET value = 'somebody'", id="a name exchanged"),
    ],
)
def test_the_file_itself_refuses_a_change_by_hand(change: str, found: Found) -> None:
    """A slip with another tool is stopped before the chain has to show it."""
    with (
        closing(sqlite3.connect(found.file)) as journal,
        pytest.raises(sqlite3.IntegrityError, match=r"never|only ever"),
    ):
        journal.execute(change)
