"""The report as a real browser lays it out: on a telephone, on a desk, and on paper.

Runs where a Chromium is installed (Debian's package `chromium`), and is left out elsewhere.
"""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess
from html import unescape
from typing import TYPE_CHECKING, Any

import pypdf
import pytest

from patience import PATIENCE_SECONDS
from quarter import make_quarter
from readbell.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

BROWSER = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(
        BROWSER is None,
        reason="no Chromium is installed here: what the report looks like in a browser is not looked at",
    ),
]
MEASURES = """
<script>
const page = document.documentElement, found = {};
found.wide = innerWidth;
found.over = page.scrollWidth - page.clientWidth;
found.svgs = [...document.querySelectorAll('svg')].map(each => each.getBoundingClientRect().width);
found.text = Math.min(...[...document.querySelectorAll('svg text')].map(
  each => parseFloat(each.getAttribute('font-size')) * each.ownerSVGElement.getScreenCTM().a));
found.apart = [...document.querySelectorAll('.wide')].filter(
  each => each.scrollWidth > each.clientWidth).length;
found.hint = getComputedStyle(document.querySelector('.narrow')).display;
found.asks = performance.getEntriesByType('resource').length;
page.setAttribute('data-found', JSON.stringify(found));
</script>
"""


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The report of a made-up quarter with a bad lot in it."""
    folder = tmp_path_factory.mktemp("report")
    quarter = make_quarter(folder / "quarter.journal")
    out = folder / "report.html"
    assert (
        main(["quality", "--journal", str(quarter.journal), "--by", "op-1", "--out", str(out)]) == 0
    )
    return out


def browse(folder: Path, *options: str) -> subprocess.CompletedProcess[bytes]:
    """Have the browser do one thing; it is given nothing of whoever runs the tests."""
    assert BROWSER is not None
    return subprocess.run(
        [
            BROWSER,
            *("--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"),
            *("--disable-dev-shm-usage", "--no-first-run", f"--user-data-dir={folder / 'profile'}"),
            *options,
        ],
        capture_output=True,
        timeout=PATIENCE_SECONDS,
        check=True,
    )


def laid_out(report: Path, folder: Path, wide: int) -> dict[str, Any]:
    """What the report measures in a window so many pixels wide."""
    page = folder / "measured.html"
    page.write_text(report.read_text("utf-8").replace("</body>", f"{MEASURES}</body>"), "utf-8")
    done = browse(folder, f"--window-size={wide},900", "--dump-dom", page.as_uri())
    found = re.search(r'data-found="([^"]*)"', done.stdout.decode("utf-8"))
    assert found is not None, done.stderr
    measured: dict[str, Any] = json.loads(unescape(found[1]))
    return measured


def test_on_a_telephone_nothing_but_tables_and_pictures_goes_beyond_the_edge(
    report: Path, tmp_path: Path
) -> None:
    """The page itself stays; what is wider is moved by itself, and it is said that it can be."""
    found = laid_out(report, tmp_path, 390)

    assert found["wide"] <= 500  # some have a least width of their own
    assert found["over"] <= 0
    assert found["apart"] >= 2
    assert found["hint"] == "block"
    assert found["text"] >= 7.0, "the smallest letters of a picture can still be read"


def test_on_a_desk_all_of_it_fits(report: Path, tmp_path: Path) -> None:
    """No table has to be moved, and no picture is wider than the words."""
    found = laid_out(report, tmp_path, 1280)

    assert found["wide"] == 1280
    assert (found["over"], found["apart"], found["hint"]) == (0, 0, "none")
    assert 600 <= max(found["svgs"]) <= 760


def test_it_asks_nobody_for_anything(report: Path, tmp_path: Path) -> None:
    """No font, no picture, no script from elsewhere: who reads it tells nobody that they do."""
    assert laid_out(report, tmp_path, 1280)["asks"] == 0


def test_on_paper_it_says_all_of_it_on_a_handful_of_pages(report: Path, tmp_path: Path) -> None:
    """A table that goes on says its head again, and no heading stands alone at a foot."""
    out = tmp_path / "report.pdf"
    browse(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={out}", report.as_uri())
    pages = [each.extract_text() for each in pypdf.PdfReader(io.BytesIO(out.read_bytes())).pages]
    text = " ".join(" ".join(pages).split())

    assert 4 <= len(pages) <= 8
    for said in (
        "What is proposed",
        "By reader",
        "Running sum of lot L-507",
        "Load by hour",
        "Near misses",
    ):
        assert said in text
    assert "moved sideways" not in text
    assert not [each for each in pages if each.strip().splitlines()[-1] in {"By lot", "By reader"}]
