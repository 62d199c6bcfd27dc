"""What may be said to a live bay about those who work there; a PIN is quoted by no fault."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from readbell.core.board.entry import Do, Entry
from readbell.core.reading.bands import Strength, Unreadable
from readbell.core.review.reasons import WithdrawReason
from readbell.core.staff.roles import Role
from readbell.scenarios.line import EntryLine, read_line
from readbell.scenarios.staff_lines import (
    CompetenceLine,
    HeldLine,
    LockLine,
    PinLine,
    RecordLine,
    ReleaseLine,
    RetireLine,
    RolesLine,
    Secret,
    SignInLine,
    SignOutLine,
    UnlockLine,
    WithdrawLine,
)
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from readbell.toml_tables import Table

BOTH: dict[str, Any] = {"by": "op-1", "operator": "op-2"}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            {"do": "set-roles", **BOTH, "roles": ["reader", "tester"]},
            RolesLine(do="set-roles", **BOTH, roles=(Role.READER, Role.TESTER)),
        ),
        ({"do": "retire-operator", **BOTH}, RetireLine(do="retire-operator", **BOTH)),
        (
            {"do": "set-pin", **BOTH, "pin": "4071"},
            PinLine(do="set-pin", **BOTH, pin=Secret("4071")),
        ),
        (
            {"do": "sign-in", "by": "op-1", "pin": "4071"},
            SignInLine(do="sign-in", by="op-1", pin=Secret("4071")),
        ),
        ({"do": "sign-in", "by": "op-1"}, SignInLine(do="sign-in", by="op-1")),
        ({"do": "sign-out", "by": "op-1"}, SignOutLine(do="sign-out", by="op-1")),
        ({"do": "lock-station"}, LockLine(do="lock-station")),
        ({"do": "unlock-operator", **BOTH}, UnlockLine(do="unlock-operator", **BOTH)),
        (
            {
                "do": "state-competence",
                **BOTH,
                "assay": "a",
                "until": "2027-01-31",
                "vision_checked": "2026-01-02",
            },
            CompetenceLine(
                do="state-competence",
                **BOTH,
                assay="a",
                until=date(2027, 1, 31),
                vision_checked=date(2026, 1, 2),
            ),
        ),
        (
            {"do": "open-record", "by": "op-1", "person": "P-1"},
            RecordLine(do="open-record", by="op-1", person="P-1"),
        ),
        (
            {"do": "release-reading", "by": "op-1", "cartridge": "C1", "why": "seen"},
            ReleaseLine(do="release-reading", by="op-1", cartridge="C1", why="seen"),
        ),
        (
            {
                "do": "withdraw-result",
                "by": "op-1",
                "cartridge": "C1",
                "reason": "another-person",
                "why": "x",
            },
            WithdrawLine(
                do="withdraw-result",
                by="op-1",
                cartridge="C1",
                reason=WithdrawReason.ANOTHER_PERSON,
                why="x",
            ),
        ),
        ({"do": "held"}, HeldLine(do="held")),
    ],
    ids=lambda each: each["do"] if isinstance(each, dict) else "",
)
def test_each_line_is_what_it_says(said: dict[str, Any], expected: Table) -> None:
    """Word for word."""
    assert read_line(json.dumps(said)) == expected


def test_a_reading_under_a_typed_name_names_no_operator() -> None:
    """With lines by name, or a reason why it cannot be read."""
    several = {"do": "read", "cartridge": "C1", "unverified": "A. Name", "control": True}
    assert read_line(json.dumps({**several, "test": {"A": "faint"}})) == EntryLine(
        entry=Entry(
            do=Do.READ,
            by="",
            cartridge="C1",
            control=True,
            test=(("A", Strength.FAINT),),
            unverified="A. Name",
        ),
        ago=None,
    )
    unreadable = {"do": "read", "cartridge": "C1", "unverified": "A", "unreadable": "smear"}
    found = read_line(json.dumps(unreadable))
    assert isinstance(found, EntryLine)
    assert found.entry.unreadable is Unreadable.SMEAR
    with pytest.raises(WrongFileError, match="by is not a key"):
        read_line(json.dumps({**several, "by": "op-1"}))


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        (
            {"do": "set-roles", **BOTH, "roles": []},
            'this line: roles = []: write a list of roles, as ["tester", "reader"]',
        ),
        (
            {"do": "set-roles", **BOTH, "roles": ["boss"]},
            "this line: roles.1 = 'boss': use 'tester', 'reader' or 'supervisor'",
        ),
        (
            {"do": "state-competence", **BOTH, "assay": "a", "until": "2027-02-31"},
            "this line: until = '2027-02-31': write a day that exists, as \"2026-12-31\"",
        ),
        ({"do": "sign-in"}, "this line: by is missing: add it"),
    ],
    ids=["no roles", "no such role", "no such day", "by nobody"],
)
def test_what_is_wrong_is_said_in_a_sentence(said: dict[str, Any], fault: str) -> None:
    """What, where, and what to do."""
    with pytest.raises(WrongFileError) as refused:
        read_line(json.dumps(said))
    assert str(refused.value) == fault


@pytest.mark.parametrize("pin", ["4071", 4071, ["4071"], {"a": "4071"}, None, 40.71])
@pytest.mark.parametrize("wrong", [{"also": 1}, {"operator": 5}, {"by": ""}])
def test_no_fault_quotes_a_pin(pin: object, wrong: dict[str, Any]) -> None:
    """A fault ends on a screen and in a log."""
    said = {"do": "set-pin", **BOTH, "pin": pin, **wrong}
    with pytest.raises(WrongFileError) as refused:
        read_line(json.dumps(said))
    assert "40" not in "".join(refused.value.faults)


@pytest.mark.parametrize("pin", [4071, ["4071"], 40.71])
def test_what_is_no_text_is_no_pin_and_is_told_later_without_its_value(pin: object) -> None:
    """Whoever looks at it says what a PIN is."""
    found = read_line(json.dumps({"do": "set-pin", **BOTH, "pin": pin}))
    assert isinstance(found, PinLine)
    assert found.pin == Secret("")


def test_a_pin_is_in_no_repr() -> None:
    """A line may end in a crash report."""
    assert "4071" not in repr(PinLine(do="set-pin", **BOTH, pin=Secret("4071")))
