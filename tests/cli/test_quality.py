"""`quality`: a report that finds the bad lot, says what a flag is worth, and holds nothing."""

from __future__ import annotations

import sys
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pypdf
import pytest

from cli.past_bay import PastBay
from cli.quality_bench import WHO, as_json, in_one_line, text_of
from quarter import BAD_LOT, Quarter
from readbell.core.keeping.events import TraceOf, TraceOpened
from readbell.core.stock.events import LotHeld
from readbell.settings.places import settings_file

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from cli.conftest import Command, Reading


def test_the_report_of_a_quarter_finds_the_bad_lot_and_no_other(
    command: Command, quarter: Path, made_quarter: Quarter, tmp_path: Path
) -> None:
    """It was hidden among twelve good ones; how many of its strips are invalid is known here."""
    report = tmp_path / "report.html"
    done = command("quality", *WHO, "--journal", quarter, "--out", report)
    assert (done.status, done.err) == (0, "")

    said = in_one_line(done.out)
    assert f"Lot {BAD_LOT} of respiratory-antigen-nasal: the running sum flagged it" in said
    counts = f"{made_quarter.invalid[BAD_LOT]} of its {made_quarter.read[BAD_LOT]} strips are"
    assert counts in said
    assert said.count("Proposed:") == 1
    assert "Nothing was held and nothing was asked for." in said
    others = [each for each in made_quarter.read if each != BAD_LOT]
    assert len(others) == 12
    assert not [each for each in others if each in said]
    found = as_json(command, quarter)
    assert [each["lot"] for each in found["proposals"]] == [BAD_LOT]
    assert found["proposals"][0]["running_sum"]["after"] < 100
    by_lot = [each for each in found["charts"] if (each["by"], each["sign"]) == ("lot", "invalid")]
    flagged = [each["lot"] for each in by_lot[0]["points"] if each["flagged"]]
    assert flagged == [BAD_LOT]


def test_nothing_is_held_by_it_and_the_look_is_on_record(
    command: Command, quarter: Path, events_in: Reading, tmp_path: Path
) -> None:
    """It proposes; the lot stands as it stood."""
    command("quality", *WHO, "--journal", quarter, "--out", tmp_path / "report.html")

    events = events_in(quarter)
    assert not [each for each in events if isinstance(each, LotHeld)]
    (looked,) = [each for each in events if isinstance(each, TraceOpened)]
    assert looked.of is TraceOf.FIGURES


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_the_same_record_gives_the_same_bytes(
    command: Command, quarter: Path, tmp_path: Path, kind: str
) -> None:
    """A report that is made again can be held against the one in the file."""
    made = [tmp_path / f"{name}.{kind}" for name in ("one", "two")]
    for each in made:
        assert command("quality", *WHO, "--journal", quarter, "--out", each).status == 0

    assert made[0].read_bytes() == made[1].read_bytes()


class Seen(HTMLParser):
    """Counts what an HTML document holds, and sees that every element ends."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.counts: dict[str, int] = {}
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        """Open it."""
        self.counts[tag] = self.counts.get(tag, 0) + 1
        self.links += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close what was opened last."""
        assert self.open.pop() == tag


