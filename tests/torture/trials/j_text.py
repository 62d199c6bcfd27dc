"""The worst texts in every key of every line, in every form and in every file.

Each is taken as it is, sign for sign, or refused in one sentence; none ends the program,
none becomes another text, and none reaches a screen as a code.
"""

from __future__ import annotations

import contextlib
import importlib.resources
import io
import json
import os
import re
import shutil
import subprocess
import sys
import threading
import tomllib
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from itertools import count
from typing import TYPE_CHECKING, Any

from board_program.conftest import LOT, OPERATOR, Place, on_bench
from cli.conftest import SCENARIO
from readbell.cli.first_start import NotStartedError, _ask
from readbell.cli.main import main
from readbell.core.people.events import PersonRegistered
from readbell.hand.first_start import first_questions
from readbell.hand.scene import AtHand
from readbell.settings.site_settings import SiteSettings
from torture.alarmed import trying
from torture.line_kinds import every_kind, example_of
from torture.processes import Bay, site
from torture.texts import (
    HALF,
    as_bytes,
    as_json,
    as_toml,
    places_of,
    recorded,
    strings_in,
    texts,
    with_key,
    with_text,
)
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from torture.processes import Site

SENTINEL = "this-asks-for-nothing"
CODES = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][0-9A-B]|[=>78cM])"
)
SECRETS = ("pin", "new_pin")
"""Keys whose text is never kept as it is."""
FORMS = {
    "nothing in hand": (),
    "a list of people": (".start",),
    "the label of a device": ("P-0412",),
    "a place on the bench": ("P-0412", ".more"),
    "a step": ("C02",),
    "when a step was done": ("C02", ".earlier"),
    "a reading": ("C01",),
    "a void": (".choose C02", ".void"),
    "each room": (".rooms",),
    **{
        f"the form of room {number}": (".rooms", *[".next"] * number, ".start")
        for number in range(8)
    },
}
"""How each form of the board is come by, in plain lines."""


def unseen(text: str) -> str:
    """Return the signs of a line on a screen that nobody sees, or that are codes."""
    return "".join(sign for sign in text if not sign.isprintable())


def lines(ground: Ground) -> Tried:
    """Put each text under each key of each line, as its value, in a list and as a key."""
    tried = Tried(what="each text in every key of every line of a bay")
    some = texts(ground, 2)
    taken: set[str] = set()
    # What needs a fresh device first: a text may well put the lot on hold later on.
    kinds = sorted(every_kind(), key=lambda kind: kind.do != "void")
    with site(ground.folder()) as place, trying(tried):
        Place.write_assay(_Assays(place))  # type: ignore[arg-type]  # it only asks for the folder
        bay = _ready(place)
        number = count(1)
        for kind in kinds:
            for key in (*(each for each, _, _ in kind.keys), "a key of its own"):
                for text in some.values():
                    fresh = f"X-{next(number)}"
                    if kind.do == "void":
                        bay.must(**_labelling(fresh))
                    line = kind.example(fresh)
                    shapes = [line | {key: text}]
                    if key == "a key of its own":
                        shapes = [line | {text: text}]
                    elif key in ("persons", "steps", "test"):
                        shapes += [line | {key: [text, "X"]}, line | {key: {text: "faint"}}]
                    for shape in shapes:
                        tried.times += 1
                        if _answered(tried, bay, shape, next(number)) and key not in SECRETS:
                            taken.add(text)
        tried.expect(bay.leave() == 0 and not bay.complaints, f"it ended badly: {bay.complaints}")
        _compare(tried, place.journal, taken)
        tried.expect(place.verify().returncode == 0, "the journal is not whole")
        _shown_clean(tried, place)
    tried.note = f"{len(kinds)} kinds of lines; {len(taken)} texts were taken, sign for sign"
    return tried


class _Assays:
    """What `Place.write_assay` asks of a place."""

    def __init__(self, place: Site) -> None:
        self.folder = place.top


def _ready(place: Site) -> Bay:
    bay = place.start("--name", "Harrow Quay")
    by = {"by": OPERATOR}
    bay.must(do="register-operator", id=OPERATOR)
    bay.must(do="register-operator", id="op-2", **by)
    bay.must(do="adopt-assay", assay="quick", instructions="v1", **by)
    bay.must(do="receive-lot", number=LOT, assay="quick", expires="2099-12-31", **by)
    bay.must(do="register-person", id="P-0412", **by)
    return bay


