"""`readbell plan`: the contract of its JSON, what it says and draws, and bad input in one sentence."""

from __future__ import annotations

import itertools
import json
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.cli import plan_asked
from readbell.cli.exit_codes import DONE, WRONG_INPUT
from readbell.cli.main import main
from readbell.scenarios.arrivals import MOST_PEOPLE

if TYPE_CHECKING:
    from pathlib import Path

STEPS = ["label", "buffer", "collect", "extract", "withdraw", "apply", "read"]


def said(capsys: pytest.CaptureFixture[str], *options: str) -> str:
    """Return what the command prints when all is well."""
    assert main(["plan", *options]) == DONE
    return capsys.readouterr().out


def test_the_json_has_every_hands_on_step_of_every_person(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """People and operators count from 1, seconds from the start; nothing else stands there."""
    found = json.loads(said(capsys, "--people", "5", "--operators", "2", "--json"))

    assert list(found) == ["makespan_s", "lower_bound_s", "proven", "stagger_s", "hands_on"]
    assert [list(each) for each in found["hands_on"]] == [
        ["person", "step", "operator", "start_s", "end_s"]
    ] * 35
    steps = {(each["person"], each["step"]) for each in found["hands_on"]}
    assert steps == {(person, step) for person in range(1, 6) for step in STEPS}
    assert {each["operator"] for each in found["hands_on"]} == {1, 2}
    assert max(each["end_s"] for each in found["hands_on"]) == found["makespan_s"]
    assert found["lower_bound_s"] <= found["makespan_s"]


def test_the_json_keeps_the_limits_of_the_assay(capsys: pytest.CaptureFixture[str]) -> None:
    """Told from the JSON alone: a minute in buffer, the limit of three, the read window."""
    found = json.loads(said(capsys, "--people", "9", "--operators", "2", "--json"))
    at = {(each["person"], each["step"]): each for each in found["hands_on"]}
    for person in range(1, 10):
        extract, withdraw = at[person, "extract"], at[person, "withdraw"]
        apply, read = at[person, "apply"], at[person, "read"]
        assert withdraw["start_s"] - extract["end_s"] >= 60
        assert withdraw["end_s"] - extract["end_s"] <= 180
        assert read["start_s"] - apply["end_s"] >= 900
        assert read["end_s"] - apply["end_s"] <= 1200
    for operator in (1, 2):
        own = sorted(
            (each["start_s"], each["end_s"])
            for each in found["hands_on"]
            if each["operator"] == operator
        )
        assert all(ends <= begins for (_, ends), (begins, _) in itertools.pairwise(own))


def test_it_says_its_rule_its_bound_and_who_does_what(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing claims to be the shortest unless it is proven."""
    out = said(capsys, "--people", "6", "--gloves", "0", "--ascii")
    assert out.isascii()
    out = " ".join(out.split())  # a line ends where the terminal is as wide

    assert "6 people, 1 operator" in out
    assert "The last reading is done 27:45 after the start." in out
    assert "No timetable ends before 27:25; this one is 1.2 % above that bound" in out
    assert "not proven the shortest" in out
    assert "Rule: " in out
    assert "Advisory limits are kept like firm ones." in out
    assert "The kit's own instructions" in out
    assert "person 6 withdraw, apply" in out


def test_a_change_of_gloves_stands_in_the_timetable(capsys: pytest.CaptureFixture[str]) -> None:
    """Right before the person it is for."""
    out = said(capsys, "--people", "2", "--ascii")

    assert "change gloves" in out
    assert "A change of gloves takes 20 s" in out


def test_a_proof_is_told_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    """And JSON says so, with the bound at the end."""
    out = said(capsys, "--people", "6", "--gloves", "0", "--prove", "--ascii")
    assert "Proven: no timetable is shorter." in out

    found = json.loads(said(capsys, "--people", "6", "--gloves", "0", "--prove", "--json"))
    assert found["proven"] is True
    assert found["lower_bound_s"] == found["makespan_s"]


def test_arrivals_breaks_and_slack_are_kept_and_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A list of times as CSV, or in TOML."""
    listed = tmp_path / "cars.csv"
    listed.write_text("arrives\n0:00\n\n2:30\n0:05:00\n", "utf-8")
    out = said(
        capsys,
        *("--arrivals", str(listed), "--people", "3", "--slack", "extract:20", "--slack", "30"),
        *("--break", "1:10:00-12:00", "--ascii"),
    )

    assert "20 s or more before the end of the wait after extract" in out
    assert "30 s or more before the end of the read window" in out
    assert "Operator 1 is away from 10:00 to 12:00." in out
    toml = tmp_path / "cars.toml"
    toml.write_text('arrivals = ["0:00", "2:30", "5:00"]\n', "utf-8")
    found = json.loads(said(capsys, "--arrivals", str(toml), "--json"))
    begun = [each["start_s"] for each in found["hands_on"] if each["step"] == "label"]
    assert begun[1] >= 150
    assert begun[2] >= 300


def test_idle_hands_are_told_too(capsys: pytest.CaptureFixture[str]) -> None:
    """An operator with nothing to do is no mistake."""
    assert "nothing to do" in said(capsys, "--people", "1", "--operators", "3", "--ascii")


def test_the_line_for_a_live_bay_is_one_json_object(capsys: pytest.CaptureFixture[str]) -> None:
    """It loads the starts, by the operator that is named."""
    line = json.loads(said(capsys, "--people", "3", "--line", "op-1"))

    assert line["do"] == "load-plan"
    assert line["by"] == "op-1"
    assert line["starts"][0] == {"after": "0:00", "operator": 1}
    assert len(line["starts"]) == 3


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "Nobody is named"),
        (["--people", "0"], "--people 0: name a whole number from 1 to 500."),
        (["--people", "-3"], "--people -3"),
        (["--people", "many"], "--people many"),
        (["--people", "99999999999"], "--people 99999999999"),
        (["--people", "2", "--operators", "0"], "--operators 0"),
        (["--people", "2", "--gloves", "nan"], "--gloves nan"),
        (["--people", "2", "--gloves", "-1"], "--gloves -1"),
        (["--people", "2", "--seconds", "0"], "--seconds 0"),
        (["--people", "2", "--slack", "286"], "has 285 s to spare"),
        (["--people", "2", "--slack", "extract:111"], "has 110 s to spare"),
        (["--people", "2", "--slack", "99999999"], "--slack 99999999"),
        (["--people", "2", "--slack", "-4"], "--slack -4"),
        (["--people", "2", "--slack", "swab:4"], "name extract or read"),
        (["--people", "2", "--slack", "4", "--slack", "read:5"], "named twice"),
        (["--people", "2", "--break", "1:9:00-3:00"], "FROM before TO"),
        (["--people", "2", "--break", "lunch"], "--break lunch"),
        (["--people", "2", "--break", "2:0:00-1:00"], "--break of operator 2"),
        (
            ["--people", "2", "--break", "1:0:00-5:00", "--break", "1:4:00-9:00"],
            "overlaps another break",
        ),
        (["--people", "2", "--picture", "plan.bmp"], "ends in .svg, .pdf or .png"),
        (["--people", "2", "--picture", "nowhere/at/all.svg"], "check the name"),
        (["--people", "2", "--arrivals", "nowhere.csv"], "nowhere.csv"),
        (["--people", "2", "--assay", "nothing"], "'nothing' is not known"),
    ],
)
def test_bad_input_is_one_sentence(
    capsys: pytest.CaptureFixture[str], options: list[str], words: str
) -> None:
    """What, where, and what to do; nothing on standard output."""
    assert main(["plan", *options]) == WRONG_INPUT
    told = capsys.readouterr()
    assert words in told.err
    assert told.err.count("\n") == 1
    assert told.out == ""


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.csv", "2:00\n1:00\n", "line 2: 1:00 stands after 2:00"),
        ("a.csv", "-1:00\n", "line 1"),
        ("a.csv", "25:00:00\n", "more than a day"),
        ("a.csv", "9999999:00:00\n", "line 1"),
        ("a.csv", "0:00,P-001\n", "one time a line"),
        ("a.csv", "\n", "it names 0 arrivals"),
        ("a.toml", 'arrivals = ["2:00", "1:00"]', "arrivals.2: 1:00 stands after 2:00"),
        ("a.toml", "arrivals = []", "arrivals"),
        ("a.toml", "people = 3", "arrivals is missing"),
        ("a.csv", "0:00\n1:00\n", "names 2 arrivals"),
    ],
)
def test_a_bad_arrivals_file_is_one_sentence(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str, text: str, words: str
) -> None:
    """The place in the file is named."""
    file = tmp_path / name
    file.write_text(text, "utf-8")

    assert main(["plan", "--arrivals", str(file), "--people", "3"]) == WRONG_INPUT
    told = capsys.readouterr()
    assert words in told.err
    assert told.err.count("\n") == 1


@pytest.mark.parametrize(
    ("missing", "options", "words"),
    [
        ("ortools", ["--prove", "--people", "6", "--gloves", "0"], "pip install 'readbell[plan]'"),
        ("reportlab", ["--people", "2", "--picture", "p.pdf"], "pip install 'readbell[paper]'"),
    ],
)
def test_a_missing_extra_is_named_with_how_to_get_it(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    missing: str,
    options: list[str],
    words: str,
) -> None:
    """Without it everything else works."""
    monkeypatch.chdir(tmp_path)
    for loaded in [each for each in sys.modules if each.split(".")[0] == missing]:
        monkeypatch.delitem(sys.modules, loaded)
    for own in ("readbell.solver.prove", "readbell.solver.model"):
        monkeypatch.delitem(sys.modules, own, raising=False)
    monkeypatch.setitem(sys.modules, missing, None)

    assert main(["plan", *options]) == WRONG_INPUT
    assert words in capsys.readouterr().err


def test_the_largest_numbers_that_are_taken_are_small_enough() -> None:
    """Beyond them a slip of the keys is likelier than such a batch."""
    assert MOST_PEOPLE == 500
    assert plan_asked.MOST_OPERATORS == 20
