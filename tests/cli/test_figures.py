"""`figures`: what a record adds up to, for those who may see it, and that they looked is on record."""

from __future__ import annotations

import csv
import json
import stat
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Self

import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL
from cli.past_bay import ADA, BEA, SECRETS, PastBay
from readbell.core.board.acts import ReceiveLot
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.events import SubjectKind
from readbell.core.controls.acts import ReceiveMaterial
from readbell.core.controls.material import SampleKind
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.refusal import RefusalCode
from readbell.journal.openings import openings_beside

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading, Start


class BusyBay(PastBay):
    """The past bay, with a near miss, strips of every outcome, and a lot with a wicked number."""

    def busy(self) -> Self:
        """Do all of that."""
        for number, seen in enumerate((CLEAR, NO_CONTROL, NEGATIVE), 4):
            self.to_well(f"C{number}", BEA)
            self.must(self.read_act(seen, f"C{number}"), "17:45")
        self.events.append(
            ActRefused(
                at=self.cartridge("C4").labelled.at,
                by="key-op-1",
                act="read",
                code=RefusalCode.TOO_EARLY,
                cartridge="id-C4",
                entered=None,
                bands=None,
            )
        )
        return self


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A bay with roles whose work lies back: op-1 is a supervisor, op-2 is none."""
    return BusyBay(roles=True).busy().put(tmp_path / "bay.journal")


def _to_well(made: PastBay, label: str) -> None:
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:00", label)
    made.step("withdraw", "1:00", label)
    made.step("apply", "2:30", label)


def figures(command: Command, journal: Path, *arguments: str) -> dict[str, Any]:
    """The figures as a program gets them."""
    done = command("figures", *arguments, "--operator", "op-1", "--journal", journal, "--json")
    assert (done.status, done.err) == (0, "")
    found: dict[str, Any] = json.loads(done.out)
    return found


def looks_in(events: list[Any]) -> list[TraceOpened]:
    """Return who looked into the record."""
    return [each for each in events if isinstance(each, TraceOpened)]


def test_everything_is_counted_once_and_the_look_is_on_record(
    command: Command, journal: Path, events_in: Reading
) -> None:
    """Each rate with what it was counted of."""
    found = figures(command, journal)

    whole = found["whole"]
    assert whole["came"] == {
        "positive": 2,
        "negative": 2,
        "invalid": 1,
        "lapsed": 0,
        "withheld": 0,
        "withdrawn": 0,
        "void": 1,
    }
    assert (whole["tests"], found["mode"], found["days"]) == (5, "live", 1)
    assert (whole["positive"]["count"], whole["positive"]["of"]) == (2, 4)
    assert whole["positive"]["share"] == pytest.approx(0.5)
    assert whole["invalid"]["of"] == 5
    assert whole["read_after_s"] == {
        "count": 5,
        "q05": None,
        "q25": None,
        "q50": None,
        "q75": None,
        "q95": None,
    }
    assert [each["lot"] for each in found["by"]["lot"]] == ["L-100"]
    assert [each["reader"] for each in found["by"]["reader"]] == ["op-1"]
    assert sum(whole["begun_by_hour"]) == 6
    assert found["near_misses"]["by_code"] == {"too-early": 1}
    assert found["near_misses"]["by_operator"] == {"op-1": 1}
    assert found["near_misses"]["by_lot"] == {"L-100": 1}
    (looked,) = looks_in(events_in(journal))
    assert (looked.of, looked.about) == (TraceOf.FIGURES, "")


@pytest.mark.parametrize(
    ("arguments", "tests"),
    [
        (("--since", "2026-03-29", "--until", "2026-03-29"), 5),
        (("--since", "2026-03-30"), 0),
        (("--until", "2026-03-28"), 0),
        (("--lot", "L-100", "--assay", "respiratory-antigen-nasal"), 5),
    ],
)
def test_what_is_asked_for_is_counted(
    command: Command, journal: Path, arguments: tuple[str, ...], tests: int
) -> None:
    """Near misses follow the same choice."""
    found = figures(command, journal, *arguments)
    assert found["whole"]["tests"] == tests
    assert found["near_misses"]["total"] == (1 if tests else 0)


@pytest.mark.parametrize("by", ["day", "assay", "lot", "operator", "reader"])
def test_the_text_has_tables_and_pictures_and_says_how_little_few_are(
    command: Command, journal: Path, by: str
) -> None:
    """And nobody who was tested is named in it."""
    done = command("figures", "--by", by, "--operator", "op-1", "--journal", journal)
    assert (done.status, done.err) == (0, "")
    assert done.out.startswith("Figures of Harrow Quay, 2026-03-29\n")
    assert "5 tests of patients on 1 day: 2 positive, 2 negative, 1 invalid" in done.out
    assert "* fewer than 20: the interval says how little that tells." in done.out
    assert "50.0 (15.0 to 85.0)" in done.out
    assert "begun in each hour" in done.out
    assert "1 act refused" in done.out
    assert "  by why: too early 1\n" in done.out
    assert "\\" not in done.out
    assert "no prevalence" in done.out
    assert not any(each in done.out for each in (*SECRETS, ADA, BEA))


def test_plain_signs_are_enough(command: Command, journal: Path) -> None:
    """For a terminal that has no others."""
    done = command("figures", "--ascii", "--operator", "op-1", "--journal", journal)
    assert done.out.isascii()
    assert "####" in done.out


def test_nothing_on_record_is_said(command: Command, journal: Path) -> None:
    """Rather than a table of nothing."""
    done = command(
        *("figures", "--since", "2027-01-01", "--operator", "op-1", "--journal", journal)
    )
    assert "Nothing that ended is on record there" in done.out
    assert "None is on record." in done.out


def test_every_table_is_written_for_spreadsheets_and_no_field_is_run(
    command: Command, tmp_path: Path
) -> None:
    """A lot's number is whatever a label says."""
    made = BusyBay(roles=True)
    wicked = "=1+1"
    made.must(
        ReceiveLot(
            by="op-1",
            number=wicked,
            assay="respiratory-antigen-nasal",
            expires=made.board.lots["L-100"].expires,
            units=5,
        )
    )
    made.must(replace(made.label_act("C9", ADA), lot=wicked))
    _to_well(made, "C9")
    made.must(made.read_act(NEGATIVE, "C9"), "18:00")
    journal = made.put(tmp_path / "wicked.journal")
    folder = tmp_path / "tables"
    done = command(
        *("figures", "--csv", folder, "--operator", "op-1", "--journal", journal, "--json")
    )
    assert (done.status, done.err) == (0, "")

    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    names = {each.name for each in folder.iterdir()}
    assert {"whole.csv", "by-day.csv", "by-lot.csv", "waits.csv", "begun-by-hour.csv"} <= names
    rows = [*csv.DictReader((folder / "by-lot.csv").read_text(encoding="utf-8").splitlines())]
    assert [each["lot"] for each in rows] == [f"'{wicked}", "L-100"]
    assert rows[0]["tests"] == "1"
    assert rows[0]["positive_of"] == "1"
    again = command("figures", "--csv", folder, "--operator", "op-1", "--journal", journal)
    assert again.status == 2
    assert "something stands there already" in again.err


