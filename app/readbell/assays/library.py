"""Where assays are found: the bundled files, and folders of a site's own."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.assays.assay_file import AssayTables
from readbell.core.assay.check import check
from readbell.toml_tables import WrongFileError, read_tables, read_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.assay.assay import Assay

BUNDLED = Path(__file__).parent
SUFFIX = ".toml"


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

    def find(self, reference: str, beside: Path | None = None) -> Assay:
        """Return the assay called `reference`: an id, or a path relative to `beside`.

        Raises:
            WrongFileError: there is none, or its file is wrong.
        """
        if reference.endswith(SUFFIX):
            return read_assay((beside or Path()) / reference)
        for path in self.files():
            if path.stem == reference:
                return read_assay(path)
        known = ", ".join(sorted({path.stem for path in self.files()}))
        fault = (
            f"assay {reference!r} is not known: name one of {known}, or a path to a {SUFFIX} file"
        )
        raise WrongFileError([fault])
