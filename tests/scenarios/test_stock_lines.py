"""Lines and scenario keys about stock and control samples: read, or refused in one sentence."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from readbell.core.board.entry import Do
from readbell.core.controls.material import SampleKind
from readbell.core.reading.interpretation import LineOutcome, Outcome
from readbell.core.rehearsal.virtual_cartridge import Comes
from readbell.core.stock.events import LossReason, ReleaseReason, Storage
from readbell.scenarios.line import EntryLine, read_line
from readbell.scenarios.sample_lines import SAMPLE_LINES, ReceiveSampleLine
from readbell.scenarios.scenario_file import read_scenario
from readbell.scenarios.stock_lines import (
    STOCK_LINES,
    CorrectLotLine,
    DescribeLotLine,
    LoseUnitsLine,
    ReceiveBoxLine,
    ReleaseLotLine,
)
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from scenarios.conftest import Changed

BOX = {"do": "receive-box", "by": "op-1", "number": "L-1", "expires": "2027-01-31"}
SAMPLE = {
    "do": "receive-sample",
    "by": "op-1",
    "number": "PC-1",
    "kind": "positive",
    "assay": "a",
    "expires": "2027-01-31",
}
WHOLE: dict[str, dict[str, Any]] = {
    "receive-box": BOX,
    "receive-sample": SAMPLE,
    "open-sample": {"number": "PC-1"},
    "begin-box": {"lot": "L-1"},
    "take-out": {"lot": "L-1"},
    "put-back": {"lot": "L-1"},
    "lose-units": {"lot": "L-1", "units": 2, "reason": "damaged"},
    "count-units": {"lot": "L-1", "counted": 0},
    "recall-lot": {"lot": "L-1"},
    "release-lot": {"lot": "L-1", "reason": "investigated"},
    "use-buffer": {"cartridge": "C1", "buffer": "B-1"},
    "describe-lot": {"lot": "L-1", "buffer": "B-1"},
    "correct-lot": {"lot": "L-1", "words": "a year off", "expires": "2027-01-31"},
}


def fault(**said: Any) -> str:
    """What is said of a line that cannot be understood."""
    with pytest.raises(WrongFileError) as refused:
        read_line(json.dumps(said))
    return str(refused.value)


@pytest.mark.parametrize("do", [*STOCK_LINES, *SAMPLE_LINES])
def test_each_line_is_read_and_misses_what_it_needs(do: str) -> None:
    """A line without its lot would do it to none."""
    said = {"do": do, "by": "op-1"} | WHOLE[do]
    found = read_line(json.dumps(said))
    assert isinstance(found, ({**STOCK_LINES, **SAMPLE_LINES})[do])
    del said["by"]

    assert "by is missing" in fault(**said)


def test_a_box_is_taken_in_with_all_that_stands_on_it() -> None:
    """Every key may be left out but lot and last day, or the code that has them."""
    said = BOX | {
        "gtin": "38425876095074",
        "assay": "a",
        "units": 20,
        "storage": "cold",
        "buffer": "B-1",
        "good_days": 30,
    }
    found = read_line(json.dumps(said))

    assert isinstance(found, ReceiveBoxLine)
    assert (found.expires, found.storage, found.good_days) == (
        date(2027, 1, 31),
        Storage.COLD,
        30,
    )
    by_code = read_line(json.dumps({"do": "receive-box", "by": "op-1", "scan": "10A\x1d17270131"}))
    assert isinstance(by_code, ReceiveBoxLine)
    assert by_code.scan == "10A\x1d17270131"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"expires": "2027-02-31"}, "write a day that exists"),
        ({"expires": 2027}, "write a day that exists"),
        ({"expires": None}, "needs expires, or scan"),
        ({"number": None}, "needs number, or scan"),
        ({"number": "L 1 "}, "blanks at an end"),
        ({"gtin": "123"}, "gtin"),
        ({"units": -1}, "units"),
        ({"storage": "cellar"}, "use 'room' or 'cold'"),
        ({"colour": "red"}, "not a key"),
    ],
)
def test_a_wrong_box_is_refused_in_one_sentence(said: dict[str, Any], words: str) -> None:
    """Where, what, and what to do."""
    told = fault(**{key: each for key, each in (BOX | said).items() if each is not None})

    assert words in told


def test_reasons_are_coded() -> None:
    """So that they can be counted."""
    lost = read_line(json.dumps({"do": "lose-units", "by": "op-1"} | WHOLE["lose-units"]))
    released = read_line(json.dumps({"do": "release-lot", "by": "op-1"} | WHOLE["release-lot"]))
    assert isinstance(lost, LoseUnitsLine)
    assert isinstance(released, ReleaseLotLine)
    assert lost.reason is LossReason.DAMAGED
    assert released.reason is ReleaseReason.INVESTIGATED

    assert "use 'damaged'" in fault(do="lose-units", by="op-1", lot="L", units=1, reason="why")


def test_what_a_material_has_to_show_is_named_by_line() -> None:
    """Positive or negative, and nothing else can be wanted."""
    found = read_line(json.dumps(SAMPLE | {"expected": {"A": "positive", "B": "negative"}}))
    assert isinstance(found, ReceiveSampleLine)

    assert found.lines() == (
        LineOutcome(line="A", outcome=Outcome.POSITIVE),
        LineOutcome(line="B", outcome=Outcome.NEGATIVE),
    )
    assert "use 'positive' or 'negative'" in fault(**SAMPLE, expected={"A": "invalid"})


def test_a_cartridge_is_labelled_for_a_sample_or_for_a_person() -> None:
    """Never for both, and never for neither."""
    label = {"do": "label", "by": "op-1", "cartridge": "C1", "lot": "L-1"}
    found = read_line(json.dumps(label | {"sample": "PC-1"}))
    assert isinstance(found, EntryLine)
    assert (found.entry.person, found.entry.is_sample) == ("PC-1", True)

    assert "for a person or for a sample" in fault(**label, sample="PC-1", person="P-1")
    assert "needs person" in fault(**label)
    step = {"do": "step", "by": "op-1", "cartridge": "C1", "step": "buffer", "sample": "PC-1"}
    assert "sample does not go with" in fault(**step)


HEAD = """
title = "t"
starts = 2026-03-29T08:00:00+00:00
assay = "respiratory-antigen-nasal"
"""


def test_a_scenario_may_have_control_materials() -> None:
    """Where nothing is said of its bands, a device shows what it has to."""
    text = f"""{HEAD}
