"""Each whole session among the demo scenarios comes to the end that its first lines promise."""

from __future__ import annotations

import tomllib
from collections import Counter

from rehearsal.demos import CLOSES, DEMOS, OPENS, demo, kinds, outcomes, refusals
from rehearsal.playing import lines_of
from rehearsal.scenario_text import millis
from rehearsal.story import cartridge


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


def test_the_first_cartridge_is_one_faint_positive_and_no_trouble() -> None:
    """What a newcomer plays first: every call once, and nothing to go wrong."""
    report = demo("first_cartridge")

    assert outcomes(report) == {"C1": ("read", "positive")}
    assert kinds(report) == {"wait-over": 1, "early-look": 1, "read-now": 1}
    assert refusals(report) == []


def test_the_worst_hour_loses_no_window() -> None:
    """Questions, a car that leaves, a colleague away, a shut lid, and a box that is out of date."""
    report = demo("the_worst_hour")
    read = [each for each in report["cartridges"] if each["stage"] == "read"]

    assert Counter(each["stage"] for each in report["cartridges"]) == {"read": 15, "void": 2}
    assert all(OPENS <= each["elapsed_s"] <= CLOSES for each in read)
    assert Counter(each["outcome"] for each in read) == {
        "negative": 8,
        "positive": 5,
        "invalid": 2,
    }
    assert {each["lot"] for each in report["cartridges"]} == {"L-2211"}
    assert "HQ-0711" not in {each["person"] for each in report["cartridges"]}
    assert refusals(report) == []
