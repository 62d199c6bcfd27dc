"""`readbell capacity`: an answer with its rule, its assumptions and its bound; or one sentence and 2."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pypdf
import pytest
import resvg_py

from patience import PATIENCE_SECONDS
from readbell.cli import capacity as command_itself

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

PACE = ("capacity", "--operators", "2")
BROKEN_OFF = """
import os, signal, sys
from readbell.cli import progress
from readbell.cli.main import main

class BrokenOff(progress.Progress):
    def tell(self, what, done, of):
        if done:
            os.kill(os.getpid(), signal.SIGINT)
        super().tell(what, done, of)

progress.Progress = BrokenOff
sys.exit(main(sys.argv[1:]))
"""
"""The program, which gets the signal of Ctrl+C as soon as it has played a part of its runs."""
QUICK = ("capacity", "--arrivals-per-hour", "20", "--hours", "0.5", "--runs", "200")


def answered(command: Command, *options: str) -> dict[str, Any]:
    """The answer as JSON."""
    done = command(*options, "--json")
    assert (done.status, done.err) == (0, "")
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_without_arrivals_the_pace_alone_is_told(command: Command) -> None:
    """The bundled assay, computed: pairs on each pair of hands, 87.5 s for two operators."""
    pace = answered(command, *PACE)["pace"]

    assert (pace["apart_s"], pace["bound_s"], pace["even_stagger_s"]) == (87.5, 77.5, 88)
    assert (pace["proven"], pace["people_in_a_round"]) == (False, 2)


def test_without_gloves_the_pace_is_the_work_itself(command: Command) -> None:
    """Then it is proven, and said so."""
    pace = answered(command, *PACE, "--gloves", "0")["pace"]

    assert (pace["apart_s"], pace["proven"]) == (67.5, True)
    assert "proven   yes" in command(*PACE, "--gloves", "0").out


def test_each_answer_names_its_rule_its_assumptions_and_its_bound(command: Command) -> None:
    """And the usual caution."""
    said = command(*QUICK, "--operators", "2").out

    for word in ("  rule ", "  bound ", "  proven ", "Rule: blocks", "Assumed: ", "Bound: "):
        assert word in said
    assert "The kit's own instructions" in " ".join(said.split())
    assert max(len(line) for line in said.splitlines()) <= 79


def test_a_crew_is_told_its_waits_and_its_misses(command: Command) -> None:
    """Quantiles in order, a share of the time at work, an interval."""
    (crew,) = answered(command, *QUICK, "--operators", "1")["crews"]

    waits = crew["wait_s"]
    assert 0 <= waits["p50"] <= waits["p90"] <= waits["p99"]
    assert 0.2 < crew["utilisation"] < 1
    assert crew["missed"]["low"] <= crew["missed"]["share"] <= crew["missed"]["high"] < 0.05
    assert crew["runs"] == 200


def test_the_same_seed_brings_the_same_figures_back(command: Command) -> None:
    """And another seed brings others."""
    once = answered(command, *QUICK, "--operators", "1")

    assert answered(command, *QUICK, "--operators", "1") == once
    assert answered(command, *QUICK, "--operators", "1", "--seed", "2")["crews"] != once["crews"]


def test_without_numpy_the_same_is_answered(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pure Python always works; it says that there are fewer runs for want of numpy."""
    once = answered(command, *QUICK, "--operators", "1")
    monkeypatch.setitem(sys.modules, "numpy", None)

    assert answered(command, *QUICK, "--operators", "1") == once
    assert "as numpy is missing" in " ".join(command(*QUICK, "--operators", "1").out.split())


def test_a_crew_is_searched_for(command: Command) -> None:
    """The smallest that keeps what is asked, each smaller one tried before the same people."""
    found = answered(command, *QUICK, "--wait-target", "1:00", "--miss-target", "0.05")

    assert found["answer"] == found["crews"][-1]["operators"] > 1
    assert [crew["keeps_target"] for crew in found["crews"][:-1]] == [False] * (
        len(found["crews"]) - 1
    )


