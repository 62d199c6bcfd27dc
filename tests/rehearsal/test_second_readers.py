"""A day of a site that has strips read twice, by the built-in hands and by written acts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from rehearsal.playing import report_of

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """\
title = "Two readers"
starts = 2026-03-29T09:00:00+00:00
assay = "respiratory-antigen-nasal"
[[policy.second_reader]]
when = "{when}"
[[lot]]
number = "L-1"
expires = 2026-12-31
units = 40
"""
FAINT = '[person.bands]\ntest = { from = "00:06:30", strength = "faint" }\n'


def played(tmp_path: Path, text: str, when: str = "all") -> dict[str, Any]:
    """The report of a scenario."""
    path = tmp_path / "day.toml"
    path.write_text(HEAD.format(when=when) + text, encoding="utf-8")
    return report_of(path)


def people(count: int, bands: str = "") -> str:
    """So many people at the door."""
    return "".join(f'[[person]]\nid = "P-{n}"\n{bands}' for n in range(1, count + 1))


def operators(count: int) -> str:
    """So many operators."""
    return "".join(f'[[operator]]\nid = "op-{n}"\n' for n in range(1, count + 1))


@pytest.mark.parametrize("count", [2, 3])
def test_the_built_in_hands_read_for_one_another(tmp_path: Path, count: int) -> None:
    """Each strip is read by two of them, and comes to what it shows."""
    report = played(tmp_path, operators(count) + people(7, FAINT))
    rows = report["cartridges"]
    assert [row["outcome"] for row in rows] == ["positive"] * 7
    assert {row["stage"] for row in rows} == {"read"}
    assert all(act["accepted"] for act in report["acts"])


def test_one_who_works_alone_reads_once(tmp_path: Path) -> None:
    """Nobody else is there: the readings count, and wait for an own review."""
    report = played(tmp_path, operators(1) + people(2, FAINT))
    assert [row["outcome"] for row in report["cartridges"]] == ["positive", "positive"]


def test_only_faint_lines_are_read_twice_where_that_is_asked(tmp_path: Path) -> None:
    """A plain negative takes nobody else's time."""
    faint = played(tmp_path, operators(2) + people(3, FAINT), "faint")
    plain = played(tmp_path, operators(2) + people(3), "faint")
    more = len([alert for alert in faint["alerts"] if alert["kind"] == "read-now"])
    once = len([alert for alert in plain["alerts"] if alert["kind"] == "read-now"])
    assert (once, more) == (3, 6)


def act(at: str, by: str, do: str, more: str = "") -> str:
    """One act on C1."""
    return f'[[act]]\nat = "{at}"\nby = "{by}"\ndo = "{do}"\ncartridge = "C1"\n{more}'


WORK = (
    act("0:00", "op-1", "label", 'person = "P-1"\nlot = "L-1"\n')
    + "".join(act("0:00", "op-1", "step", f'step = "{key}"\n') for key in ("buffer", "collect"))
    + act("0:00", "op-1", "step", 'step = "extract"\n')
    + act("1:00", "op-1", "step", 'step = "withdraw"\n')
    + act("2:00", "op-1", "step", 'step = "apply"\n')
)


def test_two_readers_who_disagree_leave_it_withheld(tmp_path: Path) -> None:
    """The one who read first is refused a second time, whatever they enter."""
    acts = (
        act("17:00", "op-1", "read", 'control = true\ntest = "faint"\n')
        + act("17:30", "op-1", "read", 'control = true\ntest = "faint"\n')
        + act("18:00", "op-2", "read", 'control = true\ntest = "absent"\n')
    )
    report = played(tmp_path, operators(2) + people(1) + WORK + acts)
    assert [each["refusal"] for each in report["acts"]][-3:] == [None, "not-allowed", None]
    (row,) = report["cartridges"]
    assert (row["stage"], row["outcome"]) == ("read", "withheld")


@pytest.mark.parametrize(
    ("at", "refusal", "stage", "outcome"),
    [
        pytest.param("22:00", None, "read", "positive", id="at its last millisecond"),
        pytest.param("22:00.001", "window-closed", "lapsed", "withheld", id="one too late"),
    ],
)
def test_the_second_reading_keeps_the_same_window(
    tmp_path: Path, at: str, refusal: str | None, stage: str, outcome: str
) -> None:
    """20:00 after the drops and not a millisecond longer."""
    acts = act("17:00", "op-1", "read", 'control = true\ntest = "clear"\n') + act(
        at, "op-2", "read", 'control = true\ntest = "clear"\n'
    )
    report = played(tmp_path, operators(2) + people(1) + WORK + acts)
    assert report["acts"][-1]["refusal"] == refusal
    (row,) = report["cartridges"]
    assert (row["stage"], row["outcome"], row["read_s"]) == (stage, outcome, 1020.0)
    assert [each["kind"] for each in report["alerts"] if each["kind"] == "lapsed"] == (
        [] if refusal is None else ["lapsed"]
    )