def test_control_samples_stand_apart_in_the_order_in_which_they_were_read(
    command: Command, tmp_path: Path
) -> None:
    """They are no patients."""
    made = BusyBay(roles=True).busy()
    made.must(
        ReceiveMaterial(
            by="op-1",
            number="M-1",
            kind=SampleKind.NEGATIVE,
            assay="respiratory-antigen-nasal",
            expires=made.board.lots["L-100"].expires,
        )
    )
    kind = SubjectKind.CONTROL_SAMPLE
    made.must(replace(made.label_act("C8", "M-1"), subject_kind=kind))
    _to_well(made, "C8")
    made.must(made.read_act(NEGATIVE, "C8"), "18:00")
    journal = made.put(tmp_path / "samples.journal")
    found = figures(command, journal)

    assert found["whole"]["tests"] == 5
    (sample,) = found["control_samples"]
    assert (sample["material"], sample["kind"], sample["verdict"]) == ("M-1", "negative", "passed")
    assert sample["day"] == "2026-03-29"
    done = command("figures", "--operator", "op-1", "--journal", journal)
    assert "passed" in done.out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "say who looks: --by OPERATOR; it is recorded"),
        (("--operator", "op-9"), "No operator op-9 is registered here"),
        (("--operator", "op-2"), "Only a supervisor may do that here"),
        (("--operator", "op-1", "--since", "soon"), "--since: 'soon' is no day"),
        (
            ("--operator", "op-1", "--since", "2026-03-02", "--until", "2026-03-01"),
            "--until 2026-03-01 is before --since 2026-03-02",
        ),
    ],
)
def test_what_cannot_be_shown_is_said_in_one_sentence(
    command: Command, journal: Path, arguments: tuple[str, ...], says: str
) -> None:
    """Exit 2, and no figure."""
    done = command("figures", *arguments, "--journal", journal)
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert len(done.err.splitlines()) == 1