def test_where_no_crew_is_shown_to_do_it_is_said_why(command: Command) -> None:
    """Too few runs to show it; hands that are never idle; waits that one cannot shorten."""
    few = command(*QUICK)
    busy = command(*QUICK, "--rule", "earliest-limit", "--miss-target", "0.001")
    slow = command(*QUICK, "--most-operators", "1", "--wait-target", "0:01")

    assert "name more --runs" in " ".join(few.out.split())
    assert "try the rule blocks" in " ".join(busy.out.split())
    assert "The waits are too long" in " ".join(slow.out.split())
    assert {few.status, busy.status, slow.status} == {0}


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--operators", "0"], "--operators 0: name a whole number from 1 to 50."),
        (["--operators", "two"], "--operators two: name a whole number"),
        (["--operators", "999999999999"], "--operators 999999999999: name a whole number"),
        (["--arrivals-per-hour", "-4"], "--arrivals-per-hour -4: name a number from 0.1"),
        (["--arrivals-per-hour", "nan"], "--arrivals-per-hour nan: name a number"),
        (["--arrivals-per-hour", "1e9"], "--arrivals-per-hour 1e9: name a number"),
        (["--arrivals-per-hour", "500", "--hours", "24"], "500 people are 12000 in one run"),
        (["--hours", "two"], "--hours two: name a number from 0.05 to 24."),
        (["--hours", "0"], "--hours 0: name a number from 0.05 to 24."),
        (["--seed", "-1"], "--seed -1: name a whole number"),
        (["--gloves", "-3"], "--gloves -3: name a number from 0 to 600."),
        (["--spread", "7"], "--spread 7: name a number from 0 to 1."),
        (["--runs", "0"], "--runs 0: name a whole number from 1"),
        (["--wait-target", "ten"], "--wait-target ten: write a time as 10:00"),
        (["--wait-target", "9999:00:00"], "--wait-target 9999:00:00: write a time"),
        (["--miss-target", "0"], "--miss-target 0: name a number from 1e-07 to 1."),
        (
            ["--picture", "plan.bmp"],
            "--picture plan.bmp: name a file that ends in .svg, .pdf or .png.",
        ),
        (["--picture", "plan.svg"], "--picture: there are no waits to draw"),
        (["--assay", "nothing-such"], "assay 'nothing-such' is not known"),
    ],
)
def test_an_impossible_number_is_one_sentence(
    command: Command, options: list[str], sentence: str
) -> None:
    """What, where, what to do; nothing is worked out."""
    done = command("capacity", *options)

    assert done.status == 2
    assert sentence in done.err
    assert done.err.count("\n") == 1
    assert done.out == ""


def test_arrivals_over_the_work_bound_are_refused_at_once(command: Command) -> None:
    """Each person is 155 s of work: no crew, and no order, gets round it."""
    crew = command("capacity", "--arrivals-per-hour", "40", "--operators", "1")
    any_crew = command("capacity", "--arrivals-per-hour", "400", "--hours", "1")

    assert "40 an hour is over the work bound: 1 operator carries at most 23.2" in crew.err
    assert "no crew of up to 12 operators carries more than 278.7" in any_crew.err
    assert {crew.status, any_crew.status} == {2}


def test_an_assay_that_cannot_be_kept_is_refused(command: Command, tmp_path: Path) -> None:
    """A reading that takes longer than its window is open."""
    file = own_assay(tmp_path, hands_on="9:00")

    for options in (["--operators", "2"], ["--arrivals-per-hour", "2"]):
        done = command("capacity", "--assay", str(file), *options)
        assert done.status == 2
        assert "cannot keep its own limits" in done.err


def test_days_that_would_last_too_long_are_refused(command: Command, tmp_path: Path) -> None:
    """Hours of work on each person, for a thousand of them."""
    file = own_assay(tmp_path, hands_on="4:00", swab="59:00")

    done = command(
        "capacity", "--assay", str(file), "--arrivals-per-hour", "12", "--hours", "24",
        "--operators", "30",
    )  # fmt: skip

    assert done.status == 2
    assert "name fewer --hours" in done.err


