"""`quality --pictures`: every picture of the report as a file of its own."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import resvg_py
from PIL import Image

from cli.quality_bench import WHO

if TYPE_CHECKING:
    from cli.conftest import Command


def test_the_pictures_shown_to_newcomers_are_those_that_the_program_draws(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """`docs/draw_figures.py` made them from the same quarter."""
    folder, docs = tmp_path / "pictures", Path(__file__).parents[2] / "docs"
    command("quality", *WHO, "--journal", quarter, "--pictures", folder)

    for drawn, shown in (
        ("01-running-sum-of-lot-l-507-respiratory-antigen-nasal.svg", "figures_sum.svg"),
        ("02-invalid-strips-by-lot-respiratory-antigen-nasal.svg", "figures_lots.svg"),
        ("06-positives-by-week.svg", "figures_weeks.svg"),
    ):
        assert (folder / drawn).read_text("utf-8") == (docs / shown).read_text("utf-8")


def test_every_picture_is_written_for_the_file(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """As they stand in the report, each by itself, and to be seen by its owner alone."""
    folder = tmp_path / "pictures"
    done = command("quality", *WHO, "--journal", quarter, "--pictures", folder)
    assert (done.status, done.err) == (0, "")

    names = sorted(each.name for each in folder.iterdir())
    assert len(names) == 8
    assert names[0] == "01-running-sum-of-lot-l-507-respiratory-antigen-nasal.svg"
    assert names[-1] == "08-load-by-hour-of-the-day.svg"
    for each in folder.iterdir():
        assert len(resvg_py.svg_to_bytes(svg_string=each.read_text("utf-8"))) > 1_000
        assert each.stat().st_mode & 0o077 == 0
    again = command("quality", *WHO, "--journal", quarter, "--pictures", folder)
    assert (again.status, again.out) == (2, "")
    assert "something stands there already" in again.err


def test_every_picture_is_written_as_png_where_that_is_asked_for(
    command: Command, quarter: Path, tmp_path: Path
) -> None:
    """For a letter or a slide that takes no SVG."""
    folder = tmp_path / "pictures"
    command("quality", *WHO, "--journal", quarter, "--pictures", folder, "--png")

    assert len(list(folder.glob("*.png"))) == 8
    for each in folder.iterdir():
        with Image.open(each) as picture:
            assert picture.format == "PNG"
            assert picture.width == 1440
        assert each.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("missing", ["pypdfium2", "reportlab.pdfgen.canvas"])
def test_without_the_extra_png_is_refused_before_a_folder_is_made(
    command: Command,
    quarter: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    missing: str,
) -> None:
    """Once it is installed the same words do it: nothing stands in their way."""
    folder = tmp_path / "pictures"
    asked = ("quality", *WHO, "--journal", quarter, "--pictures", folder, "--png")
    with monkeypatch.context() as without:
        without.setitem(sys.modules, missing, None)
        done = command(*asked)

    assert (done.status, done.out) == (2, "")
    assert "pip install 'readbell[paper]', or leave --png out" in done.err
    assert len(done.err.splitlines()) == 1
    assert not folder.exists()
    assert command(*asked).status == 0


def test_a_week_is_drawn_by_day(command: Command, quarter: Path, tmp_path: Path) -> None:
    """And a quarter by week."""
    report = tmp_path / "week.html"
    command("quality", *WHO, "--journal", quarter, "--out", report, "--week", "2026-W10")

    text = report.read_text("utf-8")
    assert "Positives by day" in text
    assert "Nothing: no lot that was used on these days is out of the ordinary." in text