def test_the_html_is_whole_and_needs_nothing_from_elsewhere(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """A running sum, four charts, the positives by week, the window and the hours; no script, no link."""
    report = tmp_path / "report.html"
    command("quality", *WHO, "--journal", quarter, "--out", report)
    seen = Seen()
    seen.feed(report.read_text("utf-8"))

    assert seen.open == []
    assert seen.links == []
    assert seen.counts["svg"] == 8
    assert "script" not in seen.counts
    assert report.stat().st_mode & 0o077 == 0


def test_the_pdf_says_the_same_on_numbered_pages(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """With the cautions at the foot of each."""
    report = tmp_path / "report.pdf"
    assert command("quality", *WHO, "--journal", quarter, "--out", report).status == 0
    pages = pypdf.PdfReader(report).pages

    text = in_one_line(text_of(report.read_bytes()))
    for words in (
        "Quality report of Harrow Quay, 2026-01-05 to 2026-04-05",
        "What is proposed",
        f"Lot {BAD_LOT}",
        "Invalid strips by lot",
        "While all is well a lot is flagged once in 20,4",
        "and no prevalence",
    ):
        assert words in text
    assert all(
        "A negative does not exclude infection" in in_one_line(each.extract_text())
        for each in pages
    )
    assert all(str(n) in each.extract_text().splitlines() for n, each in enumerate(pages, 1))


def test_the_report_of_a_week_holds_its_lot_against_those_of_a_quarter(
    command: Command, quarter: Path
) -> None:
    """The bad lot was in use in the ninth week; in the tenth it was not."""
    bad = as_json(command, quarter, "--week", "2026-W09")
    good = as_json(command, quarter, "--week", "2026-W10")

    assert (bad["since"], bad["until"]) == ("2026-02-23", "2026-03-01")
    assert bad["whole"]["tests"] == 7 * 24
    assert [each["lot"] for each in bad["by"]["lot"]] == [BAD_LOT]
    assert [each["lot"] for each in bad["proposals"]] == [BAD_LOT]
    assert len(bad["charts"][0]["points"]) == 8
    assert (good["proposals"], good["acted"]) == ([], False)


def test_without_the_extra_a_pdf_is_refused_before_anything_is_read(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """HTML needs no extra, and is said to be there."""
    monkeypatch.setitem(sys.modules, "reportlab.pdfbase.ttfonts", None)
    done = command(
        *("quality", *WHO, "--journal", tmp_path / "none.journal", "--out", tmp_path / "a.pdf")
    )

    assert (done.status, done.out) == (2, "")
    assert "pip install 'readbell[paper]', or name an .html file" in done.err


def test_a_site_says_what_is_usual_here(command: Command, quarter: Path) -> None:
    """With kits of which a tenth is invalid as a rule the running sum has nothing to say."""
    file = settings_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("[figures]\nusual_invalid = 0.12\nworse_invalid = 0.3\n")
    found = as_json(command, quarter)

    assert found["running_sum"]["usual_invalid"] == 0.12
    (proposal,) = found["proposals"]
    assert proposal["running_sum"] is None
    assert proposal["chart"]["invalid"] > proposal["chart"]["usual_most"]


def test_a_proposed_lot_that_is_held_already_is_said_to_be(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """Nobody needs to hold it twice."""
    held = command(*("lot", "hold", BAD_LOT, *WHO, "--journal", quarter))
    assert held.status == 0, held.err
    done = command("quality", *WHO, "--journal", quarter, "--out", tmp_path / "a.html")

    assert "It is on hold now." in in_one_line(done.out)


def test_a_record_with_nothing_in_it_gives_a_report_that_says_so(
    command: Command, tmp_path: Path
) -> None:
    """And no picture of nothing."""
    journal = PastBay().put(tmp_path / "bay.journal")
    for kind in ("html", "pdf"):
        report = tmp_path / f"report.{kind}"
        done = command(
            *("quality", *WHO, "--journal", journal, "--out", report, "--since", "2030-01-01")
        )
        assert (done.status, done.err) == (0, "")
    text = (tmp_path / "report.html").read_text("utf-8")

    assert "Nothing that ended is on record there" in text
    assert "<svg" not in text


def test_the_report_of_a_rehearsal_says_so_on_each_page(
    command: Command, tmp_path: Path, scenario: Path
) -> None:
    """It is practice, of no patient; nobody has to say who looks."""
    journal = tmp_path / "practice.journal"
    command("rehearse", scenario, "--unattended", "--journal", journal)
    for kind in ("html", "pdf"):
        done = command("quality", "--journal", journal, "--out", tmp_path / f"report.{kind}")
        assert (done.status, done.err) == (0, "")

    assert "REHEARSAL" in (tmp_path / "report.html").read_text("utf-8")
    pages = pypdf.PdfReader(tmp_path / "report.pdf").pages
    assert all("REHEARSAL" in each.extract_text() for each in pages)


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((*WHO,), "name a file for the report, --out FILE.html or FILE.pdf, or ask for --json"),
        ((*WHO, "--out", "report.doc"), "name a file that ends in .html or .pdf"),
        ((*WHO, "--out", "there.html"), "something stands there already"),
        ((*WHO, "--pictures", "nowhere/a"), "nowhere/a: No such file or directory: choose a place"),
        ((*WHO, "--json", "--png"), "--png goes with --pictures: name a new folder"),
        ((*WHO, "--out", "new.html", "--png"), "--png goes with --pictures: name a new folder"),
        ((*WHO, "--json", "--week", "13"), "--week: '13' is no week: write it as 2026-W13"),
        ((*WHO, "--json", "--week", "2026-W13", "--since", "2026-01-01"), "--week says all days"),
        ((*WHO, "--json", "--since", "soon"), "--since: 'soon' is no day"),
        (("--json",), "say who looks: --by OPERATOR; it is recorded"),
        (("--by", "op-2", "--json"), "Only a supervisor may do that here"),
    ],
)
def test_what_cannot_be_done_is_told_in_one_sentence(
    command: Command,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: tuple[str, ...],
    why: str,
) -> None:
    """Exit 2, and nothing is written or shown."""
    journal = PastBay(roles=True).put(tmp_path / "bay.journal")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.html").write_text("kept")
    done = command("quality", *arguments, "--journal", journal)

    assert (done.status, done.out) == (2, "")
    assert why in done.err
    assert len(done.err.splitlines()) == 1
    assert (tmp_path / "there.html").read_text() == "kept"
