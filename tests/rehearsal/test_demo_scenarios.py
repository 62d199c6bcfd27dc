"""Each demo scenario comes to the end that its first lines promise."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

import pytest

from rehearsal.playing import Report, lines_of, report_of
from rehearsal.scenario_text import millis
from rehearsal.story import alerts, cartridge

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
FILES = sorted(DEMOS.glob("*.toml"))
NAMES = [
    "drive_through_hour",
    "household_of_six",
    "invalid_and_repeat",
    "lid_closed",
    "missed_window",
    "quiet_morning",
]
OPENS, CLOSES = 900, 1200

every_demo = pytest.mark.parametrize("file", [pytest.param(f, id=f.stem) for f in FILES])


def demo(name: str) -> Report:
    """Play the demo scenario `name`."""
    return report_of(DEMOS / f"{name}.toml")


def outcomes(report: Report) -> dict[str, tuple[str, str | None]]:
    """Return stage and outcome of each cartridge."""
    return {each["cartridge"]: (each["stage"], each["outcome"]) for each in report["cartridges"]}


def refusals(report: Report) -> list[tuple[float, str]]:
    """Return when an act was refused, and why."""
    return [(act["at_s"], act["refusal"]) for act in report["acts"] if not act["accepted"]]


def kinds(report: Report) -> Counter[str]:
    """Count the alerts of a run by kind."""
    return Counter(alert["kind"] for alert in report["alerts"])


def test_the_folder_holds_these_scenarios() -> None:
    """A scenario without an expected end could go wrong unseen."""
    assert [file.stem for file in FILES] == NAMES


@every_demo
def test_a_scenario_begins_with_its_goal_and_a_line_of_practice(file: Path) -> None:
    """Whoever opens the file learns first what it is for, and what it teaches."""
    lines = file.read_text(encoding="utf-8").splitlines()
    comment = lines[: next(n for n, line in enumerate(lines) if not line.startswith("#"))]

    assert comment[0].startswith("# Goal: see ")
    assert any(line.startswith("# Common practice: ") for line in comment)


@every_demo
def test_a_scenario_comes_out_the_same_each_time(file: Path) -> None:
    """A rehearsal that two people cannot repeat proves nothing to either."""
    first, second = report_of(file), report_of(file)

    assert first == second
    assert len(first["journal"]["head"]) == 64


@every_demo
def test_no_scenario_ends_with_a_person_left_without_a_result(file: Path) -> None:
    """Each shows the whole way, so the last cartridge of everybody is read."""
    ended = {each["person"]: each["stage"] for each in report_of(file)["cartridges"]}

    assert ended
    assert set(ended.values()) == {"read"}


def test_the_quiet_morning_has_three_plain_results() -> None:
    """The first scenario a newcomer sees has no trouble in it."""
    report = demo("quiet_morning")

    assert outcomes(report) == {
        "C1": ("read", "negative"),
        "C2": ("read", "positive"),
        "C3": ("read", "negative"),
    }
    assert refusals(report) == []
    assert kinds(report) == {"wait-over": 3, "early-look": 3, "read-now": 3}
    assert all(each["deviations"] == [] for each in report["cartridges"])


def test_the_household_of_six_has_one_early_and_one_faint_positive() -> None:
    """A line counts early or faint; everything else is read in its window."""
    report = demo("household_of_six")

    assert [each["outcome"] for each in report["cartridges"]] == [
        "negative",
        "negative",
        "positive",
        "negative",
        "negative",
        "positive",
    ]
    assert [each["early_positive_s"] for each in report["cartridges"]] == [
        None,
        None,
        390.0,
        None,
        None,
        None,
    ]
    assert len({each["person"] for each in report["cartridges"]}) == 6


def test_the_household_of_six_refuses_only_the_early_negative() -> None:
    """One slip stands in it on purpose; the hands are otherwise those of a good operator."""
    report = demo("household_of_six")

    assert refusals(report) == [(980.0, "early-negative")]
    assert all(each["deviations"] == [] for each in report["cartridges"])


def test_the_household_of_six_reads_each_strip_as_its_window_opens() -> None:
    """One pair of hands keeps six clocks, so no alarm has to become urgent."""
    report = demo("household_of_six")

    assert kinds(report) == {"wait-over": 6, "early-look": 6, "read-now": 6}
    assert {each["elapsed_s"] for each in report["cartridges"]} == {915.0}


def test_the_lines_of_the_household_name_what_matters() -> None:
    """This is what a newcomer sees first, so its turning points are held word by word."""
    told = "\n".join(lines_of(DEMOS / "household_of_six.toml"))

    assert told.startswith("REHEARSAL  A household of six at Harrow Quay\n")
    assert "14:16:00  C3  early look: + POSITIVE" in told
    assert "A negative counts only in the window, from 14:25:20, in 9:00." in told
    assert "14:30:55  C6  read: + POSITIVE." in told
    assert "6 cartridges: 2 positive, 4 negative, 0 invalid, 0 withheld; 0 of them lapsed." in told


def test_the_drive_through_hour_misses_no_window() -> None:
    """The rule it teaches: a queue can wait, a read window cannot."""
    report = demo("drive_through_hour")
    elapsed = [each["elapsed_s"] for each in report["cartridges"]]

    assert len(elapsed) >= 40
    assert all(OPENS <= each <= CLOSES for each in elapsed)
    assert set(kinds(report)) == {"wait-over", "early-look", "read-now"}
    assert refusals(report) == []


def test_the_drive_through_hour_serves_cars_with_several_people() -> None:
    """A car is one party: its people arrive together and are told apart by ID alone."""
    text = (DEMOS / "drive_through_hour.toml").read_text(encoding="utf-8")
    cars = Counter(each["arrives"] for each in tomllib.loads(text)["person"])

    assert len(cars) == 20
    assert max(cars.values()) == 4
    assert all(millis(arrives) < 3_600_000 for arrives in cars)


def test_the_drive_through_hour_uses_two_operators_and_two_boxes() -> None:
    """Both pairs of hands are needed, and an empty box is followed by the next."""
    report = demo("drive_through_hour")

    assert {each["operator"] for each in report["cartridges"]} == {"HQ-S01", "HQ-S02"}
    assert Counter(each["lot"] for each in report["cartridges"]) == {"L-2207": 25, "L-2211": 18}


def test_the_drive_through_hour_repeats_its_one_invalid_cartridge() -> None:
    """The device that never ran is answered by a second one for the same person."""
    report = demo("drive_through_hour")

    assert Counter(outcomes(report).values()) == {
        ("read", "negative"): 37,
        ("read", "positive"): 5,
        ("read", "invalid"): 1,
    }
    repeat = cartridge(report, "C43")
    assert (repeat["repeat_of"], repeat["person"]) == ("C17", cartridge(report, "C17")["person"])


def test_the_invalid_cartridge_is_linked_to_its_repeat() -> None:
    """Both stay on the record: the first as invalid, the second as the result."""
    report = demo("invalid_and_repeat")

    assert outcomes(report) == {
        "C1": ("read", "invalid"),
        "C2": ("read", "negative"),
        "C3": ("read", "negative"),
    }
    assert [each["repeat_of"] for each in report["cartridges"]] == [None, None, "C1"]


def test_the_slips_of_the_invalid_scenario_are_refused() -> None:
    """An early negative, an early look without control line and a wrong cartridge change nothing."""
    assert refusals(demo("invalid_and_repeat")) == [
        (600.0, "early-negative"),
        (620.0, "early-no-control"),
        (1210.0, "wrong-cartridge"),
    ]


def test_the_closed_lid_costs_only_the_cartridge_it_slept_through() -> None:
    """One window closed meanwhile; the others are read inside theirs, and the one is repeated."""
    report = demo("lid_closed")

    assert outcomes(report) == {
        "C1": ("lapsed", "invalid"),
        "C2": ("read", "positive"),
        "C3": ("read", "negative"),
        "C4": ("read", "negative"),
    }
    assert cartridge(report, "C4")["repeat_of"] == "C1"
    assert refusals(report) == []


def test_what_fell_due_under_the_closed_lid_is_announced_as_it_opens() -> None:
    """No alert is lost, and none rang before the computer could ring."""
    report = demo("lid_closed")

    assert alerts(report, "C1")[2:] == [
        (1500.0, "read-now"),
        (1500.0, "closing"),
        (1500.0, "lapsed"),
    ]
    assert alerts(report, "C2")[2:] == [(1500.0, "read-now"), (1500.0, "closing")]
    assert alerts(report, "C3")[2:] == [(1760.0, "read-now")]


def test_the_closed_lid_is_told_of_and_late_alerts_are_marked() -> None:
    """Whoever opens the lid learns that it slept, how long, and which cartridges to look at."""
    told = "\n".join(lines_of(DEMOS / "lid_closed.toml"))

    assert "This computer slept 8:00 and no alarm could ring. Look at C1, C2, C3." in told
    assert "Late by 3:40: it was due 11:21:20." in told


def test_the_missed_window_ends_invalid_and_is_repeated() -> None:
    """A window nobody came to gives no result, whatever the strip shows later."""
    report = demo("missed_window")

    assert outcomes(report) == {"C1": ("lapsed", "invalid"), "C2": ("read", "negative")}
    assert cartridge(report, "C2")["repeat_of"] == "C1"
    assert refusals(report) == [(1680.0, "window-closed")]


def test_the_missed_window_was_called_out_before_it_was_missed() -> None:
    """Every alert fell in its turn, so the record shows that the program did its part."""
    assert alerts(demo("missed_window")) == [
        (150.0, "wait-over"),
        (270.0, "overdue"),
        (450.0, "early-look"),
        (1230.0, "read-now"),
        (1410.0, "closing"),
        (1530.001, "lapsed"),
    ]


def test_the_long_wait_before_the_missed_window_is_a_deviation() -> None:
    """A limit that only advises is recorded with its length and stops nothing."""
    assert cartridge(demo("missed_window"))["deviations"] == [
        {"code": "extract-long", "seconds": 220.0}
    ]
