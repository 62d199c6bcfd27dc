"""PIN hashes stand in a file of their own: whole, the owner's alone, and no PIN is in it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from readbell.core.staff.acts import PinCheck
from readbell.journal.errors import JournalError
from readbell.journal.pin_file import PinFile, PinFileError, pins_beside

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def pins(tmp_path: Path) -> PinFile:
    """A file of PINs beside a journal, not made yet."""
    return PinFile(pins_beside(tmp_path / "bay.journal"))


def test_a_pin_is_right_wrong_or_not_on_file(pins: PinFile) -> None:
    """Each under its own operator."""
    assert pins.check("key-a", "4071") is PinCheck.NONE_ON_FILE
    pins.put("key-a", "4071")
    pins.put("key-b", "9037")
    assert pins.check("key-a", "4071") is PinCheck.RIGHT
    assert pins.check("key-a", "9037") is PinCheck.WRONG
    assert pins.check("key-a", "") is PinCheck.WRONG
    assert pins.check("key-b", "9037") is PinCheck.RIGHT
    pins.put("key-a", "55190")
    assert pins.check("key-a", "4071") is PinCheck.WRONG
    pins.drop("key-b")
    pins.drop("key-c")
    assert pins.check("key-b", "9037") is PinCheck.NONE_ON_FILE
    assert pins.check("key-a", "55190") is PinCheck.RIGHT


def test_the_file_is_its_owners_alone_and_holds_no_pin(pins: PinFile) -> None:
    """Whoever copies it learns nothing at a glance; two alike do not look alike."""
    pins.put("key-a", "4071")
    pins.put("key-b", "4071")

    assert pins.path.name == "bay.journal.pins"
    assert pins.path.stat().st_mode & 0o777 == 0o600
    text = pins.path.read_text(encoding="utf-8")
    assert "4071" not in text.replace("$", "")
    first, second = json.loads(text)["pins"].values()
    assert first.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert first != second
    assert [each.name for each in pins.path.parent.iterdir()] == ["bay.journal.pins"]


@pytest.mark.parametrize(
    "text",
    ["", "no json", "[]", '{"version": 1}', '{"version": 2, "pins": {}}', '{"version": 1, "pins": [1]}',
     '{"version": 1, "pins": {"key-a": 4071}}'],
)  # fmt: skip
def test_a_file_that_is_none_of_ours_is_refused_and_left_alone(pins: PinFile, text: str) -> None:
    """To write over it would lose what somebody may still mend."""
    pins.path.write_text(text, encoding="utf-8")
    for use in (lambda: pins.check("key-a", "4071"), lambda: pins.put("key-a", "4071")):
        with pytest.raises(PinFileError, match=r"no file of PINs: restore a backup"):
            use()
    assert pins.path.read_text(encoding="utf-8") == text


def test_a_hash_that_is_none_is_told_as_a_broken_file(pins: PinFile) -> None:
    """Not as a wrong PIN: nobody typed anything wrong."""
    pins.path.write_text('{"version": 1, "pins": {"key-a": "4071"}}', encoding="utf-8")
    with pytest.raises(PinFileError, match="no file of PINs"):
        pins.check("key-a", "4071")


def test_what_cannot_be_read_or_written_is_told_as_a_fault_of_the_journal(pins: PinFile) -> None:
    """The command line and the board know what to do with those."""
    pins.path.mkdir()
    with pytest.raises(JournalError, match="check the rights"):
        pins.check("key-a", "4071")
    elsewhere = PinFile(pins.path.parent / "gone" / "bay.pins")
    with pytest.raises(JournalError, match="no PIN was kept"):
        elsewhere.put("key-a", "4071")


def test_an_end_in_the_middle_of_a_write_is_no_harm(pins: PinFile) -> None:
    """What such an end leaves is written over by the next one."""
    pins.put("key-a", "4071")
    half = pins.path.with_name(pins.path.name + ".new")
    half.write_text("half", encoding="utf-8")

    assert pins.check("key-a", "4071") is PinCheck.RIGHT
    pins.put("key-b", "9037")
    assert not half.exists()


def test_a_copy_has_every_pin_and_overwrites_nothing(pins: PinFile, tmp_path: Path) -> None:
    """A backup takes them along, and a restore brings them back."""
    copy = PinFile(tmp_path / "copy.pins")
    assert not pins.copy_to(copy)
    assert not copy.path.exists()
    pins.put("key-a", "4071")
    assert pins.copy_to(copy)
    assert copy.check("key-a", "4071") is PinCheck.RIGHT
    assert copy.path.stat().st_mode & 0o777 == 0o600
    with pytest.raises(PinFileError, match="stands there already"):
        pins.copy_to(copy)
