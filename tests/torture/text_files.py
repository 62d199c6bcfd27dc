"""The worst texts at every place of every file that people write, and among the words of a command."""

from __future__ import annotations

import contextlib
import importlib.resources
import io
import json
import os
import shutil
import subprocess
import sys
import threading
import tomllib
from typing import TYPE_CHECKING, Any

from cli.conftest import SCENARIO
from patience import PATIENCE_SECONDS
from readbell.cli.main import main
from readbell.settings.settings_table import SettingsTable
from torture.alarmed import trying
from torture.line_kinds import example_of
from torture.processes import site
from torture.texts import HALF, as_json, as_toml, places_of, texts, unseen, with_key, with_text
from torture.trial import Ground, Tried

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


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
        for name, field in SettingsTable.model_fields.items()
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
        timeout=PATIENCE_SECONDS,
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
