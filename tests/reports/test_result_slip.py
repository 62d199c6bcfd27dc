"""A result slip on paper: one person on a page, every word on it, in any script there is a font for."""

from __future__ import annotations

import io
import re
import struct
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pypdf
import pypdfium2
import pytest

from builders import CLEAR, NEGATIVE, NO_CONTROL, THREE_LINES, TODAY, at, bands, private
from core.board.telling_bench import TellingBench
from readbell.core.board.fold import fold
from readbell.core.board.on_slip import slip_of
from readbell.core.cartridge.looks import lapse
from readbell.core.people.acts import NoteParticulars
from readbell.core.people.particulars import Particular, ToldTo
from readbell.core.results.telling import Hearer
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.slip_words import WORDS, Slip, SlipStyle, say_slip, slip_lines
from readbell.phrases.telling_words import what_is_to_tell
from readbell.reports.letters import FontError, Letters, breaks_anywhere
from readbell.reports.result_slip import result_slips, texts_of

if TYPE_CHECKING:
    from collections.abc import Sequence

FACE = ClockFace(zone=ZoneInfo("Europe/London"))
LETTERS = Letters()


def slip(
    made: TellingBench,
    person: str = "P-001",
    *,
    style: SlipStyle = SlipStyle(),  # noqa: B008  # a frozen value
    to: Hearer = Hearer.PERSON,
    rehearsal: bool = False,
) -> Slip:
    """The slip of one person."""
    found = slip_of(made.board, f"key-{person}", lambda each: FACE.local(each).date(), to=to)
    return say_slip(
        found, made.board, FACE.local, style, made=at("30:00"), to=str(to), rehearsal=rehearsal
    )


def pages(slips: Sequence[Slip], letters: Letters = LETTERS) -> list[str]:
    """What each page says, read by another library; runs of blanks as one."""
    read = pypdf.PdfReader(io.BytesIO(result_slips(slips, letters)))
    return [" ".join(page.extract_text().split()) for page in read.pages]


def read(seen: object = NEGATIVE) -> TellingBench:
    """C1 of P-001 was read, whose name is known."""
    made = TellingBench()
    made.read(seen)  # type: ignore[arg-type]
    said = (
        (Particular.NAME, private("Zoë <b>Łuk</b> & Søn")),
        (Particular.BIRTH_DATE, private("1980-02-03")),
    )
    made.must(NoteParticulars(by="op-1", person="P-001", particulars=said, today=TODAY))
    return made


def test_a_page_says_what_was_found_and_when_and_what_it_means() -> None:
    """Everything a person may be asked about it, and that a negative excludes nothing."""
    (page,) = pages([slip(read())])

    for words in (
        "Your test result",
        "P-001",
        "Zoë <b>Łuk</b> & Søn",
        "1980-02-03",
        "NEGATIVE",
        "Put on the test 2026-03-29 00:55 (UTC+00:00)",
        "Read 2026-03-29 02:11 (UTC+01:00)",
        "Read by op-1",
        "L-100",
        "C1",
        "does not exclude an infection",
        "Follow local rules",
        "not a diagnosis",
    ):
        assert " ".join(words.split()) in page, words


def test_text_and_paper_say_the_same() -> None:
    """Whoever has no printer loses nothing."""
    made = slip(read(CLEAR), style=SlipStyle(text=("Come to hut 4.",), footer="Harrow Quay"))
    (page,) = pages([made])

    for said in slip_lines(made):
        for piece in said.split(": ", 1):
            assert " ".join(piece.split()).lower() in page.lower(), piece


def test_each_person_has_a_page_of_their_own() -> None:
    """Nobody's result on another's."""
    made = read(CLEAR)
    made.read(NEGATIVE, "C2", "P-002")
    first, second = pages([slip(made), slip(made, "P-002")])

    assert "P-001" in first
    assert "P-001" not in second
    assert "POSITIVE" in first
    assert "POSITIVE" not in second
    assert "C1" not in second.split()


def test_a_slip_that_does_not_fit_goes_on_under_the_same_name() -> None:
    """First it is written smaller; then each further page says whose it is."""
    some = slip(read(), style=SlipStyle(text=tuple(f"Word {n}. " * 30 for n in range(8))))
    much = slip(read(), style=SlipStyle(text=tuple(f"Word {n}. " * 30 for n in range(60))))

    assert len(pages([some])) == 1
    found = pages([much])
    assert len(found) > 1
    assert all(
        "P-001" in page and f"page {n}/{len(found)}" in page for n, page in enumerate(found, 1)
    )
    whole = " ".join(found)
    assert all(f"Word {n}." in whole for n in range(60))