def _labelling(label: str) -> dict[str, str]:
    return {"do": "label", "by": OPERATOR, "cartridge": label, "person": "P-0412", "lot": LOT}


def _answered(tried: Tried, bay: Bay, said: dict[str, Any], number: int) -> bool:
    """Give one line; look at every word that comes of it; return whether it was taken."""
    end = f"{SENTINEL}-{number}"
    asks_for_nothing = {"do": "mute", "by": OPERATOR, "reason": end, "for": "1:00"}
    bay.say(as_json(said), as_json(asks_for_nothing))
    accepted = False
    while end not in (found := bay.line()).get("says", ""):
        accepted |= bool(found.get("accepted"))
        bad = "".join(map(unseen, strings_in(found)))
        tried.expect(not bad, f"{bad!r} was said of {str(said)[:200]!r}")
    bay.heard.clear()
    return accepted


def _compare(tried: Tried, journal: Path, taken: set[str]) -> None:
    """Every text that was taken stands in the journal as it is, and nobody else was entered."""
    kept = recorded(journal)
    for text in taken:
        tried.expect(text in kept, f"{text[:60]!r} was taken and is not in the journal")
        tried.expect(not unseen(text), f"{text[:60]!r} was taken, and looks like another")
    odd = [each for each in kept if unseen(each)]
    tried.expect(not odd, f"kept, and nobody can see it whole: {odd[:3]!r}")


def _shown_clean(tried: Tried, place: Site) -> None:
    """No command prints a code of what the journal holds."""
    for words in (("watch", "--once"), ("verify",)):
        done = place.run(*words, "--journal", str(place.journal))
        tried.expect(done.returncode == 0, f"{words[0]}: {done.stderr[:300]}")
        for line in (done.stdout + done.stderr).splitlines():
            tried.expect(not unseen(line), f"{words[0]} printed {unseen(line)!r}")


def forms(ground: Ground) -> Tried:
    """Put each text into each form of the board: nothing is taken that is not as it was given."""
    tried = Tried(what="each text in every form of the board, in plain lines")
    some = {name: text for name, text in texts(ground, 2).items() if "\n" not in text}
    given = set(some.values()) | {each.strip() for each in some.values()}
    place = Place(ground.folder())
    with trying(tried):
        try:
            place.prepare(*on_bench("C01", "C02"), persons=["P-0412", "P-0413"])
            board = place.lines("--quiet")
            number = count(1)
            for way in FORMS.values():
                for text in some.values():
                    tried.times += 1
                    end = f"{SENTINEL}-{next(number)}"
                    before = len(board.said)
                    tries = (text, f".{text}", f".T {text}", f".choose {text}", ".start", ".back")
                    given |= {each.strip() for each in tries}
                    board.say(*way, *map(as_bytes, tries), ".back", ".back", f".{end}")
                    board.until_said(end, before)
                    for line in board.said[before:]:
                        tried.expect(not unseen(line), f"it said {unseen(line)!r} of {text[:60]!r}")
            board.end_of_input()
            tried.expect(board.wait() == 0, "it ended badly")
            tried.expect(place.run("verify").returncode == 0, "the journal is not whole")
            for each in place.events():
                if isinstance(each, PersonRegistered):
                    who = each.person.value or ""
                    known = who in given or who in ("P-0412", "P-0413")
                    tried.expect(known, f"{who!r} was entered, and nobody gave that")
            odd = [each for each in recorded(place.journal) if unseen(each)]
            tried.expect(not odd, f"kept, and nobody can see it whole: {odd[:3]!r}")
        finally:
            place.close()
    return tried


def screen(ground: Ground) -> Tried:
    """Type and paste each text on a real board: no code of it comes back, and scans are taken."""
    tried = Tried(what="each text typed, pasted and shown on a real board")
    some = texts(ground, 2)
    place = Place(ground.folder())
    with trying(tried):
        try:
            place.prepare(persons=["P-0412"])
            bench = place.board("--quiet", size=(200, 60))
            for text in some.values():
                tried.times += 1
                bench.press("f2")
                for before, after in ((b"", b"\r"), (b"\x1b[200~", b"\x1b[201~")):
                    bench.pause(0.15)
                    bench.give(before + as_bytes(text).replace(b"\x1b", b"^") + after)
                    bench.pause(0.15)
                for _ in range(3):
                    bench.press("escape")
                bad = [row for row in bench.rows if unseen(row)]
                tried.expect(not bad, f"on the screen for {text[:60]!r}: {bad[:1]!r}")
            bench.press_for("f2", "Scan each person")
            bench.scan_for("P-0999", "1: P-0999")
            shown = CODES.sub(b"", bytes(bench.output)).decode()
            odd = {sign for sign in shown if not sign.isprintable()} - {"\r", "\n"}
            tried.expect(not odd, f"written to the terminal: {odd!r}")
            tried.expect(place.run("verify").returncode == 0, "the journal is not whole")
        finally:
            place.close()
    return tried


