"""Files people write: whatever is wrong is one sentence with the file, the key and the cure."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import Field, model_validator

from builders import span
from readbell.core.instant import Span
from readbell.core.reading.bands import Strength
from readbell.toml_tables import Table, Time, WrongFileError, as_span, read_tables, read_text

if TYPE_CHECKING:
    from pathlib import Path


class Inner(Table):
    """A table in a list."""

    strength: Annotated[Strength, Field(strict=False)] = Strength.CLEAR


class Tables(Table):
    """A small file with one of each kind of key."""

    title: str
    waits: Time = Span(0)
    format: Literal[1] = 1
    units: Annotated[int, Field(ge=0)] = 0
    row: tuple[Inner, ...] = Field(default=(), strict=False)
    seen: Annotated[Strength, Field(strict=False)] | dict[str, Strength] | None = None

    @model_validator(mode="after")
    def _waits_go_with_units(self) -> Tables:
        if self.waits and not self.units:
            msg = "waits needs units: add them"
            raise ValueError(msg)
        return self


def fault_of(text: str) -> str:
    """What is said of a file with this text."""
    with pytest.raises(WrongFileError) as refused:
        read_tables(text, Tables, "day.toml")
    return str(refused.value)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        pytest.param("", "day.toml: title is missing: add it", id="a missing key"),
        pytest.param(
            'title = "x"\n"a\\u001b[8mb" = 1',
            "day.toml: 'a\\x1b[8mb' is not a key this file may have: take it out or mend its name",
            id="a key with a code in it",
        ),
        pytest.param(
            f"title = 'x'\n{'k' * 100} = 1",
            f"day.toml: '{'k' * 59}... is not a key this file may have: take it out or mend its name",
            id="a key without an end",
        ),
        pytest.param(
            "title = 'x'\ntitel = 1",
            "day.toml: titel is not a key this file may have: take it out or mend its name",
            id="an unknown key",
        ),
        pytest.param(
            "title = 'x'\nTitel = 1",
            "day.toml: Titel is not a key this file may have: take it out or mend its name",
            id="an unknown key with a capital",
        ),
        pytest.param(
            "title = 'x'\n'unit[s]' = 1",
            "day.toml: unit[s] is not a key this file may have: take it out or mend its name",
            id="an unknown key with brackets",
        ),
        pytest.param(
            "title = 7", "day.toml: title = 7: it should be a valid string", id="another type"
        ),
        pytest.param(
            "title = 'x'\nformat = 2", "day.toml: format = 2: use 1", id="another version"
        ),
        pytest.param(
            "title = 'x'\nunits = '5'",
            "day.toml: units = '5': it should be a valid integer",
            id="a number in quotes",
        ),
        pytest.param(
            "title = 'x'\nunits = true",
            "day.toml: units = True: it should be a valid integer",
            id="a yes for a number",
        ),
        pytest.param(
            "title = 'x'\nunits = -1",
            "day.toml: units = -1: it should be greater than or equal to 0",
            id="less than none",
        ),
        pytest.param(
            "title = 'x'\nwaits = '5 min'",
            'day.toml: waits = \'5 min\': write a time as "15:00", or "0:15:00" with hours',
            id="words for a time",
        ),
        pytest.param(
            "title = 'x'\n[[row]]\n[[row]]\nstrength = 'strong'",
            "day.toml: row.2.strength = 'strong': use 'absent', 'faint' or 'clear'",
            id="a table of a list, counted from one",
        ),
        pytest.param(
            "title = 'x'\nwaits = '5:00'",
            "day.toml: waits needs units: add them",
            id="keys that do not go together",
        ),
    ],
)
def test_each_kind_of_fault_is_one_sentence(text: str, fault: str) -> None:
    """Where, what stands there, and what to do: nobody has to open a manual."""
    assert fault_of(text) == fault


def test_a_file_that_is_no_toml_says_where_it_stops_being_so() -> None:
    """Line and column put the editor on the place."""
    fault = fault_of("title = 'x'\nwaits : 5")

    assert fault.startswith("day.toml: this is not TOML: ")
    assert "line 2" in fault
    assert fault.endswith(": mend that place")


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("title = " + "[" * 2_000, id="lists in lists without end"),
        pytest.param("title = " + "{a=" * 2_000, id="tables in tables without end"),
        pytest.param("\x00", id="a null byte"),
        pytest.param("title = 'x'\ntitle = 'y'", id="one key twice"),
        pytest.param("a = 1\n[a]", id="a key that is also a table"),
        pytest.param("title = 'x'\nunits = " + "9" * 5_000, id="a number without end"),
    ],
)
def test_a_monstrous_file_is_refused_like_any_other(text: str) -> None:
    """A file may come from anywhere; none may crash the program."""
    assert fault_of(text).startswith("day.toml: ")


@settings(max_examples=60, deadline=None)
@given(text=st.text(max_size=80))
def test_whatever_a_file_holds_it_is_taken_or_refused_in_one_line(text: str) -> None:
    """There is no third way, and a refusal never spills over several lines."""
    said = ["day.toml: taken"]
    try:
        read_tables(text, Tables, "day.toml")
    except WrongFileError as refused:
        said = str(refused).splitlines()

    assert len(said) == 1
    assert said[0].startswith("day.toml: ")


def test_a_key_of_several_forms_is_complained_of_once() -> None:
    """One slip, one sentence, however many forms it might have had."""
    fault = fault_of("title = 'x'\nseen = 'blue'")

    assert fault.startswith("day.toml: seen = 'blue': ")
    assert "more)" not in fault


def test_several_faults_are_counted() -> None:
    """Whoever mends the first knows that there is more to come."""
    assert fault_of("units = -1\nformat = 3").endswith("(and 2 more)")


def test_a_long_value_is_cut_in_the_sentence() -> None:
    """A page pasted into a key by mistake must not fill the screen."""
    fault = fault_of(f"title = 'x'\nformat = '{'z' * 500}'")

    assert len(fault) < 120
    assert "..." in fault


@pytest.mark.parametrize(
    ("written", "meant"),
    [("15:00", "15:00"), ("0:15:00", "15:00"), ("1:00:00.250", "1:00:00.250")],
)
def test_a_time_is_written_with_or_without_hours(written: str, meant: str) -> None:
    """Both forms stand in leaflets and both mean the same."""
    assert as_span(written) == span(meant)


@pytest.mark.parametrize("written", [15, 15.0, None, "15", "-0:05", "15:60", "", " 15:00"])
def test_what_is_no_time_is_refused(written: object) -> None:
    """A bare number could be seconds or minutes: nobody guesses here."""
    with pytest.raises(ValueError, match='write a time as "15:00"'):
        as_span(written)


def test_a_missing_file_is_told_by_its_name(tmp_path: Path) -> None:
    """The usual slip is in the name."""
    path = tmp_path / "nowhere.toml"

    with pytest.raises(WrongFileError) as refused:
        read_text(path)

    assert str(refused.value) == (
        f"{path}: No such file or directory: check the name and the rights"
    )


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    """Completing a name with the tab key often stops one word short."""
    with pytest.raises(WrongFileError, match="check the name and the rights"):
        read_text(tmp_path)


def test_a_file_that_is_not_utf8_is_told_with_the_place(tmp_path: Path) -> None:
    """An editor of another age writes another alphabet."""
    path = tmp_path / "latin.toml"
    path.write_bytes("title = 'Café'".encode("latin-1"))

    with pytest.raises(WrongFileError) as refused:
        read_text(path)

    assert str(refused.value) == f"{path}: byte 12 is not UTF-8: save the file as UTF-8 text"


def test_lines_may_end_as_on_any_system(tmp_path: Path) -> None:
    """A file that went through another system reads the same."""
    path = tmp_path / "day.toml"
    path.write_bytes(b"title = 'x'\r\nunits = 3\r\n")

    assert read_tables(read_text(path), Tables, "day.toml").units == 3


def test_a_file_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    """Some editors put three invisible bytes in front; nobody could find that slip by eye."""
    path = tmp_path / "day.toml"
    path.write_bytes(b"\xef\xbb\xbftitle = 'x'\n")

    assert read_tables(read_text(path), Tables, "day.toml").title == "x"