def own_assay(folder: Path, *, hands_on: str, swab: str = "0:30") -> Path:
    """Write an assay whose reading and whose swab take so long."""
    file = folder / "own.toml"
    file.write_text(
        f"""format = 1
id = "own"
title = "A strip for tests of the program"
specimen = "nothing"
clearing_up = "Nothing to clear up."
[temperature]
storage = [2, 30]
running = [15, 30]
[[step]]
key = "label"
title = "Label"
instruction = "Label it."
hands_on = "0:10"
[[step]]
key = "apply"
title = "Drops"
instruction = "Apply it."
hands_on = "{swab}"
touches_specimen = true
collects = true
[reading]
opens = "15:00"
closes = "20:00"
closing_warning = "1:00"
hands_on = "{hands_on}"
[[reading.line]]
key = "t"
mark = "T"
name = "Test"
[basis]
all = "made up"
""",
        encoding="utf-8",
    )
    return file


def test_the_waits_are_drawn_as_svg(command: Command, tmp_path: Path) -> None:
    """A drawing that a browser would show, with the rule in words below it."""
    file = tmp_path / "waits.svg"

    done = command(*QUICK, "--operators", "1", "--picture", file)

    text = file.read_text(encoding="utf-8")
    assert done.status == 0
    assert "Rule: blocks" in text
    assert "1 operator<" in text
    assert bytes(resvg_py.svg_to_bytes(svg_string=text)).startswith(b"\x89PNG")


def test_the_waits_are_drawn_as_pdf_the_same_each_time(command: Command, tmp_path: Path) -> None:
    """One page, the same words, the same bytes."""
    files = [tmp_path / "one.pdf", tmp_path / "two.PDF"]

    for file in files:
        assert command(*QUICK, "--operators", "1", "--picture", file).status == 0

    (page,) = pypdf.PdfReader(files[0]).pages
    assert "99 of 100 wait at most" in page.extract_text()
    assert files[0].read_bytes() == files[1].read_bytes()


def test_a_pdf_without_its_extra_says_what_to_install(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence, and the way round it."""
    monkeypatch.setitem(sys.modules, "reportlab.pdfgen.canvas", None)

    done = command(*QUICK, "--operators", "1", "--picture", tmp_path / "one.pdf")

    assert done.status == 2
    assert "pip install 'readbell[paper]'" in done.err


def test_a_picture_that_cannot_be_written_is_one_sentence(command: Command, tmp_path: Path) -> None:
    """A folder that is not there."""
    done = command(*QUICK, "--operators", "1", "--picture", tmp_path / "no" / "one.svg")

    assert done.status == 2
    assert "check the name and the rights" in done.err


def test_the_chart_can_do_without_blocks(command: Command) -> None:
    """Plain signs alone, and figures beside them."""
    said = command(*QUICK, "--operators", "1", "--ascii").out

    assert said.isascii()
    assert "###" in said
    assert "█" in command(*QUICK, "--operators", "1").out


def test_a_terminal_without_blocks_is_not_sent_any(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the output cannot write is not written."""
    monkeypatch.setattr(command_itself, "_has_blocks", lambda: False)

    assert command(*QUICK, "--operators", "1").out.isascii()


def test_ctrl_c_keeps_what_was_done_and_says_how_much() -> None:
    """In a process of its own, broken off in the middle of a long search, however long it took to begin."""
    done = subprocess.run(
        [
            sys.executable, "-c", BROKEN_OFF, "capacity", "--arrivals-per-hour", "20",
            "--operators", "2", "--runs", "10000000", "--gloves", "0",
        ],
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE_SECONDS,
        # As on a terminal: tests that run in the background may be told to ignore it.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip

    assert done.returncode == 130
    assert "Stopped: 2 operators played" in done.stdout
    assert "of 10,000,000 runs. What was done counts." in done.stdout
    assert done.stderr == ""
