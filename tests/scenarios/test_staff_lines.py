"""What may be said to a live bay about those who work there; a PIN is quoted by no fault."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from builders import THREE_LINES
from readbell.core.board.entry import Do, Entry
from readbell.core.reading.bands import Bands, Strength, Unreadable, are_whole
from readbell.core.review.reasons import AmendReason, WithdrawReason
from readbell.core.staff.roles import Role
from readbell.scenarios.line import EntryLine, read_line
from readbell.scenarios.staff_lines import (
    AmendLine,
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
    TraceLine,
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
            {"do": "open-trace", "by": "op-1", "cartridge": "C1"},
            TraceLine(do="open-trace", by="op-1", cartridge="C1"),
        ),
        (
            {"do": "open-trace", "by": "op-1", "day": "2026-11-03"},
            TraceLine(do="open-trace", by="op-1", day=date(2026, 11, 3)),
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
        (
            {
                "do": "withdraw-result",
                "by": "op-1",
                "cartridge": "C1",
                "reason": "another-cartridge",
                "why": "x",
                "others": ["C2"],
                "persons": ["P-2"],
            },
            WithdrawLine(
                do="withdraw-result",
                by="op-1",
                cartridge="C1",
                reason=WithdrawReason.ANOTHER_CARTRIDGE,
                why="x",
                others=("C2",),
                persons=("P-2",),
            ),
        ),
        (
            {
                "do": "amend-result",
                "by": "op-1",
                "cartridge": "C1",
                "control": True,
                "test": "faint",
                "reason": "wrongly-seen",
                "why": "x",
            },
            AmendLine(
                do="amend-result",
                by="op-1",
                cartridge="C1",
                control=True,
                test=Strength.FAINT,
                reason=AmendReason.WRONGLY_SEEN,
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


def test_an_amendment_fills_in_nothing_that_was_left_out() -> None:
    """One answer for three lines answers none; by name or printed letter each is answered."""
    said = {
        "do": "amend-result",
        "by": "op-1",
        "cartridge": "C1",
        "reason": "other",
        "why": "x",
        "control": True,
    }

    def bands_of(**more: object) -> Bands:
        line = read_line(json.dumps({**said, **more}))
        assert isinstance(line, AmendLine)
        return line.to_bands(THREE_LINES)

    assert not are_whole(bands_of(test="absent"), THREE_LINES.line_keys)
    assert not are_whole(bands_of(), THREE_LINES.line_keys)
    by_mark = {line.mark: "absent" for line in THREE_LINES.reading.lines}
    assert are_whole(bands_of(test=by_mark), THREE_LINES.line_keys)
    line = read_line(json.dumps({**said, "control": None, "unreadable": "smear"}))
    assert isinstance(line, AmendLine)
    assert line.to_bands(None) == Bands(unreadable=Unreadable.SMEAR)


@pytest.mark.parametrize("others", ["C2", [["C2"]], ["C"] * 21])
def test_what_was_mixed_up_is_named_in_a_list(others: object) -> None:
    """A single text could be one label or many."""
    said = {
        "do": "withdraw-result",
        "by": "op-1",
        "cartridge": "C1",
        "reason": "another-person",
        "why": "x",
        "others": others,
    }
    with pytest.raises(WrongFileError, match="others"):
        read_line(json.dumps(said))


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
        (
            {"do": "open-trace", "by": "op-1"},
            "this line: say cartridge, lot, operator, day or figures: one of them",
        ),
        (
            {"do": "open-trace", "by": "op-1", "lot": "L-1", "operator": "op-2"},
            "this line: say cartridge, lot, operator, day or figures: one of them",
        ),
    ],
    ids=["no roles", "no such role", "no such day", "by nobody", "of nothing", "of two"],
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
