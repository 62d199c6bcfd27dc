"""Where a passphrase comes from: a terminal that does not show it, or a file of its owner alone."""

from __future__ import annotations

import getpass
import os
import sys
from pathlib import Path

from readbell.journal.locked import KEYRING, WrongKeyError, fault_of, is_locked
from readbell.journal.sqlite import SqliteJournal

FILE, DESCRIPTOR = "READBELL_PASSPHRASE_FILE", "READBELL_PASSPHRASE_FD"
OTHERS = 0o077
LOST_IS_LOST = "lost is lost"
LOSS = (
    "Whoever loses the passphrase loses the record with every result in it. Nobody can open it "
    "then, its makers neither; no backup of it helps. Keep it in two places outside this computer."
)


def unlock(journal: Path) -> None:
    """Ask for the passphrase of `journal`, if it has one, and see whether it is right.

    Raises:
        WrongKeyError: it is not, there is nobody and nothing to be asked, or others may read it.
        JournalError: the journal cannot be opened.
    """
    if not is_locked(journal) or KEYRING.of(journal) is not None:
        return
    found = given()
    KEYRING.keep(journal, _ask(journal, f"Passphrase of {journal}: ") if found is None else found)
    SqliteJournal.open(journal, read_only=True).close()


def given() -> str | None:
    """Return the passphrase of the file or the descriptor that the environment names, or None.

    Raises:
        WrongKeyError: it cannot be read, or others may read it too.
    """
    file, descriptor = os.environ.get(FILE), os.environ.get(DESCRIPTOR)
    try:
        if file:
            return _of_file(Path(file))
        if descriptor:
            # Read once: the programs that this one starts find nothing there.
            del os.environ[DESCRIPTOR]
            with os.fdopen(int(descriptor), encoding="utf-8") as pipe:
                return _one_line(pipe.read(), DESCRIPTOR)
    except (OSError, ValueError) as error:
        what = getattr(error, "strerror", None) or "it is not as it should be"
        msg = f"{file or DESCRIPTOR}: no passphrase can be read from it ({what})"
        raise WrongKeyError(msg) from None
    return None


def choose(journal: Path, *, knows: bool) -> str:
    """Return a new passphrase, once whoever chooses it knows what its loss means.

    Args:
        journal: for which journal.
        knows: whether that was said on the command line already.

    Raises:
        WrongKeyError: it is none, was typed in two ways, or nobody said what its loss means.
    """
    print(LOSS, file=sys.stderr)
    found = given()
    if not knows:
        if found is not None or not sys.stdin.isatty():
            msg = f"{journal}: left as it was: say --lost-is-lost, which means what it says"
            raise WrongKeyError(msg)
        if input(f'Type "{LOST_IS_LOST}" to go on: ').strip() != LOST_IS_LOST:
            msg = f"{journal}: left as it was"
            raise WrongKeyError(msg)
    if found is None:
        found = _ask(journal, "New passphrase: ")
        if _ask(journal, "Once more: ") != found:
            msg = f"{journal}: the two were not the same: it was left as it was"
            raise WrongKeyError(msg)
    fault = fault_of(found)
    if fault is not None:
        msg = f"{journal}: {fault}"
        raise WrongKeyError(msg)
    return found


def _of_file(file: Path) -> str:
    found = file.stat()
    if os.name == "posix" and (found.st_mode & OTHERS or found.st_uid != os.geteuid()):
        msg = f"{file}: others may read it too: make it yours alone (chmod 600)"
        raise WrongKeyError(msg)
    return _one_line(file.read_text(encoding="utf-8"), str(file))


def _one_line(text: str, source: str) -> str:
    line = text.rstrip("\r\n")
    if not line or not line.isprintable():
        msg = f"{source}: write the passphrase into it as its only line"
        raise WrongKeyError(msg)
    return line


def _ask(journal: Path, prompt: str) -> str:
    if not sys.stdin.isatty():
        msg = f"{journal}: it is locked: run this on a terminal, or name a file in {FILE}"
        raise WrongKeyError(msg)
    try:
        return getpass.getpass(prompt)
    except EOFError:
        msg = f"{journal}: no passphrase was given"
        raise WrongKeyError(msg) from None
