"""Look on while another program runs a bay: told line by line, nothing can be changed."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.exit_codes import DONE

if TYPE_CHECKING:
    import argparse


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser("watch", help=__doc__, description=__doc__)
    parser.add_argument("--journal", type=Path, metavar="FILE", help="default: this computer's own")
    parser.add_argument("--once", action="store_true", help="say how things stand, and end")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Follow the journal until it is told to stop."""
    from readbell.assembly import follow
    from readbell.cli.line_mode import LineMode
    from readbell.cli.private_memory import keep_memory_private
    from readbell.phrases.record_words import tell_record
    from readbell.settings.places import default_journal

    keep_memory_private()
    voice = LineMode()

    async def look_on() -> None:
        looks = follow(options.journal or default_journal(), once=options.once)
        first = await anext(looks)
        for said in (*voice.saving(first), *voice.around(first), *voice.standing(first)):
            print(said.words, flush=True)
        print(tell_record(first.record_check), flush=True)
        async for news in looks:
            for said in (*voice.saving(news), *voice.around(news), *voice.following(news)):
                print(said.words, flush=True)
            for event in news.events:
                print(voice.line(news, event), flush=True)

    try:
        asyncio.run(look_on())
    except KeyboardInterrupt:
        return DONE
    return DONE
