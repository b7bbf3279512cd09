"""The command ``farend``: start the app, or pass a command on to the engine."""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import secrets
import sys
import webbrowser
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from engine import __version__
from engine.__main__ import COMMANDS, unsteered
from engine.__main__ import main as engine_main
from fieldapp.store.errors import StoreError, StoreFull, StoreReadOnly

if TYPE_CHECKING:
    from fieldapp.exchange import Incoming
    from fieldapp.shelf import Shelf

EXCHANGE = ("export", "import")
HANDOVER = ("report", "labels")
PAGE = ("bundle", "serve")
FOLDER = {
    StoreFull: "no room is left",
    StoreReadOnly: "nothing can be written there",
}
"""why a data folder cannot be used"""
DEFAULT_PORT = 8550
LOOPBACK = "127.0.0.1"


def parser() -> argparse.ArgumentParser:
    """The grammar of starting the app."""
    top = argparse.ArgumentParser(
        prog="farend",
        description="Start the app; job files, or zips of them with photos, named here come in. "
        f"Other commands: {', '.join((*COMMANDS, *EXCHANGE, *HANDOVER, *PAGE))}.",
    )
    top.add_argument(
        "files",
        metavar="FILE",
        nargs="*",
        help="files to open copies of: new jobs, or news to those that are here",
    )
    top.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    top.add_argument("--port", type=int, default=DEFAULT_PORT, help="0 takes a free one")
    top.add_argument("--data", metavar="DIR", help="where the jobs are kept")
    top.add_argument("--no-browser", action="store_true", help="only print the address")
    top.add_argument(
        "--lan",
        action="store_true",
        help="serve a phone on the same network, behind a one-time code; plain HTTP, only where "
        "you trust the network",
    )
    top.add_argument(
        "--address", metavar="IP", help="which of this computer's addresses --lan takes"
    )
    return top


def data_dir(asked: str | None) -> Path:
    """Where jobs are kept: as asked, else where the phone or this system keeps such things."""
    if asked:
        return Path(asked)
    if phone := os.environ.get("FLET_APP_STORAGE_DATA"):
        return Path(phone)
    from platformdirs import user_data_path

    return user_data_path("farend", appauthor=False)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run ``farend``; 0, or 2 where something cannot be read or written."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    if words and words[0] in COMMANDS:
        return engine_main(words, "farend")
    with unsteered():
        return _own(words)


def _own(words: list[str]) -> int:
    """The commands that are not the engine's."""
    if words and words[0] in EXCHANGE:
        from fieldapp.exchange.command import run

        return run(words[0], words[1:], data_dir)
    if words and words[0] == "report":
        from fieldapp.handover.report import report

        return report(words[1:])
    if words and words[0] == "labels":
        from fieldapp.handover.label_command import labels

        return labels(words[1:])
    if words and words[0] == "bundle":
        from fieldapp.phone.bundle import run as bundle

        return bundle(words[1:])
    if words and words[0] == "serve":
        from fieldapp.phone.serve import serve

        return serve(words[1:])
    from fieldapp.exchange.reading import read_files

    args = parser().parse_args(words)
    if args.address and not args.lan:
        print(
            "--address goes with --lan: without it only this computer is served.", file=sys.stderr
        )
        return 2
    found = [each for name in args.files for each in read_files(name).items()]
    files = {at: one for at, one in found if one is not None}
    if any(one is None for _, one in found):
        return 2
    try:
        return asyncio.run(_serve(args, files))
    except KeyboardInterrupt:
        return 0
    except (OSError, OverflowError) as error:
        print(f"farend cannot start: {error}", file=sys.stderr)
        return 2
    except StoreError as trouble:
        why = FOLDER.get(type(trouble), "it cannot be used")
        print(f"farend cannot start in {data_dir(args.data)}: {why}.", file=sys.stderr)
    return 2


async def _bring_in(files: Mapping[str, Incoming], shelf: Shelf) -> str | None:
    """Bring the files in; the first one's job, empty without any, None where one could not be.

    A folder that another farend has open is read: what it has of these jobs is shown.
    """
    from fieldapp.exchange.command import bring_in, came

    jobs = [incoming.file.plan.id for incoming in files.values()]
    for name, incoming in () if shelf.store.reads_only else files.items():
        brought = await bring_in(name, incoming, shelf)
        if brought is None:
            return None
        if not brought.is_new and (brought.entries or brought.pictures):
            print(f"{name}: {came(brought)}.", file=sys.stderr, flush=True)
    return jobs[0] if jobs else ""


async def _serve(args: argparse.Namespace, files: Mapping[str, Incoming]) -> int:
    """Open the store, bring the files in, serve until stopped; the status to end with."""
    from engine.say import say
    from fieldapp import words
    from fieldapp.app import main_for
    from fieldapp.door import shown
    from fieldapp.doorway import Doorway, lan_address, square_code
    from fieldapp.faces import FACES
    from fieldapp.means import means_of
    from fieldapp.services import Services, World
    from fieldapp.shelf import Shelf
    from fieldapp.store.files import open_files
    from fieldapp.webserver import serve

    world = World()
    host = lan_address(args.address) if args.lan else LOOPBACK
    doorway = Doorway(lambda line: print(line, flush=True)) if args.lan else None
    folder = data_dir(args.data)
    store = await open_files(
        folder, now=world.stamp, draw=lambda: secrets.token_hex(4), or_read=True
    )
    port = args.port
    if store.reads_only:
        print(f"{folder}: {words.sentence(say('told-busy'))}", file=sys.stderr, flush=True)
        port = 0 if port == DEFAULT_PORT else port  # the other is there
    shelf = Shelf(store, world)
    first = await _bring_in(files, shelf)
    if first is None:
        store.close()
        return 2
    if first and not store.reads_only:
        place = await store.load_place() or {}
        if place.get("job") != first:
            store.save_place({"route": f"/j/{first}/now", "job": first})

    def ready(address: str) -> None:
        print(address, flush=True)
        if doorway is not None:  # no browser here either: the code is typed by a person
            code = doorway.door.code
            print(words.door_open_for(shown(code)), words.door_plain(), sep="\n", flush=True)
            with contextlib.suppress(UnicodeEncodeError):  # a terminal without the letters for it
                print(square_code(address, code), flush=True)
        elif not args.no_browser:
            webbrowser.open(address)

    assets = Path(__file__).resolve().parent / "assets"
    try:
        await serve(
            main_for(lambda page: Services(shelf, *means_of(page))),
            host=host,
            port=port,
            assets_dir=assets,
            web_dir=folder / "client",
            families={face.family: Path(face.file).name for face in FACES.values()},
            on_ready=ready,
            doorway=doorway,
        )
    finally:
        store.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
