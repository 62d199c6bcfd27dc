"""The file that `--picture` names: what it may end in, and why it could not be written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.reports.drawing import PICTURES, write_picture

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.reports.drawing import Drawing


def why_no_picture(path: Path) -> str | None:
    """Return why nothing can be drawn into a file of this name, without a full stop, or None."""
    if path.suffix.lower() in PICTURES:
        return None
    return f"--picture {path}: name a file that ends in .svg, .pdf or .png"


def why_not_drawn(drawing: Drawing, path: Path) -> str | None:
    """Write the drawing to `path`; return why that could not be, without a full stop, or None."""
    try:
        write_picture(drawing, path)
    except ImportError:
        return (
            f"--picture {path}: a PDF or PNG takes the extra paper; install it with "
            "pip install 'readbell[paper]', or name an .svg file"
        )
    except OSError as error:
        reason = error.strerror or type(error).__name__
        return f"--picture {path}: {reason}: check the name and the rights"
    return None
