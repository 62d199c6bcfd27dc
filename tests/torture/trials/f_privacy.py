"""Nobody else may read a file, whatever the mask; a crash names nobody, wherever it happens."""

from __future__ import annotations

import json
import os
import pty
import resource
import signal
import subprocess
import sys
import termios
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from cli.conftest import SCENARIO
from patience import PATIENCE_SECONDS
from torture.processes import OPERATOR, arrival, labelling, now, site, step
from torture.trial import Ground, Trial, Tried

if TYPE_CHECKING:
    from collections.abc import Iterator

    from torture.processes import Site

GROUP_AND_OTHERS = 0o077
MASKS = (0o000, 0o022, 0o077, 0o777)
LEAK = "LEAK-Quillfeather"
"""Stands in every id that is given to a program that crashes."""
SECRET = "SECRET-of-the-crash"  # noqa: S105  # a mark to look for
"""Stands in the message of the crash, before the ids."""
CRASHES = {
    "where acts are judged": ("readbell.core.board.decide", "decide"),
    "where events are encoded": ("readbell.bay.recorder", "encode_each"),
    "where alerts are worked out": ("readbell.bay.announcer", "alerts_to_come"),
    "where what was told is put into words": ("readbell.cli.line_mode", "tell"),
    "where it is said how things stand": ("readbell.cli.line_mode", "where_all_stand"),
    "where lines are read": ("readbell.scenarios.line", "read_line"),
    "where a scan is taken": ("readbell.hand.handle", "handle"),
    "where a screen is painted": ("readbell.ui.page", "_board"),
}
BOOM = """\
import importlib.abc, importlib.machinery, sys

MODULE, NAME = {module!r}, {name!r}


def boom(*given, **named):
    secret = "{boom}"
    raise RuntimeError(f"{{secret}} {{given!r}} {{named!r}}")


class Finder(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path, target=None):
        if name != MODULE:
            return None
        sys.meta_path.remove(self)
        spec = importlib.util.find_spec(name)
        load = spec.loader.exec_module

        def and_break(module):
            load(module)
            assert hasattr(module, NAME)
            setattr(module, NAME, boom)

        spec.loader.exec_module = and_break
        return spec


import importlib.util
sys.meta_path.insert(0, Finder())
"""


def open_to_others(place: Site) -> list[str]:
    """Return the files of records that others might read."""
    files = [file for file in place.disk.rglob("*") if file.is_file()]
    files += [file for name in ("STATE", "CACHE", "DATA") for file in (place.top / name).rglob("*")]
    return sorted(
        f"{file.name} {file.stat().st_mode & 0o777:o}"
        for file in files
        if file.is_file() and file.stat().st_mode & GROUP_AND_OTHERS
    )


def masks(ground: Ground) -> Iterator[Tried]:
    """Make every file there is under every mask."""
    tried = Tried(
        what="mode of each file (journal, log, shared memory, lock, continuation, copies)"
    )
    seen: set[str] = set()
    for mask in MASKS if ground.long else MASKS[:1]:
        tried.times += 1
        with site(ground.folder()) as place:

            def careless(mask: int = mask) -> None:
                os.umask(mask)

            bay = place.start(before=careless)
            place.prepare(bay)
            kept, journal = place.disk / "kept.journal", str(place.journal)
            for words in (
                ("backup", "--journal", journal, "--to", str(kept)),
                ("restore", "--from", str(kept), "--journal", str(place.disk / "back.journal")),
            ):
                done = place.run(*words, before=careless)
                tried.expect(done.returncode == 0, f"{words[0]}: {done.stderr}")
            scenario = place.top / "day.toml"
            scenario.write_text(SCENARIO, "utf-8")
            played = str(place.disk / "played.journal")
            rehearse = ("rehearse", str(scenario), "--unattended", "--json", "--journal", played)
            tried.expect(place.run(*rehearse, before=careless).returncode == 0, "rehearse")
            away = place.disk / "away"
            place.journal.rename(away)
            bay.must(**arrival("P-1"))
            seen |= {file.name.rpartition("journal")[2][:14] for file in place.disk.iterdir()}
            for name in open_to_others(place):
                tried.fail(f"mask {mask:03o}: {name}")
            away.rename(place.journal)
    needed = {"", "-wal", "-shm", ".lock", ".continuation-"}
    tried.expect(needed <= seen, f"only seen: {seen}")
    yield tried


def breaking(place: Site, where: str) -> dict[str, str]:
    """Return what makes a program of this place crash at a spot, with a name in the message."""
    module, name = CRASHES[where]
    folder = place.top / f"boom-{name}"
    folder.mkdir(exist_ok=True)
    (folder / "sitecustomize.py").write_text(
        BOOM.format(module=module, name=name, boom=SECRET),
        "utf-8",
    )
    path = os.pathsep.join(each for each in (str(folder), os.environ.get("PYTHONPATH")) if each)
    return {"PYTHONPATH": path, "TERM": "xterm-256color"}


def crash_bay(place: Site, where: str) -> str:
    """Crash a bay by its lines; return all that it printed of the crash."""
    bay = place.start(environment=breaking(place, where))
    lines = (arrival(f"P-{LEAK}"), labelling("S1", f"P-{LEAK}"), step("S1", "soak"))
    bay.say({"do": "register-operator", "id": OPERATOR}, *lines, {"do": "board"})
    bay.end_of_input()
    bay.wait()
    return "".join(bay.complaints) + "".join(json.dumps(each) for each in bay.rest())


