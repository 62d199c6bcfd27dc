"""An assay file is refused in one sentence that names the file, the key, the value and the cure."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import NASAL, span
from readbell.assays.library import read_assay
from readbell.core.assay.step import Limit
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from assays.conftest import Writing

LAST_WAIT = 'touches_specimen = true\n\n[step.wait]\nuntil = "apply"\nleast = "0:10"\n\n[reading]'


@pytest.mark.parametrize(
    ("old", "new", "key", "value", "remedy"),
    [
        pytest.param(
            'opens = "15:00"',
            'opens = "0:00"',
            "reading.opens",
            "0:00",
            "set how long after the drops a reading counts",
            id="a window that opens with the drops",
        ),
        pytest.param(
            'closes = "20:00"',
            'closes = "15:00"',
            "reading.closes",
            "15:00",
            "a reading at one single instant cannot be kept; set the last instant the site "
            'accepts, or closes = "no stated limit"',
            id="a reading at one instant",
        ),
        pytest.param(
            'closes = "20:00"',
            'closes = "14:59.999"',
            "reading.closes",
            "14:59.999",
            "set it later than reading.opens, 15:00",
            id="a window that closes before it opens",
        ),
        pytest.param(
            'closing_warning = "2:00"',
            'closing_warning = "5:00.001"',
            "reading.closing_warning",
            "5:00.001",
            "set it no longer than the window itself",
            id="a warning longer than the window",
        ),
        pytest.param(
            'early_from = "2:00"',
            'early_from = "0:00"',
            "reading.early_from",
            "0:00",
            "set it after 0:00 and before reading.opens, 15:00, or leave it out",
            id="an early look with the drops",
        ),
        pytest.param(
            'early_from = "2:00"',
            'early_from = "15:00"',
            "reading.early_from",
            "15:00",
            "set it after 0:00 and before reading.opens, 15:00, or leave it out",
            id="an early look as the window opens",
        ),
        pytest.param(
            'mark = "T"',
            'mark = "C"',
            "reading.line",
            "C",
            "give each line a key and a printed letter of its own",
            id="a test line with the control's letter",
        ),
        pytest.param(
            'key = "buffer"',
            'key = "label"',
            "step.key",
            "label",
            "give each step a key of its own",
            id="two steps of one key",
        ),
        pytest.param(
            "collects = true",
            "collects = false",
            "step.collects",
            "0",
            "mark exactly one step as the one that takes the specimen",
            id="no step that takes the specimen",
        ),
        pytest.param(
            "extracts = true",
            "collects = true",
            "step.collects",
            "2",
            "mark exactly one step as the one that takes the specimen",
            id="two steps that take the specimen",
        ),
        pytest.param(
            'name = "in buffer"',
            'until = "buffer"',
            "step.extract.wait.until",
            "buffer",
            "name one of the steps that follow: withdraw, apply",
            id="a wait that ends in the past",
        ),
        pytest.param(
            'most = "3:00"',
            'most = "0:59.999"',
            "step.extract.wait.most",
            "0:59.999",
            "set it no shorter than wait.least, 1:00",
            id="a wait of less than its least",
        ),
        pytest.param(
            'least = "1:00"\nleast_is = "firm"\nmost = "3:00"',
            'least = "0:00"',
            "step.extract.wait",
            "empty",
            "set least, most or both",
            id="a wait of nothing",
        ),
        pytest.param(
            "touches_specimen = true\n\n[reading]",
            LAST_WAIT,
            "step.apply.wait",
            "apply",
            "leave it out: after the last step the read window counts",
            id="a wait after the drops",
        ),
        pytest.param(
            "storage = [2, 30]",
            "storage = [30, 2]",
            "temperature.storage",
            "[30, 2]",
            "set a lower and a higher figure between -40 and 60 C",
            id="temperatures the wrong way round",
        ),
        pytest.param(
            "running = [15, 30]",
            "running = [59, 86]",
            "temperature.running",
            "[59, 86]",
            "set a lower and a higher figure between -40 and 60 C",
            id="temperatures in another scale",
        ),
    ],
)
def test_each_rule_of_the_whole_is_told_in_one_sentence(
    write_assay: Writing, old: str, new: str, key: str, value: str, remedy: str
) -> None:
    """Whoever copies figures from a leaflet is told where the slip is and what to write."""
    path = write_assay((old, new))

    with pytest.raises(WrongFileError) as refused:
        read_assay(path)

    assert refused.value.faults[0] == f"{path}: {key} = {value}: {remedy}"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param('closes = "20:00"', 'closes = "17:00.000"', id="as long as its warning"),
        pytest.param('early_from = "2:00"', 'early_from = "0:00.001"', id="just after the drops"),
        pytest.param('early_from = "2:00"', 'early_from = "14:59.999"', id="just before it opens"),
        pytest.param('most = "3:00"', 'most = "1:00"', id="a wait of one exact length"),
        pytest.param('early_from = "2:00"\n', "", id="no early look"),
        pytest.param('most = "3:00"\nmost_is = "advisory"\n', "", id="a wait without an end"),
        pytest.param('loinc = "97097-0"\n', "", id="no code"),
        pytest.param("storage = [2, 30]", "storage = [-40, 60]", id="the widest temperatures"),
    ],
)
def test_figures_at_the_border_of_a_rule_are_taken(
    write_assay: Writing, old: str, new: str
) -> None:
    """A rule that is a unit too strict turns away an honest kit."""
    assert read_assay(write_assay((old, new))).id == NASAL.id


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        pytest.param("format = 1\n", "", "format is missing: add it", id="a missing key"),
        pytest.param("format = 1", "format = 2", "format = 2: use 1", id="another format"),
        pytest.param(
            'mark = "T"',
            'mark = "T\\u202e"',
            "reading.line.1.mark = 'T\\u202e': it has blanks at an end or signs that cannot be seen: "
            "write it in one line without",
            id="a letter that turns others round",
        ),
        pytest.param(
            'name = "in buffer"',
            'name = "in\\u001b[8mbuffer"',
            "step.4.wait.name = 'in\\x1b[8mbuffer': it has blanks at an end or signs that cannot be "
            "seen: write it in one line without",
            id="a code that hides what follows",
        ),
        pytest.param(
            "format = 1",
            "format = 1\nmaker = 'somebody'",
            "maker is not a key this file may have: take it out or mend its name",
            id="an unknown key",
        ),
        pytest.param(
            "format = 1",
            "format = 1\nMaker = 'somebody'",
            "Maker is not a key this file may have: take it out or mend its name",
            id="an unknown key with a capital",
        ),
        pytest.param(
            'opens = "15:00"',
            "opens = 15",
            'reading.opens = 15: write a time as "15:00", or "0:15:00" with hours',
            id="a number for a time",
        ),
        pytest.param(
            'opens = "15:00"',
            'opens = "15 min"',
            'reading.opens = \'15 min\': write a time as "15:00", or "0:15:00" with hours',
            id="words for a time",
        ),
        pytest.param(
            'hands_on = "0:45"',
            'hands_on = "0:75"',
            'step.3.hands_on = \'0:75\': write a time as "15:00", or "0:15:00" with hours',
            id="seventy-five seconds",
        ),
        pytest.param(
            'least_is = "firm"',
            'least_is = "soft"',
            "step.4.wait.least_is = 'soft': use 'firm' or 'advisory'",
            id="an unknown kind of limit",
        ),
        pytest.param(
            'closes = "20:00"\n',
            "",
            "reading.closes is missing: add it",
            id="an upper limit passed over in silence",
        ),
        pytest.param(
            'id = "respiratory-antigen-nasal"',
            'id = "Nasal Test"',
            "id = 'Nasal Test': string should match pattern",
            id="an id that is no file name",
        ),
        pytest.param(
            "storage = [2, 30]",
            "storage = [2, nan]",
            "temperature.storage.2 = nan: it should be a finite number",
            id="a temperature that is no number",
        ),
        pytest.param(
            "storage = [2, 30]",
            "storage = [2]",
            "temperature.storage.2 is missing: add it",
            id="half a pair of temperatures",
        ),
        pytest.param(
            "[basis]\n", "[basis_]\n", "basis is missing: add it", id="figures without a basis"
        ),
    ],
)
def test_each_wrong_key_is_told_in_one_sentence(
    write_assay: Writing, old: str, new: str, fault: str
) -> None:
    """The file and the key come first, so that an editor can be put on the place."""
    path = write_assay((old, new))

    with pytest.raises(WrongFileError) as refused:
        read_assay(path)

    assert str(refused.value).startswith(f"{path}: {fault}")


def test_an_assay_without_a_test_line_is_refused(write_assay: Writing) -> None:
    """A strip with nothing but its control line tests for nothing."""
    line = '[[reading.line]]\nkey = "sars-cov-2"\nmark = "T"\nname = "SARS-CoV-2 antigen"\n'
    path = write_assay(
        (line, ""), ('loinc = "97097-0"\n', ""), ("[reading]\n", "[reading]\nline = []\n")
    )

    with pytest.raises(WrongFileError, match="list at least one test line, as printed"):
        read_assay(path)


def test_an_assay_of_one_step_is_refused(write_assay: Writing) -> None:
    """A cartridge is at least labelled and filled."""
    path = write_assay()
    text = path.read_text(encoding="utf-8")
    first, rest = text.index('[[step]]\nkey = "buffer"'), text.index("[reading]")
    path.write_text(text[:first] + text[rest:], encoding="utf-8")

    with pytest.raises(WrongFileError, match="list at least a label and an application"):
        read_assay(path)


def test_every_fault_of_a_file_is_found_at_once(write_assay: Writing) -> None:
    """Mending one place only to be told of the next wastes an evening."""
    path = write_assay(('closes = "20:00"', 'closes = "10:00"'), ("[2, 30]", "[30, 2]"))

    with pytest.raises(WrongFileError, match=r"\(and \d more\)$") as refused:
        read_assay(path)

    assert [f"{path}: reading.closes" in fault for fault in refused.value.faults].count(True) == 1
    assert any(f"{path}: temperature.storage" in fault for fault in refused.value.faults)


def test_a_wait_ends_at_the_next_step_unless_another_is_named(write_assay: Writing) -> None:
    """What nearly every leaflet means need not be written."""
    plain = read_assay(write_assay()).step("extract")
    named = read_assay(write_assay(('name = "in buffer"', 'until = "apply"'))).step("extract")

    assert plain is not None
    assert plain.wait is not None
    assert plain.wait.until == "withdraw"
    assert named is not None
    assert named.wait is not None
    assert named.wait.until == "apply"


def test_what_a_wait_leaves_out_is_firm_below_and_advisory_above(write_assay: Writing) -> None:
    """The usual meaning of a leaflet: not sooner than, and better not later than."""
    path = write_assay(('least_is = "firm"\n', ""), ('most_is = "advisory"\n', ""))
    extract = read_assay(path).step("extract")

    assert extract is not None
    assert extract.wait is not None
    assert (extract.wait.least_is, extract.wait.most_is) == (Limit.FIRM, Limit.ADVISORY)


def test_a_warm_up_is_read(write_assay: Writing) -> None:
    """Kits kept cold stand at room temperature first: about half an hour (common practice)."""
    path = write_assay(("[temperature]", '[temperature]\nwarm_up = "30:00"'))

    assert read_assay(path).temperatures.warm_up == span("30:00")


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('loinc = "97097-0"', 'loinc = "97097-1"', "is no LOINC code"),
        ('loinc = "97097-0"', 'loinc = "97079-0"', "is no LOINC code"),
        ('loinc = "97097-0"', 'loinc = "97097"', "is no LOINC code"),
        ("format = 1", 'format = 1\nspecimen_snomed = "697989008"', "is no code of SNOMED CT"),
        ("format = 1", 'format = 1\nspecimen_snomed = "9"', "is no code of SNOMED CT"),
    ],
)
def test_a_code_whose_check_digit_does_not_fit_is_refused(
    write_assay: Writing, old: str, new: str, fault: str
) -> None:
    """A slip of the keys would file results under something else."""
    with pytest.raises(WrongFileError, match=fault):
        read_assay(write_assay((old, new)))


@pytest.mark.parametrize("code", ["697989009", "445297001"])
def test_a_code_of_the_specimen_is_read(write_assay: Writing, code: str) -> None:
    """Anterior nares swab, swab of internal nose: as a published guide has them."""
    found = read_assay(write_assay(("format = 1", f'format = 1\nspecimen_snomed = "{code}"')))
    assert found.specimen_snomed == code


def test_the_bundled_file_unchanged_is_the_bundled_assay(write_assay: Writing) -> None:
    """A site may start from a copy."""
    assert read_assay(write_assay()) == NASAL
