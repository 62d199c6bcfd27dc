"""The `[export]` table of the settings: what things are called where results go."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import AfterValidator, StringConstraints

from readbell.toml_tables import Table


def _as_uri(found: str) -> str:
    if re.fullmatch(r"[A-Za-z][A-Za-z0-9+.-]*:[^\s|]+", found) is None:
        msg = "write a URI, such as urn:oid:2.999.1 or https://ids.example.org/patients"
        raise ValueError(msg)
    return found


Word = Annotated[str, StringConstraints(min_length=1)]


class ExportTable(Table):
    """[export]: what the site calls things where its results go; every key may be left out."""

    patient_system: Annotated[str, AfterValidator(_as_uri)] | None = None
    """A URI under which its patient IDs are unique."""
    operator_system: Annotated[str, AfterValidator(_as_uri)] | None = None
    organisation: Word | None = None
    sending_application: Word = "READBELL"
    sending_facility: Word | None = None
    receiving_application: str = ""
    receiving_facility: str = ""
    patient_authority: Word | None = None
    withdrawn: Literal["W", "X"] = "W"
