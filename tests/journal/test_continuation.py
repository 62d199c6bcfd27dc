"""The file that takes the acts while the journal cannot: it must be readable after anything."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

import pytest

from journal.samples import ONE_PAGE, arrivals
from readbell.journal.continuation import (
    Continuation,
    Continued,
    continuations_of,
    read_continuation,
)
from readbell.journal.errors import JournalError, NotWrittenError
from readbell.journal.record import Head

if TYPE_CHECKING:
    from pathlib import Path

BASE = Head(seq=7, hash=bytes(range(32)))


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """Give the name of a journal in a folder of its own."""
    folder = tmp_path / "bay"
    folder.mkdir()
    return folder / "bay.journal"


def begun(journal: Path, *places: Path, base: Head = BASE, name: str = "t") -> Continuation:
    """Begin a continuation of `journal`."""
    return Continuation.begin(journal, places, base, name)


def block(folder: Path) -> None:
    """Put a file where `folder` stood, so that nobody can write into it, whoever they are."""
    if folder.exists():
        folder.rename(folder.with_name(f"{folder.name}-away"))
    folder.touch()


def test_what_was_continued_is_read_back(journal: Path) -> None:
    """Base, events and identifiers are all that is needed to join it later."""
    records = arrivals("P-1", "P-2", "P-3", after=BASE)
    file = begun(journal)
    file.append(records[:1])
    file.append(records[1:])

    assert read_continuation(file.path) == Continued(base=BASE, records=tuple(records))


def test_a_file_just_begun_continues_nothing_yet(journal: Path) -> None:
    """A crash right after its first line is no loss and no error."""
    assert read_continuation(begun(journal).path) == Continued(base=BASE, records=())


@pytest.mark.parametrize(
    "value",
    [
        pytest.param("Zoë 李", id="letters of other scripts"),
        pytest.param("two\nlines", id="line feed"),
        pytest.param("two\x85lines", id="next line of some old printers"),
        pytest.param("two\u2028lines", id="line separator"),
        pytest.param("two\u2029lines", id="paragraph separator"),
        pytest.param("a\x1cb\x1db", id="separators of a barcode"),
        pytest.param("a\x00b\x0bc\x0cd", id="other controls"),
    ],
)
def test_whatever_was_typed_is_read_back(journal: Path, value: str) -> None:
    """A sign in somebody's name must not make the whole file unreadable."""
    records = arrivals(value, after=BASE)
    file = begun(journal)
    file.append(records)

    assert read_continuation(file.path).records == tuple(records)


@pytest.mark.parametrize(
    "lost",
    [
        pytest.param(1, id="only the line end is missing"),
        pytest.param(40, id="half a line"),
        pytest.param(-1, id="all but its first byte"),
    ],
)
def test_a_last_line_cut_short_by_a_crash_is_left_out(journal: Path, lost: int) -> None:
    """It was never acknowledged; those before it were, and must be found."""
    kept, cut = arrivals("P-1", "P-2", after=BASE)
    file = begun(journal)
    file.append([kept])
    whole = file.path.stat().st_size
    file.append([cut])
    os.truncate(file.path, whole + 1 if lost < 0 else file.path.stat().st_size - lost)

    assert read_continuation(file.path).records == (kept,)


def test_a_last_line_cut_inside_a_letter_is_left_out(journal: Path) -> None:
    """A letter can be torn in two, and what stands before it is sound."""
    kept, cut = arrivals("P-1", "Zoë", after=BASE)
    file = begun(journal)
    file.append([kept])
    file.append([cut])
    os.truncate(file.path, file.path.read_bytes().rindex(b"\\u00eb") + 2)

    assert read_continuation(file.path).records == (kept,)


def test_an_act_of_two_events_is_read_back_whole_or_not_at_all(journal: Path) -> None:
    """A crash between its two lines would leave half an act that nobody acknowledged."""
    file = begun(journal)
    file.append(arrivals("P-1", "P-2", after=BASE))
    os.truncate(file.path, file.path.stat().st_size - 40)

    assert read_continuation(file.path).records == ()