def crash_plain(place: Site, where: str) -> str:
    """Crash a board told in lines."""
    found(place)
    words = ("board", "--plain", "--quiet", "--journal")
    done = subprocess.run(
        [sys.executable, "-m", "readbell", *words, str(place.journal)],
        input=f"P-{LEAK}\n.start\n.board\n",
        env=place.environment | breaking(place, where),
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    return done.stdout + done.stderr


def crash_board(place: Site, where: str) -> str:
    """Crash a board on a terminal of its own."""
    found(place)
    keeper, terminal = pty.openpty()
    termios.tcsetwinsize(terminal, (24, 80))
    command = [sys.executable, "-m", "readbell", "board", "--quiet", "--journal"]
    process = subprocess.Popen(
        [*command, str(place.journal)],
        stdin=terminal,
        stdout=terminal,
        stderr=terminal,
        env=place.environment | breaking(place, where),
        start_new_session=True,
        preexec_fn=_hears_of_the_end,
    )
    os.close(terminal)
    os.set_blocking(keeper, False)
    # It may take its time to open; once it stands, what is to fail does so at once or never.
    said, end, told = b"", now() + PATIENCE_SECONDS, False
    while process.poll() is None and now() < end:
        try:
            said += os.read(keeper, 65536)
        except BlockingIOError:
            time.sleep(0.02)
        except OSError:
            break
        if not told and (b"failed" in said or b" Scan " in said):
            told = True
            os.write(keeper, f"P-{LEAK}\r".encode())
            end = now() + 5
    process.kill()
    process.wait()
    with suppress(OSError):  # what it said last may lie in the terminal still
        while more := os.read(keeper, 65536):
            said += more
    os.close(keeper)
    return said.decode(errors="replace")


def _hears_of_the_end() -> None:
    """Take away what `nohup` leaves to all that is started under it: with it no board begins."""
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


def crash_rehearsal(place: Site, where: str) -> str:
    """Crash a rehearsal."""
    scenario = place.top / "day.toml"
    scenario.write_text(SCENARIO.replace("P-001", f"P-{LEAK}"), "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "readbell", "rehearse", str(scenario), "--unattended", "--json"],
        env=place.environment | breaking(place, where),
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE_SECONDS,
    )
    return done.stderr + ("" if done.returncode == 0 else done.stdout)


def found(place: Site) -> None:
    """Found the bay, so that a board asks nothing first."""
    if not place.journal.exists():
        bay = place.start()
        place.prepare(bay)
        bay.leave()


PROGRAMS = {
    "bay": crash_bay,
    "board --plain": crash_plain,
    "board": crash_board,
    "rehearse": crash_rehearsal,
}


def crashes(ground: Ground) -> Iterator[Tried]:
    """Crash each program at each spot."""
    spots = list(CRASHES) if ground.long else list(CRASHES)[:1]

    def crash(program: str) -> Tried:
        tried = Tried(what=f"a crash of {program} whose message holds an identifier")
        for where in spots:
            with site(ground.folder()) as place:
                said = PROGRAMS[program](place, where)
                # Not every program comes by every spot; only a crash counts as one.
                tried.times += "RuntimeError" in said
                tried.expect("AssertionError" not in said, f"{where}: there is no such spot")
                tried.expect(SECRET not in said, f"{where}: the message was printed")
                # A terminal that the board has left echoes what is typed, so it says all names.
                for line in said.splitlines() if program != "board" else ():
                    is_of_crash = "RuntimeError" in line or "Traceback" in line
                    tried.expect(not (is_of_crash and LEAK in line), f"{where}: {line}")
        tried.note = f"one at each of the spots it comes by, of {len(spots)} tried"
        return tried

    with ThreadPoolExecutor(1 if ground.long else 2) as several:
        yield from several.map(crash, PROGRAMS if ground.long else ("bay", "rehearse"))


def memory(ground: Ground) -> Iterator[Tried]:
    """Abort each program: no image of its memory may be left behind."""
    tried = Tried(what="abort of a real bay and board: an image of the memory left behind")
    with site(ground.folder()) as place:
        commands = [["bay", "--quiet"], ["board", "--plain", "--quiet"]]
        if ground.long:
            found(place)  # or else a board asks first
        for command in commands if ground.long else commands[:1]:
            tried.times += 1
            process = subprocess.Popen(
                [sys.executable, "-m", "readbell", *command, "--journal", str(place.journal)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=place.environment,
                cwd=place.top,
                preexec_fn=_all_cores,
            )
            assert process.stdout is not None
            assert process.stdin is not None
            process.stdout.readline()
            limits = Path(f"/proc/{process.pid}/limits")
            if limits.exists():
                core = next(each for each in limits.read_text().splitlines() if "core file" in each)
                tried.expect(core.split()[4] == "0", f"{command[0]}: {core}")
            process.send_signal(signal.SIGABRT)
            process.wait(PATIENCE_SECONDS)
            process.stdin.close()
            process.stdout.close()
        images = [file.name for file in place.top.iterdir() if file.name.startswith("core")]
        tried.expect(not images, f"left behind: {images}")
    yield tried


def _all_cores() -> None:
    _, most = resource.getrlimit(resource.RLIMIT_CORE)
    resource.setrlimit(resource.RLIMIT_CORE, (most, most))


def privacy(ground: Ground) -> Iterator[Tried]:
    """Look at modes, at crashes, and at images of the memory."""
    yield from masks(ground)
    yield from crashes(ground)
    yield from memory(ground)


TRIALS = [Trial(name="privacy", title="Whoever may look", run=privacy)]
