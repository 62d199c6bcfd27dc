"""The borders of every timed rule, played through the whole program one millisecond either side."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from rehearsal.story import NASAL, Story, alerts, cartridge, last_refusal

if TYPE_CHECKING:
    from pathlib import Path

    from rehearsal.playing import Report

# In these stories the drops fall at 2:00, so 2:00 is added to every figure of the assay.


@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("16:59.999", "too-early", id="14:59.999 after the drops"),
        pytest.param("17:00", None, id="15:00.000 after the drops"),
        pytest.param("22:00", None, id="20:00.000 after the drops"),
        pytest.param("22:00.001", "window-closed", id="20:00.001 after the drops"),
    ],
)
def test_both_borders_of_the_window_belong_to_it(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """A negative one millisecond too soon or too late is no result; on the border it is one."""
    report = Story().on_the_well().read(at).play(tmp_path)

    assert last_refusal(report) == refusal


@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("03:59.999", "too-early", id="1:59.999 after the drops"),
        pytest.param("04:00", None, id="2:00.000 after the drops"),
        pytest.param("16:59.999", None, id="14:59.999 after the drops"),
        pytest.param("17:00", "not-allowed", id="15:00.000 after the drops"),
    ],
)
def test_an_early_look_ends_where_the_window_begins(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """The first border belongs to the early look, the second to the window."""
    report = Story().on_the_well().look(at).play(tmp_path)

    assert last_refusal(report) == refusal


@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("00:59.999", "wait-not-over", id="a millisecond short of its minute"),
        pytest.param("01:00", None, id="its minute exactly"),
    ],
)
def test_a_swab_stays_its_whole_minute_in_the_buffer(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """A wait cut short may hide an infection, so the firm limit is exact."""
    report = Story().in_buffer().step(at, "withdraw").play(tmp_path)

    assert last_refusal(report) == refusal


@pytest.mark.parametrize(
    ("at", "deviations"),
    [
        pytest.param("03:00", [], id="three minutes exactly"),
        pytest.param(
            "03:00.001",
            [{"code": "extract-long", "seconds": 180.001}],
            id="a millisecond over three minutes",
        ),
    ],
)
def test_a_swab_too_long_in_the_buffer_is_a_deviation(
    at: str, deviations: list[dict[str, Any]], tmp_path: Path
) -> None:
    """The soft limit refuses nobody and forgets nothing."""
    report = Story().in_buffer().step(at, "withdraw").play(tmp_path)

    assert last_refusal(report) is None
    assert cartridge(report)["deviations"] == deviations


def test_an_unread_cartridge_lapses_at_the_first_millisecond_after_its_close(
    tmp_path: Path,
) -> None:
    """Up to its last instant somebody may still be reading it."""
    report = Story().on_the_well().play(tmp_path)

    assert alerts(report)[-2:] == [(1200.0, "closing"), (1320.001, "lapsed")]
    assert (cartridge(report)["stage"], cartridge(report)["outcome"]) == ("lapsed", "invalid")


def label_near_midnight(at: str, starts: str, expires: str, folder: Path) -> str | None:
    """Try to label from a lot on its last day at Europe/London; say why it was refused."""
    return last_refusal(Story(starts=starts, expires=expires).label(at).play(folder))


# The clocks of Europe/London went forward at 01:00 UTC on 2026-03-29: a day of 23 hours.
@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("9:59.999", None, id="the last millisecond of its date"),
        pytest.param("10:00", "lot-expired", id="midnight"),
    ],
)
@pytest.mark.parametrize(
    ("starts", "expires"),
    [
        pytest.param("2026-03-28T23:50:00+00:00", "2026-03-28", id="winter, before the jump"),
        pytest.param("2026-03-29T22:50:00+00:00", "2026-03-29", id="summer, after the jump"),
    ],
)
def test_a_lot_is_good_to_midnight_of_the_site(
    at: str, refusal: str | None, starts: str, expires: str, tmp_path: Path
) -> None:
    """The date on the box means the site's own day, an hour sooner by UTC once it is summer."""
    assert label_near_midnight(at, starts, expires, tmp_path) == refusal


@pytest.mark.parametrize(
    ("at", "refusal"),
    [
        pytest.param("27:59.999", "too-early", id="a millisecond before"),
        pytest.param("28:00", None, id="fifteen minutes after the drops"),
    ],
)
def test_the_window_is_not_moved_by_a_change_to_summer_time(
    at: str, refusal: str | None, tmp_path: Path
) -> None:
    """The clock on the wall jumps an hour during development; the strip knows nothing of it."""
    night = Story(starts="2026-03-29T00:40:00+00:00").on_the_well(applied="13:00")

    report = night.read(at).play(tmp_path)

    assert last_refusal(report) == refusal


