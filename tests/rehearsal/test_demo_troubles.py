"""Each demo scenario of something going wrong comes to the end that its first lines promise."""

from __future__ import annotations

from rehearsal.demos import DEMOS, demo, outcomes, refusals
from rehearsal.playing import lines_of
from rehearsal.story import alerts, cartridge


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


def test_the_new_lot_is_proven_before_patients_and_called_back_after() -> None:
    """Both control samples pass; the recall holds, and ends only by being withdrawn."""
    report = demo("lot_called_back")
    samples = {each["sample"]: each["verdict"] for each in report["cartridges"] if "sample" in each}

    assert samples == {"PC-7": "passed", "NC-7": "passed"}
    assert outcomes(report) == {
        "C1": ("read", "positive"),
        "C2": ("read", "negative"),
        "C3": ("read", "negative"),
        "C4": ("read", "positive"),
    }
    assert refusals(report) == [
        (10.0, "controls-due"),
        (2490.0, "lot-on-hold"),
        (2580.0, "not-allowed"),
        (3000.0, "role-missing"),
    ]
    said = {act["at_s"]: act["says"] for act in report["acts"]}
    assert "1 written off, damaged. 15 left." in said[1800.0]
    assert "2 people were tested with it: C3, C4." in said[2460.0]
    assert "15 counted, as on record" in said[2520.0]
    assert "released by HQ-S01" in said[3010.0]


def test_forgetting_to_press_narrows_the_window_by_its_doubt() -> None:
    """Half a minute of doubt: a reading at fifteen minutes and ten seconds is still too early."""
    report = demo("forgot_to_press")

    assert refusals(report) == [(1150.0, "too-early")]
    assert outcomes(report) == {"C1": ("read", "negative"), "C2": ("read", "positive")}
    assert [each["elapsed_s"] for each in report["cartridges"]] == [935.0, 910.0]


def test_gloves_that_were_not_changed_stop_nothing() -> None:
    """The program sees no gloves; only the debrief says that there was no time."""
    report = demo("gloves")

    assert refusals(report) == []
    assert outcomes(report) == {"C1": ("read", "negative"), "C2": ("read", "negative")}


def test_two_of_one_surname_are_kept_apart_by_what_is_read_back() -> None:
    """Once at the label, once at the reading, and each gets the result that is theirs."""
    report = demo("one_surname")

    assert refusals(report) == [(98.0, "wrong-person"), (1180.0, "wrong-person")]
    assert [(each["person"], each["outcome"]) for each in report["cartridges"]] == [
        ("HQ-0631", "positive"),
        ("HQ-0637", "negative"),
    ]


def test_a_smear_is_invalid_and_its_person_is_tested_again() -> None:
    """The line under the smear counts for nothing; the repeat shows the faint one that is there."""
    report = demo("smear")

    assert outcomes(report) == {
        "C1": ("read", "invalid"),
        "C2": ("read", "negative"),
        "C3": ("read", "positive"),
    }
    assert cartridge(report, "C3")["repeat_of"] == "C1"


def test_the_interrupted_reader_enters_what_was_not_there() -> None:
    """The wrong cartridge is stopped by its scan; the line that was forgotten is not."""
    report = demo("interrupted_reader")

    assert refusals(report) == [(1160.0, "wrong-cartridge")]
    assert outcomes(report) == {"C1": ("read", "negative"), "C2": ("read", "negative")}


def test_what_was_told_early_is_withheld_by_the_window_and_repeated() -> None:
    """It cannot be voided meanwhile, and the second specimen gives the result."""
    report = demo("told_then_withheld")

    assert refusals(report) == [(720.0, "not-allowed")]
    assert outcomes(report) == {"C1": ("read", "withheld"), "C2": ("read", "negative")}
    assert cartridge(report, "C1")["early_positive_s"] == 300.0
    assert cartridge(report, "C2")["repeat_of"] == "C1"


def test_bad_devices_are_voided_and_everybody_is_tested_on_sound_ones() -> None:
    """Four of nine devices go into the waste, and nobody is left without a result."""
    report = demo("bad_devices")

    assert [label for label, each in outcomes(report).items() if each[0] == "void"] == [
        "C2",
        "C4",
        "C6",
        "C7",
    ]
    results = {each["person"]: each["outcome"] for each in report["cartridges"]}
    assert results == {
        "HQ-0671": "negative",
        "HQ-0672": "positive",
        "HQ-0673": "negative",
        "HQ-0674": "positive",
        "HQ-0675": "negative",
    }
