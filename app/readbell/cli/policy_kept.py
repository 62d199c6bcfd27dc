"""What a record says of its site's decisions, held against the settings of this computer.

A start goes by the settings. A copy that is brought back on a new computer would so lose its
sign-in and its shifts without a word: nothing of them lies in the copy but in its events.
"""

from __future__ import annotations

import json
from contextlib import closing
from dataclasses import fields
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.policy.policy import SitePolicy


def say_other_policy(journal: Path) -> str | None:
    """Return which decisions the record at `journal` has otherwise than the settings; None: none."""
    from readbell.settings.places import settings_file
    from readbell.settings.site_settings import read_settings
    from readbell.toml_tables import WrongFileError

    kept = _of_record(journal)
    try:
        here = read_settings().policy
    except WrongFileError:
        return None  # the next start says what is wrong with them, and goes by nothing else
    otherwise = [
        _written(each.name, getattr(kept, each.name))
        for each in fields(kept)
        if getattr(kept, each.name) != getattr(here, each.name)
    ]
    if not otherwise:
        return None
    return (
        f"{settings_file()}: the record went by other decisions than stand there under [policy]: "
        f"{', '.join(otherwise)}. Write them there first: the next start goes by the settings"
    )


def _of_record(journal: Path) -> SitePolicy:
    from readbell.assembly import old_journal
    from readbell.core.policy.events import PolicySet
    from readbell.core.policy.policy import UNDECIDED
    from readbell.journal.codec import decode

    found = UNDECIDED
    with closing(old_journal(journal)) as source:
        for record in source.records(0):
            # Few of a record's events are of this kind: the others are not made out.
            if '"policy-set"' in record.body:
                event = decode(record, source.private).event
                found = event.policy if isinstance(event, PolicySet) else found
    return found


def _written(key: str, value: object) -> str:
    """Return a decision as it stands in a file of settings; of a table its name alone."""
    if isinstance(value, (bool, int, str)):
        return f"{key} = {json.dumps(value, ensure_ascii=False)}"
    return f"{key} (a list)"