def first_start(ground: Ground) -> Tried:
    """Answer each question of a first start with each text."""
    tried = Tried(what="each text as an answer at the first start")
    shelf = (AtHand(id="quick", title="Quick"),)
    for text in texts(ground, 10).values():
        for each in first_questions(shelf, "UTC", date(2026, 1, 1), lambda zone: zone == "UTC"):
            tried.times += 1
            answers = iter((text,))

            def read(_: str, answers: Iterator[str] = answers) -> str:
                answer = next(answers, None)
                if answer is None:
                    raise EOFError
                return answer

            printed = io.StringIO()
            with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
                try:
                    taken = _ask(each, read)
                except NotStartedError:
                    taken = ""
            tried.expect(taken in ("", text.strip(), each.usual), f"{each.key}: another text")
            for line in (taken, *printed.getvalue().splitlines()):
                tried.expect(not unseen(line), f"{each.key}: {unseen(line)!r} of {text[:60]!r}")
    return tried


def files(ground: Ground) -> Iterator[Tried]:
    """Put each text at each place of each file that people write, as a value and as a key."""
    folder = ground.folder()
    bundled = importlib.resources.files("readbell.assays")
    for name, table, words in (
        ("a scenario", _scenario(), ("rehearse", "FILE", "--unattended", "--json")),
        ("a scenario, told in words", _scenario(), ("rehearse", "FILE", "--unattended")),
        *(
            ("an assay", tomllib.loads(each.read_text("utf-8")), ("assay", "FILE"))
            for each in bundled.iterdir()
            if each.name.endswith("antigen-nasal.toml")
        ),
        # With no terminal to draw on it goes no further than its settings, and says so.
        ("the settings", _settings(), ("board", "--quiet", "--journal", "JOURNAL")),
    ):
        tried = Tried(what=f"each text at every place of {name}")
        home = folder / "CONFIG" / "readbell"
        home.mkdir(parents=True, exist_ok=True)
        file = home / "settings.toml" if name == "the settings" else folder / "given.toml"
        for place in places_of(table):
            for text in texts(ground, 1).values():
                for change in (with_text, with_key):
                    if change is with_key and not isinstance(place[-1], str):
                        continue
                    tried.times += 1
                    file.write_bytes(as_toml(change(table, place, text)))
                    _judge_run(tried, words, file, folder, f"{place} {text[:40]!r}")
        file.unlink()
        yield tried


def _scenario() -> dict[str, Any]:
    act = {"at": "0:01", "by": "op-1"}
    return tomllib.loads(SCENARIO) | {
        "cartridge": [{"id": "C9", "bands": {"control": "never"}}],
        "lid": [{"shut": "10:00", "open": "11:00"}],
        "act": [
            act
            | {"do": "label", "cartridge": "C1", "person": "P-001", "lot": "L-100", "place": "1"},
            act | {"do": "step", "cartridge": "C1", "step": "buffer", "scanned": "C1"},
            act | {"do": "void", "cartridge": "C1", "reason": "dropped"},
            act | {"do": "hold-lot", "lot": "L-100"},
        ],
    }


def _settings() -> dict[str, Any]:
    found = {
        field.alias or name: example_of(field.annotation, "x")
        for name, field in SiteSettings.model_fields.items()
    }
    return {
        key: each
        for key, each in (found | {"heard_seconds": 30, "read_limit": 2}).items()
        if isinstance(each, (str, int, float, list)) and (not isinstance(each, str) or each != "x")
    }