def test_while_a_program_runs_the_bay_the_figures_are_those_of_a_moment_ago(
    command: Command, journal: Path, start_bay: Start
) -> None:
    """Nothing is taken from it, and the look is noted beside the record."""
    bay = start_bay(journal, "--quiet")
    bay.must(do="register-person", by="op-1", id="P-3")

    assert figures(command, journal)["whole"]["tests"] == 5
    assert len(openings_beside(journal).read_bytes().splitlines()) == 1
    bay.kill()


def test_a_rehearsal_is_looked_at_by_anybody_and_says_what_it_is(
    command: Command, tmp_path: Path, scenario: Path
) -> None:
    """Nobody in it is real, and nothing is noted in it."""
    journal = tmp_path / "practice.journal"
    command("rehearse", scenario, "--unattended", "--journal", journal)
    before = journal.read_bytes()
    done = command("figures", "--journal", journal)
    assert done.status == 0
    assert "REHEARSAL: practice, of no patient." in done.out
    assert journal.read_bytes() == before


def test_an_archive_is_looked_into_and_stays_as_it_is_to_the_last_byte(
    command: Command, journal: Path, tmp_path: Path
) -> None:
    """Its digest is on record; nothing may be left in it, a snapshot neither."""
    target = tmp_path / "q1.archive"
    asked = ("--through", "2026-03-29", "--by", "op-1", "--reason", "first quarter")
    assert command("archive", *asked, "--out", target, "--journal", journal).status == 0
    before = target.read_bytes()

    assert figures(command, target)["whole"]["tests"] == 5
    assert target.read_bytes() == before
    assert {each.name for each in tmp_path.iterdir() if "archive" in each.name} == {target.name}


def test_who_looks_is_said_as_everywhere_else(command: Command, journal: Path) -> None:
    """--by is whoever acts, in each command; as it was said here before goes on."""
    # The first look takes the bay up, and has on record how far the wall clock went meanwhile.
    assert command("figures", "--by", "op-1", "--journal", journal).status == 0
    before = command("figures", "--by", "lot", "--operator", "op-1", "--journal", journal)
    now = command("figures", "--each", "lot", "--by", "op-1", "--journal", journal)
    alone = command("figures", "--by", "op-1", "--journal", journal)
    day = command("figures", "--operator", "op-1", "--journal", journal)

    assert (now.status, now.out) == (0, before.out)
    assert (alone.status, alone.out) == (0, day.out)
    two = command("figures", "--by", "op-1", "--operator", "op-1", "--journal", journal)
    assert (two.status, two.out) == (2, "")
    assert two.err == "--by and --operator both say who looks: leave --operator out\n"
