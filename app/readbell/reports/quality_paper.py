"""A report on quality: what it says, and the same as one page that any browser shows."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.reports.drawing import svg

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.reports.drawing import Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table of words."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    """Each as long as the head; the first of each is what the row is about."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """Some sentences."""

    title: str
    """Empty: they go on with what stands before them."""
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QualityPaper:
    """Everything that stands in a report, in its order."""

    title: str
    subtitle: str
    banner: str
    """What has to stand on top of each page, as of a rehearsal; empty: nothing."""
    parts: tuple[Saying | Grid | Drawing, ...]
    foot: str
    sideways: str = ""
    """What is to be known where the screen is narrower than what stands on it."""


STYLE = """\
body { font: 15px/1.45 Helvetica, Arial, 'DejaVu Sans', sans-serif; color: #1b1b1b;
  background: #fff; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.5rem; margin-bottom: 0; } h2 { font-size: 1.1rem; margin-top: 2rem; }
table { border-collapse: separate; border-spacing: 0; width: 100%;
  font-variant-numeric: tabular-nums; }
th, td { text-align: right; padding: .2rem .5rem; border-bottom: 1px solid #9a9a9a; }
th { vertical-align: bottom; } td { white-space: nowrap; }
th:first-child { text-align: left; position: sticky; left: 0; background: #fff; }
tbody th { font-weight: normal; vertical-align: top; }
.wide { overflow-x: auto; } svg { width: 100%; min-width: 38rem; height: auto; }
.banner { border: 3px double #1b1b1b; padding: .5rem; }
footer { margin-top: 2rem; font-size: .85rem; } .narrow { display: none; }
@media (max-width: 40rem) { body { margin: 1rem auto; } th, td { padding: .2rem .35rem; }
  table { font-size: .85rem; } tbody th { min-width: 4.5rem; } .narrow { display: block; } }
@media print { body { margin: 0; max-width: none; font-size: 10pt; } .wide { overflow: visible; }
  svg { min-width: 0; max-height: 7cm; } h2 { break-after: avoid; } .narrow { display: none; }
  th:first-child { position: static; background: none; }
  svg, tr, .banner { break-inside: avoid; } thead { display: table-header-group; } }
"""


def quality_html(paper: QualityPaper) -> str:
    """Return the report as one HTML document that needs nothing else."""
    return "\n".join(_document(paper)) + "\n"


def _document(paper: QualityPaper) -> Iterator[str]:
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(paper.title)}</title>"
    yield f"<style>{STYLE}</style></head><body>"
    yield f"<h1>{escape(paper.title)}</h1>"
    yield f"<p>{escape(paper.subtitle)}</p>"
    if paper.banner:
        yield f'<p class="banner">{escape(paper.banner)}</p>'
    if paper.sideways:
        yield f'<p class="narrow">{escape(paper.sideways)}</p>'
    for part in paper.parts:
        match part:
            case Saying():
                if part.title:
                    yield f"<h2>{escape(part.title)}</h2>"
                yield from (f"<p>{escape(line)}</p>" for line in part.lines)
            case Grid():
                yield from _table(part)
            case _:
                yield f'<div class="wide">{svg(part)}</div>'
    yield f"<footer>{escape(paper.foot)}</footer></body></html>"


def _table(grid: Grid) -> Iterator[str]:
    yield f"<h2>{escape(grid.title)}</h2>"
    # What is wider than a telephone is moved sideways by itself, by a finger or by the arrow keys.
    yield f'<div class="wide" role="region" tabindex="0" aria-label="{escape(grid.title)}">'
    yield "<table><thead><tr>"
    yield "".join(f'<th scope="col">{escape(each)}</th>' for each in grid.head)
    yield "</tr></thead><tbody>"
    for row in grid.rows:
        first, *others = map(escape, row)
        cells = "".join(f"<td>{each}</td>" for each in others)
        yield f'<tr><th scope="row">{first}</th>{cells}</tr>'
    yield "</tbody></table></div>"
    if grid.note:
        yield f"<p>{escape(grid.note)}</p>"
