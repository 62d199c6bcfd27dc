"""Where assays are found: the bundled files, and folders of a site's own."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.assays.assay_file import AssayTables
from readbell.core.assay.check import check
from readbell.core.made_later import dataclass
from readbell.toml_tables import WrongFileError, read_tables, read_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.assay.assay import Assay

BUNDLED = Path(__file__).parent
SUFFIX = ".toml"
_ID_LINE = re.compile(r"^id[ \t]*=.*$", re.MULTILINE)
"""The id stands before the first table: that of a line of a strip is called its key."""


def read_assay(path: Path) -> Assay:
    """Return the assay that the file `path` describes.

    Raises:
        WrongFileError: a key, a value or the whole does not make sense.
    """
    assay = read_tables(read_text(path), AssayTables, str(path)).to_assay()
    faults = [f"{path}: {each.key} = {each.value}: {each.remedy}" for each in check(assay)]
    if faults:
        raise WrongFileError(faults)
    return assay


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """Every assay file at hand; a site's own folder goes before the bundle."""

    folders: Sequence[Path] = ()

    def files(self) -> Iterator[Path]:
        """Yield each assay file, the site's own first."""
        for folder in (*self.folders, BUNDLED):
            yield from sorted(folder.glob(f"*{SUFFIX}"))

    def every(self) -> Iterator[Assay]:
        """Yield each assay at hand whose file is sound, one for each id, the site's own first."""
        seen: set[str] = set()
        for path in self.files():
            try:
                assay = read_assay(path)
            except WrongFileError:
                continue  # told by `readbell assay`; nobody can adopt it
            if assay.id not in seen:
                seen.add(assay.id)
                yield assay

    def find(self, reference: str, beside: Path | None = None) -> Assay:
        """Return the assay called `reference`: an id, or a path relative to `beside`.

        Raises:
            WrongFileError: there is none, or its file is wrong.
        """
        return read_assay(self.file_of(reference, beside))

    def file_of(self, reference: str, beside: Path | None = None) -> Path:
        """Return the file of the assay called `reference`.

        Raises:
            WrongFileError: there is none.
        """
        if reference.endswith(SUFFIX):
            return (beside or Path()) / reference
        # Whatever its file is called; a site's own goes before a bundled one of the same id.
        for folder in (*self.folders, BUNDLED):
            found = [
                path for path in sorted(folder.glob(f"*{SUFFIX}")) if _id_in(path) == reference
            ]
            if len(found) > 1:
                names = " and ".join(path.name for path in found)
                fault = f"{folder}: {names} both have the id {reference!r}: give one another id"
                raise WrongFileError([fault])
            if found:
                return found[0]
        known = ", ".join(sorted({_id_in(path) or path.stem for path in self.files()}))
        fault = (
            f"assay {reference!r} is not known: name one of {known}, or a path to a {SUFFIX} file"
        )
        raise WrongFileError([fault])


def renamed(text: str, to: str) -> str:
    """Return the text of an assay file under another id, and with every remark that stands in it."""
    return _ID_LINE.sub(f'id = "{to}"', text, count=1)


def _id_in(path: Path) -> str | None:
    """Return the id that an assay file gives itself, sound or not; None if it gives none."""
    try:
        found = tomllib.loads(read_text(path)).get("id")
    except (WrongFileError, ValueError, RecursionError):
        return None
    return found if isinstance(found, str) else None
