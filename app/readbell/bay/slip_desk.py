"""Result slips as a site has them: its words, its letters, and its folder for those of the board."""

from __future__ import annotations

from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.bay.site_time import time_zone
from readbell.core.board.events import Mode
from readbell.core.board.on_slip import slip_of
from readbell.core.board.results import result_called
from readbell.core.board.wall_time import wall_of
from readbell.core.results.telling import Hearer
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.slip_words import SlipStyle, say_slip
from readbell.settings.settings_table import read_settings_table
from readbell.toml_tables import WrongFileError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from readbell.core.board.board import Board
    from readbell.core.board.on_slip import SlipOf
    from readbell.core.instant import Instant
    from readbell.core.results.telling import ResultTold
    from readbell.phrases.slip_words import Slip
    from readbell.reports.letters import Letters
    from readbell.settings.settings_table import SettingsTable
    from readbell.settings.slip_table import SlipTable


def local_time(board: Board, at: Instant) -> datetime:
    """Return what the clock on the wall of the site showed at an instant, however it was set since.

    Of a rehearsal it is the time of its scenario.
    """
    zone = time_zone("UTC" if board.founded is None else board.founded.timezone)
    return ClockFace(zone=zone, apart=wall_of(board, at) - at).local(at)


def site_day(board: Board, at: Instant) -> date:
    """Return the day of the site that an instant belongs to."""
    return local_time(board, at).date()


def in_words(found: SlipOf, board: Board, made: Instant, table: SlipTable, to: Hearer) -> Slip:
    """Return what stands on a slip that is made at an instant, in the words of the site."""
    style = SlipStyle(
        heading=table.heading,
        text=table.paragraphs(),
        footer=table.footer,
        language=table.language,
        words={str(word): said for word, said in table.words.items()},
    )
    rehearsal = board.founded is not None and board.founded.mode is Mode.REHEARSAL
    return say_slip(
        found,
        board,
        lambda at: local_time(board, at),
        style,
        made=made,
        to=str(to),
        rehearsal=rehearsal,
    )


def letters_for(slips: Sequence[Slip], fonts: Sequence[str]) -> Letters:
    """Return the letters with which all of `slips` can be written.

    Raises:
        NoPaperError: the extra `paper` is not installed.
        FontError: one of the fonts cannot be used.
        WrongFileError: something would come out as boxes, or backwards; it names the sign.
    """
    from readbell.reports.letters import Letters
    from readbell.reports.result_slip import texts_of

    letters = Letters(fonts)
    texts = [text for each in slips for text in texts_of(each)]
    missing = letters.missing(texts)
    if missing is not None:
        msg = (
            f"{missing!r} cannot be drawn with the letters at hand: name a TrueType file that has "
            "it under fonts in settings.toml, or print the slip as text"
        )
        raise WrongFileError([msg])
    leftward = letters.unsettable(texts)
    if leftward is not None:
        msg = (
            f"{leftward!r} is read from the right, and stands with numbers, other scripts or in a "
            "long text, which no PDF here can do: print the slip as text"
        )
        raise WrongFileError([msg])
    return letters


def named_by(label: str) -> str:
    """Return the name of a slip's file without its ending: an ID has no place in it."""
    return "slip-" + "".join(sign if sign.isalnum() or sign in "-_." else "_" for sign in label)


def hand_over(
    board: Board, telling: ResultTold, settings: SettingsTable | None = None
) -> Path | None:
    """Make the slip that `telling` says is handed over, where the site has a folder for them.

    Args:
        board: the bay.
        telling: what is about to be noted.
        settings: of the site; None: as they now stand.

    Returns:
        The new file; None where the site has no folder, or no person is told.

    Raises:
        NoPaperError: the extra `paper` is not installed.
        FontError: one of the fonts cannot be used.
        WrongFileError: it cannot be written, in these letters or in that folder.
    """
    settings = read_settings_table() if settings is None else settings
    result = result_called(board, telling.cartridge)
    if not settings.slip.folder or telling.to is Hearer.OFFICE or result is None:
        return None
    from readbell.reports.result_slip import result_slips

    found = slip_of(
        board,
        result.subject,
        lambda at: site_day(board, at),
        to=telling.to,
        cartridge=result.cartridge,
    )
    slip = in_words(found, board, telling.at, settings.slip, telling.to)
    made = result_slips([slip], letters_for([slip], settings.fonts))
    return _put(Path(settings.slip.folder), named_by(result.label), made)


def _put(folder: Path, name: str, made: bytes) -> Path:
    """Write `made` into a new file of the folder, beside earlier slips of that name."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for number in count(1):
            path = folder / (f"{name}.pdf" if number == 1 else f"{name}-{number}.pdf")
            try:
                file = path.open("xb")
            except FileExistsError:
                continue
            with file:
                file.write(made)
            break
    except OSError as error:
        msg = f"{folder}: {error.strerror}: name another folder under [slip] in settings.toml"
        raise WrongFileError([msg]) from None
    return path
