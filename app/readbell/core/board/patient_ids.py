"""Whether a text may be somebody's ID by the scheme that a site has chosen.

The check digits are those of python-stdnum, which knows each scheme from its own standard.
"""

from __future__ import annotations

import re
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from readbell.core.policy.identifying import PatientId
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readbell.core.policy.policy import SitePolicy


_SHAPES: Mapping[PatientId, re.Pattern[str]] = {
    PatientId.NHS_NUMBER: re.compile(r"[0-9]{10}"),
    PatientId.LUHN: re.compile(r"[0-9]{2,}"),
    PatientId.MOD_37_36: re.compile(r"[0-9A-Z]{2,}"),
}
"""Bare signs alone: with blanks between them one person would have two IDs."""


class IdFault(StrEnum):
    """What is wrong with a text as an ID of the site's scheme."""

    FORM = "form"
    CHECK = "check"
    """Its check digit does not fit the others: something was misread."""


def fault_of_id(text: str, policy: SitePolicy) -> IdFault | None:
    """Return what is wrong with `text` as a patient ID, or None if nothing is."""
    if policy.patient_id is PatientId.ANY:
        return None
    if policy.patient_id is PatientId.PATTERN:
        whole = re.fullmatch(policy.patient_id_pattern, text)
        return IdFault.FORM if whole is None else None
    if _SHAPES[policy.patient_id].fullmatch(text) is None:
        return IdFault.FORM
    return None if _schemes()[policy.patient_id](text) else IdFault.CHECK


@cache
def _schemes() -> Mapping[PatientId, Callable[[str], bool]]:
    """Return what checks the digits of each scheme; most sites have none of them."""
    from stdnum import luhn
    from stdnum.gb import nhs
    from stdnum.iso7064 import mod_37_36

    return {
        PatientId.NHS_NUMBER: nhs.is_valid,
        PatientId.LUHN: luhn.is_valid,
        PatientId.MOD_37_36: mod_37_36.is_valid,
    }


def refuse_id(text: str, policy: SitePolicy) -> Refusal | None:
    """Say why nobody is registered under `text`, or None."""
    fault = fault_of_id(text, policy)
    if fault is None:
        return None
    code = RefusalCode.ID_CHECK_FAILED if fault is IdFault.CHECK else RefusalCode.ID_MALFORMED
    return Refusal(code=code, subject=f"{policy.patient_id}: {text}")