def test_a_changed_event_is_refused(journal: Path) -> None:
    """Plain lines are easily edited; the chain is what guards them."""
    file = begun(journal)
    file.append(arrivals("P-1", "P-2", after=BASE))
    file.path.write_bytes(file.path.read_bytes().replace(b"bench-1", b"bench-2", 1))

    with pytest.raises(JournalError, match="event 8: it does not follow"):
        read_continuation(file.path)


def test_a_line_taken_out_is_refused(journal: Path) -> None:
    """An act that was acknowledged must not vanish on the way home."""
    file = begun(journal)
    for record in arrivals("P-1", "P-2", "P-3", after=BASE):
        file.append([record])
    lines = file.path.read_bytes().splitlines(keepends=True)
    file.path.write_bytes(b"".join(lines[:2] + lines[3:]))

    with pytest.raises(JournalError, match="event 9"):
        read_continuation(file.path)


def test_another_base_is_refused(journal: Path) -> None:
    """Events that were chained to one end must not be hung on another."""
    file = begun(journal)
    file.append(arrivals("P-1", after=BASE))
    file.path.write_bytes(file.path.read_bytes().replace(b"0001020304", b"0001020305", 1))

    with pytest.raises(JournalError, match="event 8"):
        read_continuation(file.path)


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"Dear all,\n", id="a letter"),
        pytest.param(b'{"seq": 7}\n', id="no hash"),
        pytest.param(b'{"seq": 7, "hash": "zz"}\n', id="hash is none"),
        pytest.param(b"[]\n", id="a list"),
        pytest.param(b"\xff\xfe\n", id="no text"),
        pytest.param(b'{"seq": 7, "hash": "00"}\n{}\n', id="line without an event"),
        pytest.param(b'{"seq": 7, "hash": "00"}\n7\n', id="line with a number"),
    ],
)
def test_a_file_that_is_none_is_told_with_its_name(journal: Path, content: bytes) -> None:
    """Somebody has to find it, keep it and show it to a supervisor."""
    path = journal.with_name("bay.journal.continuation-t")
    path.write_bytes(content)

    with pytest.raises(JournalError, match=r"bay\.journal\.continuation-t: it .* supervisor$"):
        read_continuation(path)


def test_an_error_about_a_file_shows_nothing_of_it(journal: Path) -> None:
    """The lines hold names, and errors end up on screens and in logs."""
    path = journal.with_name("bay.journal.continuation-t")
    path.write_bytes(b'{"seq": 7, "hash": "Jo Bloggs"}\n')

    with pytest.raises(JournalError) as caught:
        read_continuation(path)

    assert "Jo" not in str(caught.value)


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such modes")
def test_nobody_else_may_read_it(journal: Path) -> None:
    """Identifiers stand in it in the clear."""
    before = os.umask(0o022)
    try:
        file = begun(journal)
        file.append(arrivals("P-1", after=BASE))
    finally:
        os.umask(before)

    assert stat.S_IMODE(file.path.stat().st_mode) == 0o600


def test_it_stands_beside_the_journal_where_that_can_be_written(
    journal: Path, tmp_path: Path
) -> None:
    """That is where somebody looks first."""
    assert begun(journal, tmp_path / "spare").path.parent == journal.parent


def test_it_goes_to_the_next_place_where_the_first_cannot_be_written(
    journal: Path, tmp_path: Path
) -> None:
    """Acts must be saved somewhere as long as there is any place at all."""
    block(journal.parent)
    block(tmp_path / "also-blocked")

    file = begun(journal, tmp_path / "also-blocked", tmp_path / "deep" / "spare")

    assert file.path.parent == tmp_path / "deep" / "spare"
    assert read_continuation(file.path).base == BASE


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="nothing is read-only to the superuser"
)
def test_a_folder_that_may_not_be_written_is_passed_over(journal: Path, tmp_path: Path) -> None:
    """Rights are lost more often than folders."""
    journal.parent.chmod(0o500)

    file = begun(journal, tmp_path / "spare")

    journal.parent.chmod(0o700)
    assert file.path.parent == tmp_path / "spare"


