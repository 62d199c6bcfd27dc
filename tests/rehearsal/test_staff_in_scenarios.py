"""Roles, clearances and signing in, rehearsed: what a scenario says of operators holds in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.rehearsals import load_script
from readbell.toml_tables import WrongFileError
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """\
title = "Who may"
starts = 2026-03-29T09:00:00+00:00
assay = "respiratory-antigen-nasal"
[[lot]]
number = "L-1"
expires = 2026-12-31
[[person]]
id = "P-1"
"""


def label(at: str, by: str, cartridge: str, more: str = "") -> str:
    """The act that starts a cartridge."""
    return (
        f'[[act]]\nat = "{at}"\nby = "{by}"\ndo = "label"\ncartridge = "{cartridge}"\n'
        f'person = "P-1"\nlot = "L-1"\n{more}'
    )


def refusals(tmp_path: Path, text: str) -> list[str | None]:
    """Play the scenario, and return what each act was refused for."""
    path = tmp_path / "day.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return [each["refusal"] for each in report_of(path)["acts"]]


def test_roles_of_a_scenario_are_those_of_its_bay(tmp_path: Path) -> None:
    """Also where the first operator is no supervisor."""
    operators = """
[[operator]]
id = "op-1"
roles = ["reader"]
[[operator]]
id = "op-2"
roles = ["tester", "supervisor"]
[[operator]]
id = "op-3"
"""
    acts = label("0:00", "op-1", "C1") + label("0:01", "op-2", "C2") + label("0:02", "op-3", "C3")
    assert refusals(tmp_path, operators + acts) == ["role-missing", None, None]


@pytest.mark.parametrize("sign_in", ["badge", "pin"])
def test_operators_of_a_scenario_are_signed_in(tmp_path: Path, sign_in: str) -> None:
    """Nobody sits at its station who could be asked."""
    operators = '[[operator]]\nid = "op-1"\n[[operator]]\nid = "op-2"\n'
    policy = f'[policy]\nsign_in = "{sign_in}"\n'
    acts = label("0:00", "op-1", "C1") + label("0:01", "op-2", "C2")
    assert refusals(tmp_path, operators + acts + policy) == [None, None]


def test_clearances_of_a_scenario_are_held_against_its_own_day(tmp_path: Path) -> None:
    """And a start without one names the supervisor who stands by."""
    operators = """
[[operator]]
id = "op-1"
cleared = { respiratory-antigen-nasal = 2026-03-29 }
[[operator]]
id = "op-2"
cleared = { respiratory-antigen-nasal = 2026-03-28 }
"""
    acts = (
        label("0:00", "op-1", "C1")
        + label("0:01", "op-2", "C2")
        + label("0:02", "op-2", "C2", 'witness = "op-1"\n')
    )
    policy = '[policy]\noutside_competence = "supervised"\n'
    assert refusals(tmp_path, operators + acts + policy) == [None, "not-competent", None]


def test_one_operator_alone_is_cleared_too(tmp_path: Path) -> None:
    """Nobody else is there to do it."""
    operators = '[[operator]]\nid = "op-1"\ncleared = { respiratory-antigen-nasal = 2026-03-29 }\n'
    policy = '[policy]\noutside_competence = "refused"\n'
    assert refusals(tmp_path, operators + label("0:00", "op-1", "C1") + policy) == [None]


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ('roles = ["reader"]', "operator: nobody is a supervisor: give one of them that role"),
        ('roles = ["boss"]', "operator.1.roles.1 = 'boss': use 'tester', 'reader' or 'supervisor'"),
        ("roles = []", 'operator.1.roles = []: write a list of roles, as ["tester", "reader"]'),
        (
            "cleared = { other = 2026-03-29 }",
            (
                "cleared.other of operator op-1: this scenario runs no such assay: "
                "use respiratory-antigen-nasal"
            ),
        ),
        (
            'cleared = { other = "soon" }',
            "operator.1.cleared.other = 'soon': write a day that exists, as \"2026-12-31\"",
        ),
    ],
    ids=["no supervisor", "no such role", "no roles", "no such assay", "no day"],
)
def test_what_cannot_be_is_told_before_anything_is_played(
    tmp_path: Path, said: str, fault: str
) -> None:
    """In one sentence: what, where, what to do."""
    path = tmp_path / "day.toml"
    path.write_text(f'{HEAD}[[operator]]\nid = "op-1"\n{said}\n', encoding="utf-8")
    with pytest.raises(WrongFileError) as refused:
        load_script(path)
    assert str(refused.value) == f"{path}: {fault}"
