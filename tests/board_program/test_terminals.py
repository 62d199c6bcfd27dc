"""Every terminal and every size gets the same facts in plain text, with or without colour."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from board_program.conftest import LOT, NO_DROPS, OPERATOR, dropped

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

PEOPLE = ("P-0412", "P-0413", "P-0414", "P-0415", "P-0416", "P-0417")
LABELS = ("C01", "C02", "C03", "C04", "C05", "C06")
WORDS = {
    "C01": "CLOSING",
    "C02": "READ NOW",
    "C03": "opens in",
    "C04": "WAIT OVER",
    "C05": "in buffer",
    "C06": "labelled",
}
"""One cartridge in each state, by the word that says so."""
SIZES = ((80, 24), (120, 40), (200, 60))
LOOKS: dict[str, tuple[tuple[str, ...], dict[str, str]]] = {
    "dark": ((), {}),
    "light": (("--light",), {}),
    "ascii": (("--ascii",), {}),
    "no colour": ((), {"NO_COLOR": "1"}),
    "bare console": ((), {"TERM": "linux"}),
    "many colours": ((), {"COLORTERM": "truecolor"}),
}
OF_COLOUR = re.compile(rb"\x1b\[[\d;]*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:[;\d]*)m")


@pytest.fixture
def busy(place: Place) -> Place:
    """A bay with one cartridge in each state a board can show."""
    # Each is of an assay of its own, with the figures that keep it in its state.
    figures: dict[str, dict[str, str]] = {
        "closing": {"opens": "0:00.300", "closes": "30:00", "closing_warning": "29:59.500"},
        "reading": {"opens": "0:00.300", "closes": "40:00", "closing_warning": "1:00"},
        "early": {"opens": "45:00", "closes": "50:00", "early_from": "30:00"},
        "over": {},
        "soaking": {"least": "15:00"},
    }
    by = {"by": OPERATOR}
    lines: list[dict[str, Any]] = []
    for number, (name, figure) in enumerate(figures.items()):
        place.write_assay(name, **figure)
        lines += [
            {"do": "adopt-assay", "assay": name, "instructions": "v1", **by},
            {
                "do": "receive-lot",
                "number": f"L-{number}",
                "assay": name,
                "expires": "2099-12-31",
                **by,
            },
        ]
    for number, label in enumerate(LABELS):
        act = {**by, "cartridge": label}
        lot = f"L-{number}" if number < len(figures) else LOT
        lines.append({"do": "label", **act, "person": PEOPLE[number], "lot": lot})
        if label != "C06":
            lines.append({"do": "steps", **act, "steps": list(NO_DROPS)})
    place.prepare(*lines, persons=PEOPLE)
    place.serve(*dropped("C01", "C02", "C03"))
    return place


def all_is_told(bench: Bench) -> bool:
    """Whether each state stands in its row, in words, and the last line is painted too."""
    return bench.rows[-1].startswith(" F2 Start") and all(
        word in bench.row_of(label) for label, word in WORDS.items()
    )


@pytest.mark.parametrize("look", LOOKS)
def test_each_look_tells_all_states_apart_in_plain_text(busy: Place, look: str) -> None:
    """What is said by colour alone is not said to everybody, nor to a photograph in grey."""
    options, environment = LOOKS[look]
    bench = busy.board("--quiet", *options, size=(80, 24), environment=environment)
    bench.until(lambda: all_is_told(bench))
    said = {label: bench.row_of(label)[:36].replace(label, "") for label in LABELS}
    assert len({re.sub(r"[\d:\[\]]", "", each) for each in said.values()}) == len(LABELS)
    assert bench.row_of("C01").lstrip().startswith("!! ")
    assert bench.row_of("C02").lstrip().startswith("!  ")
    coloured = bool(OF_COLOUR.search(bytes(bench.output)))
    assert coloured is (look != "no colour")
    if look == "ascii":
        assert bench.picture.isascii()
    if look in ("bare console", "no colour"):
        assert b"38;" not in bench.output


def test_all_looks_say_the_same(busy: Place) -> None:
    """Nothing is lost in the dark, in the light or without colour: the same words, letter by letter."""
    told: dict[str, list[str]] = {}
    for look in ("dark", "light", "no colour", "bare console"):
        options, environment = LOOKS[look]
        bench = busy.board("--quiet", *options, environment=environment)
        bench.until(lambda bench=bench: all_is_told(bench))  # type: ignore[misc]
        bench.until_seen("F8 Heard C01")  # not in the first half second, when nobody has heard it
        rows = [bench.row_of(label)[:29] for label in LABELS]
        told[look] = [*rows, *(row for row in bench.rows[-2:])]
        bench.leave()
    for look, rows in told.items():
        assert rows == told["dark"], look


@pytest.mark.parametrize("size", SIZES)
def test_each_size_shows_every_state_the_scan_line_and_the_keys(
    busy: Place, size: tuple[int, int]
) -> None:
    """From a small netbook to a wall: the words and countdowns are on all of them."""
    bench = busy.board(size=size)
    bench.until(lambda: all_is_told(bench))
    assert bench.rows[size[1] - 2].startswith(" Scan")
    assert "Harrow Quay" in bench.rows[0]
    assert "READ NOW" in bench.picture
    assert all(len(row) <= size[0] for row in bench.rows)


def test_a_window_that_changes_its_size_loses_nothing(busy: Place) -> None:
    """Somebody splits the screen or turns the tablet, amid an open form too."""
    bench = busy.board("--quiet", size=(120, 40))
    bench.until(lambda: all_is_told(bench))
    for columns, rows in ((80, 24), (200, 60), (60, 20), (20, 5), (120, 40)):
        bench.resize(columns, rows)
        if columns >= 80:
            bench.until(lambda: all_is_told(bench))
        else:
            bench.until_seen("C01")
    bench.scan_for("C02", "Control line C")
    bench.press_for("up", "Control line C")
    for columns, rows in ((80, 24), (200, 60), (120, 40)):
        bench.resize(columns, rows)
        bench.until_seen("Control line C", "present", "Test line T", "C02", "closes")
    bench.press("down")
    bench.until_seen("NEGATIVE")
