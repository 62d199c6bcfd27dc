"""Whom a site notifies stands in its settings, and goes into the record with its other decisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readbell.core.policy.notices import NoticeRule
from readbell.settings.site_settings import read_settings
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from pathlib import Path

RULE = '[[policy.notices]]\nassay = "nasal"\noffice = "health office"\nhours = 24\n'


def settings(folder: Path, text: str) -> Path:
    """A settings file with this text."""
    file = folder / "settings.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_each_assay_has_an_office_and_its_hours(tmp_path: Path) -> None:
    """Negatives are notified too, unless the site says otherwise."""
    text = f"{RULE}{RULE.replace('nasal', 'throat')}negatives = false\n"

    policy = read_settings(settings(tmp_path, text)).policy

    assert policy.notices == (
        NoticeRule(assay="nasal", office="health office", hours=24),
        NoticeRule(assay="throat", office="health office", hours=24, negatives=False),
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (RULE + RULE, "name one assay twice"),
        (RULE.replace("24", "0"), "policy.notices.1.hours"),
        (RULE.replace('"health office"', '" "'), "policy.notices.1.office"),
        (RULE.replace("office", "person"), "policy.notices.1"),
    ],
)
def test_half_a_rule_is_refused(tmp_path: Path, text: str, why: str) -> None:
    """In one sentence that says where."""
    with pytest.raises(WrongFileError, match=why):
        read_settings(settings(tmp_path, text))