def test_no_place_at_all_is_an_error(journal: Path, tmp_path: Path) -> None:
    """Then nothing may be shown as done."""
    block(journal.parent)
    block(tmp_path / "spare")

    with pytest.raises(NotWrittenError, match="no place is left to write to"):
        begun(journal, tmp_path / "spare")


def limited_to(size: int, work: Continuation, *names: str) -> None:
    """Append the arrivals of `names` while no file may grow beyond `size` bytes."""
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    end = work.records[-1].head if work.records else work.base
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        work.append(arrivals(*names, after=end, padding=ONE_PAGE))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_an_append_that_does_not_fit_leaves_the_file_as_it_was(journal: Path) -> None:
    """Half a line in the middle would hide every line after it."""
    file = begun(journal)
    file.append(arrivals("P-1", after=BASE))
    before = file.path.read_bytes()

    with pytest.raises(NotWrittenError):
        limited_to(len(before) + 100, file, "P-2")

    assert file.path.read_bytes() == before
    assert len(file.records) == 1


def test_it_can_be_written_again_when_there_is_room(journal: Path) -> None:
    """The act that failed is done again, and follows the last that did not."""
    file = begun(journal)
    with pytest.raises(NotWrittenError):
        limited_to(200, file, "P-1")

    file.append(arrivals("P-1", after=BASE))

    assert read_continuation(file.path).records == tuple(arrivals("P-1", after=BASE))


def test_a_place_without_room_keeps_no_empty_file(journal: Path, tmp_path: Path) -> None:
    """An empty file would be shown to a supervisor as lost acts at every start."""
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (10, hard))
    try:
        with pytest.raises(NotWrittenError):
            begun(journal, tmp_path / "spare")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert continuations_of(journal, [tmp_path / "spare"]) == []


def test_a_file_that_was_taken_away_is_not_written_without_its_first_line(journal: Path) -> None:
    """Lines without a base could be joined to nothing, and would be lost to a restart."""
    first, second = arrivals("P-1", "P-2", after=BASE)
    file = begun(journal)
    file.append([first])
    file.path.unlink()

    with pytest.raises(NotWrittenError):
        file.append([second])


def test_all_files_of_a_journal_are_found_the_oldest_first(journal: Path, tmp_path: Path) -> None:
    """The second goes on where the first ended, so the order decides whether both fit."""
    spare = tmp_path / "spare"
    later = begun(journal, base=Head(seq=9), name="a")
    earlier = begun(journal, base=BASE, name="b")
    block(journal.parent)
    spared = begun(journal, spare, base=Head(seq=8), name="c")
    journal.parent.unlink()
    journal.parent.with_name("bay-away").rename(journal.parent)
    begun(journal.with_name("other.journal"))

    found = continuations_of(journal, [spare, tmp_path / "not-there"])

    assert found == [each.path.resolve() for each in (earlier, spared, later)]


def test_a_place_named_twice_gives_each_file_once(journal: Path) -> None:
    """A file that was joined and deleted must not be looked for again."""
    file = begun(journal)

    assert continuations_of(journal, [journal.parent]) == [file.path.resolve()]


@pytest.mark.parametrize("name", ["bay [1].journal", "bay?.journal", "bay*.journal"])
@pytest.mark.skipif(os.name != "posix", reason="elsewhere no file is called so")
def test_signs_in_the_name_of_a_journal_hide_nothing(journal: Path, name: str) -> None:
    """A copy called "bay [1]" is as good a journal as any."""
    named = journal.with_name(name)

    file = begun(named)

    assert continuations_of(named, []) == [file.path.resolve()]
