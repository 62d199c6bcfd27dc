"""The whole record as lines, from which the same record can be made again."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.cli.main import main
from readbell.exports.record_lines import lines_of
from readbell.journal.record import Head, PrivateRow, Record
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path

SCENARIO = "demo_scenarios/invalid_and_repeat.toml"


def played(folder: Path) -> Path:
    """A journal of practice with whatever a day has."""
    path = folder / "day.journal"
    assert main(["rehearse", SCENARIO, "--unattended", "--journal", str(path)]) == 0
    return path


def lines_in(path: Path) -> list[str]:
    """Its lines."""
    journal = SqliteJournal.open(path, read_only=True)
    try:
        return list(lines_of(journal.records(), journal.private))
    finally:
        journal.close()


def body_of(said: dict[str, Any]) -> str:
    """The chained bytes, written in their one fixed form."""
    return json.dumps(said["body"], sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def test_another_journal_can_be_made_of_them_with_the_same_head(tmp_path: Path) -> None:
    """To the last byte, identifiers included: nothing was lost on the way."""
    path = played(tmp_path)
    records, known = [], set()
    for line in lines_in(path):
        said = json.loads(line)
        fresh = [each for each in said["private"] if each["key"] not in known]
        known |= {each["key"] for each in fresh}
        records.append(
            Record(
                seq=said["seq"],
                body=body_of(said),
                hash=bytes.fromhex(said["hash"]),
                private=tuple(PrivateRow(**each) for each in fresh),
            )
        )
    again = SqliteJournal.open(tmp_path / "again.journal")
    again.append(records, Head())
    before = SqliteJournal.open(path, read_only=True)
    try:
        assert verify(again).head == verify(before).head
        keys = [each.key for record in records for each in record.private]
        assert keys
        assert [again.private(each) for each in keys] == [before.private(each) for each in keys]
    finally:
        again.close()
        before.close()


def test_a_line_is_one_object_and_says_whether_it_is_practice(tmp_path: Path) -> None:
    """Whichever line is taken out of the file."""
    for line in lines_in(played(tmp_path)):
        assert line.endswith("}\n")
        assert "\n" not in line[:-1]
        said = json.loads(line)
        assert set(said) == {"body", "hash", "private", "seq"}
        assert said["body"]["stamp"]["mode"] == "rehearsal"


def test_what_was_erased_is_null_and_what_is_not_there_is_left_out() -> None:
    """The chained bytes stay whatever became of the name."""
    digest = "0" * 64
    body = f'{{"event":{{"person":{{"digest":"{digest}","key":"k"}}}}}}'
    record = Record(seq=1, body=body, hash=bytes(32))
    (line,) = lines_of([record], lambda key: PrivateRow(key=key, salt="s", value=None))
    assert json.loads(line)["private"] == [{"key": "k", "salt": "s", "value": None}]
    (line,) = lines_of([record], lambda _: None)
    assert json.loads(line)["private"] == []