def test_elapsed_time_crosses_the_change_to_summer_time_whole(tmp_path: Path) -> None:
    """A reading at 02:08 after drops at 00:53 is 15 minutes old, not 75."""
    night = Story(starts="2026-03-29T00:40:00+00:00").on_the_well(applied="13:00")

    report = night.read("28:00").play(tmp_path)

    assert cartridge(report)["elapsed_s"] == 900.0


@pytest.mark.parametrize(
    ("named", "refusal"),
    [
        pytest.param({"scanned": "C2"}, "wrong-cartridge", id="wrong cartridge scanned"),
        pytest.param({"person": "P-002"}, "wrong-person", id="wrong person read back"),
        pytest.param({"person": "P-999"}, "wrong-person", id="person nobody knows"),
        pytest.param({"by": "op-9"}, "unknown-operator", id="operator nobody knows"),
        pytest.param(
            {"scanned": "C2", "person": "P-002"},
            "wrong-cartridge",
            id="both wrong: cartridge first",
        ),
    ],
)
def test_a_reading_of_somebody_else_is_refused_and_changes_nothing(
    named: dict[str, str], refusal: str, tmp_path: Path
) -> None:
    """The gravest slip at the bench is a true reading written down for the wrong person."""
    story = Story().on_the_well().on_the_well("C2", person="P-002")

    report = story.read("18:00", **named).play(tmp_path)

    assert last_refusal(report) == refusal
    assert cartridge(report)["stage"] == "lapsed"


def test_two_operators_at_one_instant_are_taken_in_the_order_of_the_file(tmp_path: Path) -> None:
    """The first reading stands and names its reader; the second is told that it came second."""
    story = Story().on_the_well()

    report = story.read("18:00", by="op-2").read("18:00", by="op-1", test="clear").play(tmp_path)

    assert last_refusal(report) == "already-read"
    assert (cartridge(report)["operator"], cartridge(report)["outcome"]) == ("op-2", "negative")


@pytest.mark.parametrize("bench", [pytest.param(n, id=f"{n} cartridges") for n in (2, 6)])
def test_acts_at_one_instant_all_come_before_its_alerts(bench: int, tmp_path: Path) -> None:
    """Whoever reads a strip as its window opens needs no call to read it."""
    story = Story()
    for number in range(1, bench + 1):
        story.on_the_well(f"C{number}").read("17:00", f"C{number}")

    report = story.play(tmp_path)

    assert [each for each in report["alerts"] if each["kind"] == "read-now"] == []


def test_an_act_at_an_alerts_instant_goes_first_even_if_it_was_stated_late(tmp_path: Path) -> None:
    """A wait that two entries at one instant begin and end was never over unattended."""
    story = Story().label("00:00").step("00:00", "buffer").step("00:00", "collect")

    report = (
        story.step("03:00", "extract", done_at="01:00").step("03:00", "withdraw").play(tmp_path)
    )

    assert alerts(report) == []


def test_a_cartridge_labelled_as_another_lapses_is_its_repeat(tmp_path: Path) -> None:
    """From the first millisecond after the close the first cartridge is invalid."""
    report = Story().on_the_well().label("22:00.001", "C2").play(tmp_path)

    assert cartridge(report, "C2")["repeat_of"] == "C1"


def test_a_cartridge_labelled_at_the_close_of_another_is_no_repeat(tmp_path: Path) -> None:
    """At the last instant of its window the first cartridge can still be read."""
    report = Story().on_the_well().label("22:00", "C2").play(tmp_path)

    assert cartridge(report, "C2")["repeat_of"] is None


def in_order(report: Report) -> list[tuple[float, str, str]]:
    """Return every alert with its cartridge, in the order announced."""
    return [(each["at_s"], each["cartridge"], each["kind"]) for each in report["alerts"]]


def test_alerts_of_one_instant_fall_in_the_order_of_the_labels(tmp_path: Path) -> None:
    """Two runs of one day must print the same list, whoever was labelled first."""
    story = Story(assay=NASAL).on_the_well("C9").on_the_well("C1", person="P-002")

    report = story.play(tmp_path)

    assert in_order(report)[:6] == [
        (60.0, "C9", "wait-over"),
        (60.0, "C1", "wait-over"),
        (240.0, "C9", "early-look"),
        (240.0, "C1", "early-look"),
        (1020.0, "C9", "read-now"),
        (1020.0, "C1", "read-now"),
    ]
