"""The next safe start for a program: the instant, the rule and the reason as fields."""

from __future__ import annotations

from builders import Bench, at
from readbell.bay.news import News
from readbell.bay.outlook import Outlook
from readbell.cli.line_mode import LineMode
from readbell.core.board.board import Board
from readbell.core.instant import Span


def news(bench: Bench, now: str) -> News:
    """Return how things stand."""
    return News(board=bench.board, events=(), at=at(now), wall=at(now), not_saved=None)


def test_a_program_gets_instant_rule_and_reason() -> None:
    """And the list of each hand, as the board has it."""
    bench = Bench()
    bench.to_well(applied="2:30")
    found = Outlook(1, Span(0)).at(bench.board, at("21:30"))
    said = LineMode().next_start(news(bench, "21:30"), found, "")

    assert said.words.split("  ")[1] == (
        "Next safe start: in 0:20, C1 must be read first (guaranteed)."
    )
    fields = said.fields
    assert (fields["rule"], fields["now"], fields["in_s"]) == ("guaranteed", False, 20)
    assert fields["first"] == fields["at_risk"] == [{"cartridge": "C1", "do": ["read"]}]
    assert (fields["no_guarantee"], fields["not_counted"], fields["spare_s"]) == ([], [], 30)
    (hand,) = fields["next"]
    assert hand["operator"] == "op-1"
    assert [(each["cartridge"], each["do"][0], each["new"]) for each in hand["list"]] == [
        ("C1", "read", False),
        (None, "label", True),
        (None, "withdraw", False),
        (None, "read", False),
    ]


def test_now_is_no_seconds_from_now() -> None:
    """With the instant itself, in the site's own time."""
    bench = Bench()
    found = Outlook().at(bench.board, at("0:00"))
    fields = LineMode().next_start(news(bench, "0:00"), found, "").fields

    assert (fields["now"], fields["in_s"]) == (True, 0)
    assert fields["starts"] == "2026-03-29T00:53:20+00:00"


def test_none_in_sight_has_no_instant() -> None:
    """With nobody at work, say."""
    bench = Bench()
    found = Outlook(0).at(bench.board, at("0:00"))
    fields = LineMode().next_start(news(bench, "0:00"), found, "").fields

    assert (fields["in_s"], fields["starts"], fields["rule"]) == (None, None, "advice")
    assert fields["no_guarantee"] == ["has-hands"]


def test_what_cannot_be_answered_is_one_sentence() -> None:
    """An unknown operator, or no assay."""
    bench = Bench()
    voice = LineMode()
    nothing = News(board=Board(), events=(), at=at("0:00"), wall=at("0:00"), not_saved=None)

    assert voice.next_start(nothing, None, "").words == (
        "no  Next safe start: no assay is adopted yet."
    )
    assert voice.next_start(news(bench, "0:00"), None, "").words == (
        "no  Next safe start: not worked out with 0 running at once."
    )
    assert voice.next_start(news(bench, "0:00"), None, "why").words == "no  why"
