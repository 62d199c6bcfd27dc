"""Lines about those who are tested."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from readbell.cli.main import main
from readbell.core.people.particulars import Particular
from readbell.scenarios.line import EntryLine, read_line
from readbell.scenarios.patient_lines import NotePersonLine, PersonLine
from readbell.scenarios.scenario_file import read_scenario
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path


def said(do: str, **more: object) -> object:
    """What comes of a line."""
    return read_line(json.dumps({"do": do, "by": "op-1", **more}))


def test_a_person_is_registered_with_what_is_known() -> None:
    """Whatever somebody is called, brackets and all."""
    line = said("register-person", id="P-1", name="[Ada] (Quillby)", born="1980-02-03")
    assert isinstance(line, PersonLine)
    assert list(line.particulars()) == [
        (Particular.NAME, "[Ada] (Quillby)"),
        (Particular.BIRTH_DATE, "1980-02-03"),
    ]
    later = said("note-person", person="P-1", contact="0123")
    assert isinstance(later, NotePersonLine)
    assert list(later.particulars()) == [(Particular.CONTACT, "0123")]


def test_an_act_may_say_the_second_identifier_that_was_read_back() -> None:
    """On every act that names a cartridge, as the person's ID."""
    line = said("read", cartridge="C1", person="P-1", second="Ada", control=True, test="absent")
    assert isinstance(line, EntryLine)
    assert line.entry.second == "Ada"
    mended = said("correct-reading", cartridge="C1", reason="other", second="Ada", control=True)
    assert isinstance(mended, EntryLine)
    assert mended.entry.second == "Ada"


@pytest.mark.parametrize(
    ("do", "more", "words"),
    [
        ("register-person", {"id": "P-1", "born": "1980-02-31"}, "write a day that exists"),
        ("note-person", {"person": "P-1"}, "one of them at least"),
        ("note-party", {"party": "car 12"}, "one of them at least"),
        ("note-consent", {"person": "P-1", "giver": "aunt"}, "giver"),
        (
            "note-consent",
            {"person": "P", "giver": "self", "how": "spoken", "told_to": "person", "assays": []},
            "write a list",
        ),
        ("refuse-consent", {"person": "P-1", "reason": "no"}, "reason"),
        ("note-left", {"person": "P-1", "reason": "no"}, "reason"),
        ("note-left", {"reason": "could-not-wait"}, "say who has left"),
        (
            "note-left",
            {"person": "P-1", "party": "car 1", "reason": "could-not-wait"},
            "person or party, one of them",
        ),
        (
            "note-symptoms",
            {"person": "P-1", "present": False, "onset": "2026-03-27"},
            "take it out",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    do: str, more: dict[str, object], words: str
) -> None:
    """What is wrong, and what to write."""
    with pytest.raises(WrongFileError, match=words):
        said(do, **more)


PERSON = """
title = "One at the window"
starts = 2026-03-29T00:40:00+00:00
assay = "respiratory-antigen-nasal"
[[person]]
id = "P-1"
"""


def test_a_scenario_may_say_what_its_people_are_known_by() -> None:
    """As a line of a bay does."""
    found = read_scenario(f'{PERSON}name = "Ada (Q)"\nborn = "1980-02-03"\n', "a.toml")
    assert found.persons[0].particulars == (
        (Particular.NAME, "Ada (Q)"),
        (Particular.BIRTH_DATE, "1980-02-03"),
    )


STEADY = """
title = "One by steady hands"
starts = 2026-03-29T09:00:00+00:00
assay = "respiratory-antigen-nasal"
[policy]
second_identifier = "name"
ask_consent = true
[[operator]]
id = "op-1"
[[lot]]
number = "L-1"
expires = 2026-12-31
[[person]]
id = "P-1"
name = "Ada Quillby"
"""


@pytest.mark.parametrize("consents", [True, False])
def test_steady_hands_read_back_and_begin_nobody_without_consent(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], *, consents: bool
) -> None:
    """A rehearsal under a site's rules is no shorter than the day it rehearses."""
    file = tmp_path / "day.toml"
    said = 'consent = { giver = "self", how = "spoken", told_to = "person" }' if consents else ""
    file.write_text(f"{STEADY}{said}\n", "utf-8")
    assert main(["rehearse", str(file), "--unattended", "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    refusals = {each["refusal"] for each in report["acts"]}
    assert refusals == ({None} if consents else {"consent-missing"})
    assert [each["outcome"] for each in report["cartridges"]] == (["negative"] if consents else [])


def test_nobody_in_a_scenario_is_born_after_its_day() -> None:
    """It would be refused once it plays, where nobody sees it."""
    with pytest.raises(WrongFileError, match=r"person\.1\.born: that day is still to come"):
        read_scenario(f'{PERSON}born = "2026-03-30"\n', "a.toml")