[[control]]
number = "PC-1"
kind = "positive"
expires = 2026-12-31
[[control]]
number = "NC-1"
kind = "negative"
expires = 2026-12-31
[[control]]
number = "PC-2"
kind = "positive"
expires = 2026-12-31
expected = {{ A = "positive", B = "negative" }}
[[control]]
number = "PC-3"
kind = "positive"
expires = 2026-12-31
assay = "other"
[control.bands]
control = "never"
"""
    first, second, third, fourth = read_scenario(text, "s.toml").samples

    assert (first.number, first.kind, first.assay) == (
        "PC-1",
        SampleKind.POSITIVE,
        "respiratory-antigen-nasal",
    )
    assert [each.line for each in first.shows.tests] == [""]
    assert second.shows.tests == ()
    assert [each.line for each in third.shows.tests] == ["A"]
    assert third.expected[0] == LineOutcome(line="A", outcome=Outcome.POSITIVE)
    assert (fourth.assay, fourth.shows.control_from, fourth.shows.tests) == ("other", None, ())
    assert isinstance(first.shows.tests[0], Comes)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ('number = "PC-1"\nkind = "grey"\nexpires = 2026-12-31', "use 'positive', 'negative'"),
        ('number = "PC-1"\nkind = "positive"', "expires is missing"),
        ('number = "PC-1"\nkind = "positive"\nexpires = 2026-12-31T08:00:00', "a day that exists"),
    ],
)
def test_a_wrong_control_material_is_refused_in_one_sentence(table: str, words: str) -> None:
    """As any other table is."""
    with pytest.raises(WrongFileError) as refused:
        read_scenario(f"{HEAD}[[control]]\n{table}\n", "s.toml")

    assert words in str(refused.value)


def test_two_control_materials_need_two_numbers() -> None:
    """A scan must mean one thing."""
    one = '[[control]]\nnumber = "PC-1"\nkind = "negative"\nexpires = 2026-12-31\n'
    with pytest.raises(WrongFileError) as refused:
        read_scenario(HEAD + one + one, "s.toml")

    assert "control.number" in str(refused.value)


def test_what_is_said_of_a_lot_says_something() -> None:
    """One thing at least, and days that are a number."""
    assert "say storage, buffer or good_days" in fault(do="describe-lot", by="op-1", lot="L-1")
    line = read_line(
        json.dumps({"do": "describe-lot", "by": "op-1", "lot": "L-1", "storage": "cold"})
    )
    assert isinstance(line, DescribeLotLine)
    assert (line.storage, line.buffer, line.good_days) == (Storage.COLD, None, None)


def test_a_correction_says_what_is_right_and_why() -> None:
    """In words; without them nobody could tell a second slip from the first."""
    whole = {"do": "correct-lot", "by": "op-1", "lot": "L-1", "words": "a year off"}
    assert "say expires, assay or scan" in fault(**whole)
    assert "words is missing" in fault(do="correct-lot", by="op-1", lot="L-1", assay="a")
    assert "write a day that exists" in fault(**whole, expires="2027-02-30")
    line = read_line(json.dumps(whole | {"scan": "10L-1"}))
    assert isinstance(line, CorrectLotLine)
    assert (line.expires, line.past, line.assay, line.scan) == (None, False, None, "10L-1")


ACT = """
[[act]]
at = "1:00"
by = "op-1"
lot = "L-100"
"""


@pytest.mark.parametrize(
    ("said", "do", "found"),
    [
        ('do = "begin-box"', Do.BEGIN_BOX, {}),
        ('do = "take-out"', Do.TAKE_OUT, {}),
        ('do = "put-back"', Do.PUT_BACK, {}),
        (
            'do = "lose-units"\nunits = 3\nreason = "damaged"\nwords = "torn"',
            Do.LOSE_UNITS,
            {"units": 3, "reason": "damaged", "words": "torn"},
        ),
        ('do = "count-units"\ncounted = 0', Do.COUNT_UNITS, {"units": 0}),
        ('do = "recall-lot"\nwords = "notice 7"', Do.RECALL_LOT, {"words": "notice 7"}),
        ('do = "release-lot"\nreason = "other"', Do.RELEASE_LOT, {"reason": "other"}),
        (
            'do = "correct-lot"\nexpires = 2026-01-31\npast = true\nwords = "a year off"',
            Do.CORRECT_LOT,
            {"expires": date(2026, 1, 31), "is_past": True, "words": "a year off"},
        ),
        (
            'do = "correct-lot"\nassay = "strep"\nwords = "another pile"',
            Do.CORRECT_LOT,
            {"expires": None, "is_past": False, "right_assay": "strep"},
        ),
    ],
)
def test_a_scenario_scripts_what_comes_to_a_lot(
    changed: Changed, said: str, do: Do, found: dict[str, Any]
) -> None:
    """In the words of a bay."""
    scenario = read_scenario(changed(more=f"{ACT}{said}\n"), "day.toml")
    entry = scenario.acts[-1].entry
    assert (entry.do, entry.lot) == (do, "L-100")
    assert {key: getattr(entry, key) for key in found} == found


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ('do = "lose-units"\nreason = "damaged"', 'do = "lose-units" needs units: add it'),
        ('do = "lose-units"\nunits = 0\nreason = "damaged"', "act.3.units = 0"),
        ('do = "lose-units"\nunits = 1\nreason = "eaten"', "use 'damaged', 'opened-unused'"),
        ('do = "count-units"', 'do = "count-units" needs counted: add it'),
        ('do = "count-units"\ncounted = -1', "act.3.counted = -1"),
        ('do = "release-lot"', 'do = "release-lot" needs reason: add it'),
        ('do = "release-lot"\nreason = "why not"', "'recall-withdrawn' or 'other'"),
        ('do = "recall-lot"\nunits = 2', 'units does not go with do = "recall-lot"'),
        ('do = "correct-lot"\nassay = "a"', 'do = "correct-lot" needs words: add it'),
        ('do = "correct-lot"\nwords = "w"', "needs expires or assay: add what is right"),
        ('do = "correct-lot"\nwords = "w"\nexpires = "soon"', "write a day that exists"),
        ('do = "take-out"\npast = true', 'past does not go with do = "take-out"'),
        ('do = "take-out"\ncartridge = "C1"', 'cartridge does not go with do = "take-out"'),
    ],
)
def test_what_does_not_fit_is_said_with_its_place(changed: Changed, said: str, words: str) -> None:
    """One sentence, and what to do."""
    with pytest.raises(WrongFileError) as refused:
        read_scenario(changed(more=f"{ACT}{said}\n"), "day.toml")
    assert words in str(refused.value)


def test_a_lot_of_a_scenario_may_say_what_stands_on_its_box(changed: Changed) -> None:
    """Where it is kept, its buffer, its days once opened; nothing of it has to be said."""
    (plain,) = read_scenario(changed(), "day.toml").lots
    assert not plain.is_described
    more = 'units = 20\nstorage = "cold"\nbuffer = "B-9"\ngood_days = 30'
    (lot,) = read_scenario(changed("units = 20", more), "day.toml").lots
    assert (lot.storage, lot.buffer, lot.good_days) == (Storage.COLD, "B-9", 30)
    assert lot.is_described
    with pytest.raises(WrongFileError, match=r"lot\.1\.storage"):
        read_scenario(changed("units = 20", 'storage = "warm"'), "day.toml")