def _judge_run(tried: Tried, words: tuple[str, ...], file: Path, folder: Path, what: str) -> None:
    """Run a command: it does its work, or says one sentence and ends with 2."""
    named = {"FILE": str(file), "JOURNAL": str(folder / "bay.journal")}
    here = run_apart if words[0] == "bay" else run_here
    status, out, error = here([named.get(each, each) for each in words], folder)
    tried.expect(status in (0, 2), f"{what}: it ended with {status}: {error[-300:]}")
    if status:
        sentences = error.splitlines()
        tried.expect(bool(sentences) and not out, f"{what}: {sentences}")
        one = words[0] == "assay" or len(sentences) == 1
        tried.expect(one, f"{what}: {len(sentences)} lines")
    for line in (*out.splitlines(), *error.splitlines()):
        tried.expect(not unseen(line), f"{what}: printed {unseen(line)!r}")


def run_here(words: list[str], folder: Path) -> tuple[int, str, str]:
    """Run the command in this process; leave nothing of it behind."""
    out, error = io.StringIO(), io.StringIO()
    hook, umask = threading.excepthook, os.umask(0o077)
    before = os.environ.get("XDG_CONFIG_HOME")
    os.environ["XDG_CONFIG_HOME"] = str(folder / "CONFIG")
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(error):
            status = main(words)
    finally:
        threading.excepthook = hook
        os.umask(umask)
        if before is None:
            del os.environ["XDG_CONFIG_HOME"]
        else:
            os.environ["XDG_CONFIG_HOME"] = before
    return status, out.getvalue(), error.getvalue()


def run_apart(words: list[str], folder: Path) -> tuple[int, str, str]:
    """Run the command in a process of its own, with nothing to read: what a bay sets up stays."""
    done = subprocess.run(
        [sys.executable, "-m", "readbell", *words],
        env=dict(os.environ) | {"XDG_CONFIG_HOME": str(folder / "CONFIG")},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        timeout=60,
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def continuation(ground: Ground) -> Tried:
    """Put each text at each place of a continuation file: it is joined, or said to be changed."""
    tried = Tried(what="each text at every place of a continuation file")
    with site(ground.folder()) as place, trying(tried):
        bay = place.start()
        place.prepare(bay)
        away = place.disk / "away"
        place.journal.rename(away)
        bay.must(do="register-person", id="P-0412", by="op-Quillfeather")
        bay.process.kill()
        bay.wait()
        away.rename(place.journal)
        (file,) = place.disk.glob("*.continuation-*")
        rows = [json.loads(line) for line in file.read_text("utf-8").splitlines()]
        for path in places_of(rows):
            for text in texts(ground, 2).values():
                tried.times += 1
                copy = ground.folder() / "disk"
                shutil.copytree(place.disk, copy)
                changed = with_text(rows, path, text)
                (copy / file.name).write_bytes(b"".join(as_json(row) + b"\n" for row in changed))
                journal = copy / place.journal.name
                words = ["verify", "--journal", str(journal)]
                status, out, error = run_here(words, place.top)
                what = f"{path} {text[:40]!r}"
                tried.expect(status in (0, 1, 2), f"{what}: verify ended with {status}: {error}")
                for line in (*out.splitlines(), *error.splitlines()):
                    tried.expect(not unseen(line), f"{what}: printed {unseen(line)!r}")
                if ground.long and tried.times % 10 == 0:
                    done = place.run("watch", "--once", "--journal", str(journal))
                    tried.expect(done.returncode in (0, 2), f"{what}: {done.stderr[-300:]}")
                shutil.rmtree(copy.parent)
    return tried


def words_of_the_command(ground: Ground) -> Tried:
    """Give each text as the name and the time zone of a new bay."""
    tried = Tried(what="each text as a new bay's name and time zone")
    for text in texts(ground, 2).values():
        for option in ("--name", "--timezone"):
            if "\x00" in text or HALF in text:
                continue  # no system hands such a word to a program
            tried.times += 1
            folder = ground.folder()
            words = ("bay", "--quiet", "--journal", "JOURNAL", f"{option}={text}")
            _judge_run(tried, words, folder / "none", folder, f"{option} {text[:40]!r}")
    return tried


def text(ground: Ground) -> Iterator[Tried]:
    """Try every place where a text may come in; real programs side by side, the rest after them."""
    with ThreadPoolExecutor(3) as several:
        yield from several.map(lambda tried: tried(ground), (lines, forms, screen))
    yield first_start(ground)
    yield words_of_the_command(ground)
    yield from files(ground)
    yield continuation(ground)


TRIALS = [Trial(name="text", title="Texts", run=text)]