def test_practice_says_so_on_each_page() -> None:
    """Nobody takes it for their result."""
    (page,) = pages([slip(read(), rehearsal=True)])

    assert page.count(WORDS["rehearsal"]) == 2
    assert WORDS["rehearsal"] not in pages([slip(read())])[0]


def test_what_is_preliminary_or_taken_back_is_marked() -> None:
    """Beside the name of the test, and in what it means."""
    made = TellingBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "5:00")
    early = slip(made)
    made.withdraw(now="6:00")
    late = slip(made)

    assert "PRELIMINARY" in pages([early])[0]
    assert WORDS["means_preliminary"] in pages([early])[0]
    assert "WITHDRAWN" in pages([late])[0]
    assert "POSITIVE" not in pages([late])[0]
    assert "no longer holds" in pages([late])[0]


def test_an_amended_slip_says_what_was_read_first() -> None:
    """It takes the place of an earlier one."""
    made = read(CLEAR)
    made.amend(NEGATIVE)
    (page,) = pages([slip(made)])

    assert "AMENDED" in page
    assert "NEGATIVE (first read as POSITIVE)" in page
    assert WORDS["means_amended"] in page


def test_what_is_invalid_is_to_be_repeated_and_says_nothing() -> None:
    """Neither positive nor negative."""
    (page,) = pages([slip(read(NO_CONTROL))])

    assert "TO BE REPEATED" in page
    assert "It says nothing about you" in page
    for words in ("POSITIVE", "NEGATIVE"):
        assert words not in page


def test_whoever_gets_no_further_repeat_reads_where_to_go() -> None:
    """In the site's own words."""
    made = TellingBench()
    made.decides(repeat_limit=1, referral="Go to the clinic on the quay.")
    made.read(NO_CONTROL, "C1")
    assert "TO BE REPEATED" in pages([slip(made)])[0]
    made.to_well("C2", applied="25:00")
    made.must(made.read_act(NO_CONTROL, "C2"), "41:00")
    (page,) = pages([slip(made)])

    assert "TO BE REPEATED" not in page
    assert "INVALID, NO RESULT" in page
    assert "not repeated here. Go to the clinic on the quay." in page
    (line,) = what_is_to_tell(made.board, at("50:00"), FACE)
    assert "there is no further repeat. Go to the clinic on the quay." in line


def test_while_another_one_of_theirs_runs_nobody_reads_that_they_are_to_come_again() -> None:
    """A slip is taken home: what it calls for is done."""
    made = TellingBench()
    made.to_well("C2")
    made.read(NO_CONTROL, "C1")
    (page,) = pages([slip(made)])

    assert "INVALID, NO RESULT" in page
    assert "TO BE REPEATED" not in page
    assert "repeat" not in page.casefold()


def test_several_analytes_have_a_row_each() -> None:
    """By the names of the assay."""
    made = TellingBench(THREE_LINES)
    made.read(bands(influenza_a="absent", influenza_b="faint", sars_cov_2="absent"))
    shown = slip(made)

    assert [each for _, each in shown.parts[0].outcomes] == ["NEGATIVE", "POSITIVE", "NEGATIVE"]
    (page,) = pages([shown])
    assert "Influenza B antigen POSITIVE" in page


def test_a_run_on_paper_says_that_its_times_are_stated() -> None:
    """They are as good as a watch on a wall."""
    made = TellingBench()
    made.from_paper()
    (page,) = pages([slip(made, "P-002")])

    assert page.count("stated, not timed") == 3
    assert "recorded on paper first" in page


def test_a_strip_nobody_read_in_time_says_so() -> None:
    """And what was seen early still stands."""
    made = TellingBench()
    made.to_well()
    made.to_well("C2", "P-002")
    made.must(made.look_act(CLEAR, "C2"), "5:00")
    for label in ("C1", "C2"):
        made.board = fold(made.board, lapse(made.cartridge(label), at("22:30")))

    assert "not read in time" in pages([slip(made)])[0]
    (seen,) = pages([slip(made, "P-002")])
    assert "Seen early" in seen
    assert "POSITIVE" in seen


def test_a_site_says_it_in_its_own_words() -> None:
    """Each word that it gives stands in place of ours; the others stay."""
    style = SlipStyle(
        heading="Zum Kai",
        language="de",
        words={"title": "Ihr Testergebnis", "negative": "NEGATIV"},
    )
    made = slip(read(), style=style)
    (page,) = pages([made])

    assert "Ihr Testergebnis" in page
    assert "Zum Kai" in page
    assert "NEGATIV " in page
    assert WORDS["cautions"] in page
    data = result_slips([made], LETTERS)
    assert pypdf.PdfReader(io.BytesIO(data)).root_object["/Lang"] == pypdf.generic.TextStringObject(
        "de"
    )


