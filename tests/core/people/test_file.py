"""What a person is known by is compared as people say it, in whatever script."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.people.file import PersonFile, agrees, day_of, years_between
from readbell.core.people.particulars import Particular


@pytest.mark.parametrize(
    ("known", "said"),
    [
        ("Ada Quillby", "ada  quillby"),
        ("\uff21\uff24\uff21 Quillby", "Ada Quillby"),
        ("Straße", "STRASSE"),
        ("İpek", "i̇pek"),
        ("Ürün", "Ürün"),
        ("ﾔﾏﾀﾞ", "ヤマダ"),
        ("[bold]Oran (née Vell)", "[BOLD] oran (NÉE vell)"),
        ("עדה", "עדה"),
    ],
)
def test_a_name_is_the_same_whatever_its_case_blanks_or_width(known: str, said: str) -> None:
    """Unicode's own folding; brackets are letters like others and mean nothing."""
    assert agrees(Particular.NAME, known, said)
    assert agrees(Particular.NAME, said, known)


@pytest.mark.parametrize(
    ("known", "said"), [("Ada Quill", "Ada Quillby"), ("Ada", "Eda"), ("é", "e")]
)
def test_another_name_is_another(known: str, said: str) -> None:
    """Two people of one family differ by a letter."""
    assert not agrees(Particular.NAME, known, said)


@given(name=st.text())
def test_every_name_is_the_same_as_itself_folded(name: str) -> None:
    """Whatever somebody is called, they are not refused for the way a keyboard writes it."""
    assert agrees(Particular.NAME, name, name)
    assert agrees(Particular.NAME, name, name.casefold())


@pytest.mark.parametrize(
    ("said", "day"),
    [
        # ISO 8601, extended and basic form.
        ("1980-02-03", date(1980, 2, 3)),
        ("19800203", date(1980, 2, 3)),
        ("2024-02-29", date(2024, 2, 29)),
        ("2023-02-29", None),
        ("1980-02-31", None),
        ("03.02.1980", None),
        ("1980-2-3", None),
        ("", None),
    ],
)
def test_a_day_is_written_as_iso_8601_has_it(said: str, day: date | None) -> None:
    """03.02. and 02/03 are two different days on two sides of a sea."""
    assert day_of(said) == day


def test_days_agree_however_they_are_written() -> None:
    """What is compared is the day."""
    assert agrees(Particular.BIRTH_DATE, "1980-02-03", "19800203")
    assert not agrees(Particular.BIRTH_DATE, "1980-02-03", "1980-03-02")
    assert not agrees(Particular.BIRTH_DATE, "1980-02-03", "no day")


@pytest.mark.parametrize(
    ("born", "today", "years"),
    [
        (date(2010, 3, 29), date(2026, 3, 28), 15),
        (date(2010, 3, 29), date(2026, 3, 29), 16),
        (date(2012, 2, 29), date(2026, 2, 28), 13),
        (date(2012, 2, 29), date(2026, 3, 1), 14),
    ],
)
def test_an_age_changes_on_the_birthday(born: date, today: date, years: int) -> None:
    """One day decides whether somebody may consent alone."""
    assert years_between(born, today) == years


def test_a_file_names_nobody() -> None:
    """It may end in a crash report."""
    assert "Quillby" not in repr(PersonFile(name="Ada Quillby"))