def test_a_slip_for_a_guardian_says_by_what_right() -> None:
    """Consent on file."""
    made = read()
    made.consents(ToldTo.GUARDIAN)

    assert WORDS["for_guardian"] in pages([slip(made, to=Hearer.GUARDIAN)])[0]
    assert WORDS["for_guardian"] not in pages([slip(made)])[0]


def test_the_same_slip_gives_the_same_bytes() -> None:
    """So that a copy can be told from another one."""
    made = slip(read())

    assert result_slips([made], LETTERS) == result_slips([made], LETTERS)


def test_nothing_is_drawn_over_the_edge() -> None:
    """Drawn as paper shows it: the margins stay white, and something stands between them."""
    data = result_slips([slip(read(CLEAR), rehearsal=True)], LETTERS)
    page = pypdfium2.PdfDocument(data)[0].render(scale=1).to_pil().convert("L")
    wide, high = page.size
    dark = page.point(lambda shade: 255 if shade < 200 else 0).getbbox()

    assert dark is not None
    left, top, right, bottom = dark
    assert left > 40
    assert top > 40
    assert right < wide - 40
    assert bottom < high - 30


def test_a_sign_that_no_font_has_is_found_before_anything_is_drawn() -> None:
    """A name that is half boxes is nobody's name."""
    made = slip(read())

    assert LETTERS.missing(texts_of(made)) is None
    assert LETTERS.missing(texts_of(replace(made, heading="王"))) == "王"


def test_a_file_that_is_no_font_is_refused(tmp_path: Path) -> None:
    """In one sentence."""
    broken = tmp_path / "broken.ttf"
    broken.write_bytes(struct.pack(">I", 1))
    for file in (broken, tmp_path / "none.ttf"):
        with pytest.raises(FontError, match="no TrueType font can be read there"):
            Letters((str(file),))


def test_a_script_whose_signs_join_is_shaped_with_a_font_of_the_site() -> None:
    """Khmer, with the font that the maker of the PDFs tests its own shaping with."""
    khmer = "ឆ្នាំ"
    letters = Letters(("hb-test.ttf",))
    made = replace(slip(read()), heading=khmer)

    assert letters.missing(texts_of(made)) is None
    assert LETTERS.missing(texts_of(made)) is not None
    shaped, plain = (_ink(result_slips([each], letters)) for each in (made, _unjoined(made, khmer)))
    # A sign that belongs below another one is drawn there, and takes no place of its own.
    assert 0 < shaped < plain


def _unjoined(made: Slip, word: str) -> Slip:
    return replace(made, heading=" ".join(word))


def _ink(data: bytes) -> int:
    """How wide the heading is, in pixels."""
    page = pypdfium2.PdfDocument(data)[0].render(scale=2).to_pil().convert("L")
    head = page.crop((0, 0, page.size[0], 150)).point(lambda shade: 255 if shade < 200 else 0)
    found = head.getbbox()
    assert found is not None
    return int(found[2] - found[0])


DEJAVU = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")


@pytest.mark.skipif(not DEJAVU.exists(), reason="no font with Hebrew letters is installed here")
def test_a_name_that_is_read_from_the_right_begins_on_the_right() -> None:
    """Its first word is wide, and stands to the right of the narrow one."""
    letters = Letters((str(DEJAVU),))
    made = replace(slip(read()), heading="שששששש \u05d5")
    assert letters.missing(texts_of(made)) is None
    assert letters.unsettable(texts_of(made)) is None
    assert letters.unsettable(["שלום 12"]) == "ש"
    assert letters.unsettable(["ש" * 61]) == "ש"

    page = pypdfium2.PdfDocument(result_slips([made], letters))[0].render(scale=4)
    head = page.to_pil().convert("L").crop((0, 0, 2_000, 300))
    dark = [head.crop((x, 0, x + 1, 300)).getextrema()[0] < 200 for x in range(head.size[0])]
    shown = "".join("#" if each else " " for each in dark).strip()
    left, right = shown.split(max(re.findall(" +", shown), key=len), 1)
    assert 0 < len(left) < len(right) / 3


def test_scripts_that_run_leftwards_or_have_no_blanks_are_told_apart() -> None:
    """The one is refused, and the other broken anywhere."""
    assert LETTERS.unsettable(["12", "Zoë שלום"]) == "ש"
    assert LETTERS.unsettable(["Zoë 12"]) is None
    assert breaks_anywhere("王")
    assert not breaks_anywhere("Zoë")
