"""``python -m webapp``: start the server, back up and restore what it keeps, or set the passphrase."""

# ruff: noqa: E402

import gc

gc.disable()  # what is imported stays: going through it again and again would take a tenth of the start; see below

import argparse
import getpass
import os
import sys
from collections.abc import Mapping
from datetime import datetime
from functools import partial
from pathlib import Path

import uvicorn
from pydantic import ValidationError

from webapp import backup, passphrase
from webapp.app import create_app
from webapp.database import StorageError, connected
from webapp.entry import is_loopback
from webapp.security import LOOPBACK
from webapp.settings import MOST_WORKERS, PREFIX, Settings

gc.freeze()  # nor is it gone through later
gc.enable()

PORTS = range(65536)
KEPT_OPEN = 75
"""How long a connection may be idle [s]; a busy server that was to close them early would cut off who is asking."""
PATIENCE = 60
"""How long a process may be busy before it is taken for stuck and replaced [s]."""


def main() -> None:
    """Read the options and do what they ask for: serve until stopped, back up, restore, or set the passphrase."""
    try:
        settings = Settings()
    except ValidationError as error:
        first = error.errors()[0]
        name = "_".join(map(str, first["loc"])).upper().removeprefix(PREFIX)
        sys.exit(f"The setting {PREFIX}{name} cannot be used: {first['msg'].removeprefix('Value error, ')}.")
    options = _parser(settings).parse_args()
    chosen = {name: value for name, value in vars(options).items() if name in Settings.model_fields}
    settings = settings.model_copy(update=chosen)
    try:
        if options.command == "backup":
            _back_up(settings, options.file)
        elif options.command == "restore":
            _restore(settings, options.file)
        elif options.command == "passphrase":
            _set_passphrase(settings, options.print)
        else:
            _serve(settings)
    except OSError as error:
        sys.exit(f"The data folder {settings.data} cannot be used: {error.strerror or error}.")
    except StorageError as error:
        where = f" in {settings.data}" if settings.database_file else ""
        advice = ""
        if where and options.command == "restore":
            advice = " To restore into a new one, move its file away first."
        sys.exit(f"The database{where} cannot be used: {error.reason}.{advice}")
    except (backup.BackupError, passphrase.PassphraseError) as error:
        sys.exit(str(error))


def _parser(settings: Settings) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m webapp", description="Serve Seasonal Panel Fit; or back up and restore what it keeps."
    )
    parser.add_argument("--host", default=settings.host, help="address to listen on (default %(default)s)")
    parser.add_argument("--port", type=_port, default=settings.port, help="port to listen on (default %(default)s)")
    parser.add_argument("--data", type=Path, default=settings.data, help="folder of the database (default %(default)s)")
    parser.add_argument(
        "--workers", type=_workers, default=settings.workers, help="processes that answer (default %(default)s)"
    )
    commands = parser.add_subparsers(dest="command", metavar="{backup,restore,passphrase}", title="instead of serving")
    for name, words in (
        ("backup", "write everything that is kept into a new file; a server may be running"),
        ("restore", "put what a backup holds in place of what is kept now, which goes into a file of its own"),
    ):
        command = commands.add_parser(name, help=words, description=f"{words[0].upper()}{words[1:]}.")
        command.add_argument("file", type=Path, help="the file of the backup")
        command.add_argument("--data", type=Path, default=argparse.SUPPRESS, help="folder of the database")
    words = "set the passphrase that lets people in, and have everyone enter anew; a server may be running"
    command = commands.add_parser("passphrase", help=words, description=f"{words[0].upper()}{words[1:]}.")
    command.add_argument("--print", action="store_true", help=f"only print its hash, for {PREFIX}PASSPHRASE_HASH")
    command.add_argument("--data", type=Path, default=argparse.SUPPRESS, help="folder of the database")
    return parser


def _serve(settings: Settings) -> None:
    if not is_loopback(settings.host) and not passphrase.Kept(settings.data, settings.passphrase_hash).hash():
        sys.exit(
            f"At {settings.host} anyone on the network could come in: set a passphrase first, with "
            "python -m webapp passphrase, or listen on 127.0.0.1."
        )
    if is_loopback(settings.host) and not settings.hosts:
        names = dict.fromkeys((*LOOPBACK, settings.host))
        settings = settings.model_copy(update={"hosts": ",".join(names)})
    app = create_app(settings)
    run = partial(
        uvicorn.run,
        host=settings.host,
        port=settings.port,
        log_level="info",
        server_header=False,
        timeout_keep_alive=KEPT_OPEN,
    )
    if settings.workers == 1:
        run(app, workers=1)
    else:
        app.state.store.close()
        os.environ.update({f"{PREFIX}{name.upper()}": str(value) for name, value in settings})
        run("webapp.app:create_app", factory=True, workers=settings.workers, timeout_worker_healthcheck=PATIENCE)


def _back_up(settings: Settings, file: Path) -> None:
    if settings.database_file and not settings.database_file.exists():
        sys.exit(f"There is no database in {settings.data} yet: nothing to back up.")
    print(f"Backed up into {file}: {_words(backup.back_up(connected(settings.database), file))}.")


def _restore(settings: Settings, file: Path) -> None:
    settings.data.mkdir(parents=True, exist_ok=True)
    aside = settings.data / f"before-restore-{datetime.now():%Y%m%d-%H%M%S}.jsonl"
    counts = backup.restore(connected(settings.database), file, aside)
    print(f"Restored from {file}: {_words(counts)}.")
    if counts.get("shares"):
        print("Links that show a piece open again as they did then: close those that you do not want.")
    print(f"What was kept before is in {aside}; restore that file to undo this.")


def _set_passphrase(settings: Settings, only_print: bool) -> None:
    hash = passphrase.hashed(_asked(f"Passphrase ({passphrase.LEAST} characters or more): "))
    if not passphrase.matches(hash, _asked("The same again: ")):
        raise passphrase.PassphraseError("These were two different passphrases; nothing was changed.")
    if only_print:
        print(hash)
        return
    passphrase.Kept(settings.data).set(hash)
    print(f"The passphrase is set in {settings.data}. Whoever was in enters anew.")
    if settings.passphrase_hash:
        print(f"But {PREFIX}PASSPHRASE_HASH is set, and is the one that counts.")


def _asked(question: str) -> str:
    """What is typed, unseen; or the next line of what is piped in."""
    return getpass.getpass(question) if sys.stdin.isatty() else sys.stdin.readline().rstrip("\r\n")


def _words(counts: Mapping[str, int]) -> str:
    kinds = (("pieces", "piece", "pieces"), ("climates", "climate", "climates"), ("species", "species", "species"))
    parts = [f"{(count := counts.get(name, 0))} {one if count == 1 else many}" for name, one, many in kinds]
    return f"{', '.join(parts)} of your own"


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) not in PORTS:
        raise argparse.ArgumentTypeError(f"“{text}” is no port; allowed is 0 to {PORTS[-1]}")
    return int(text)


def _workers(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_WORKERS:
        raise argparse.ArgumentTypeError(f"“{text}” is no number of processes; allowed is 1 to {MOST_WORKERS}")
    return int(text)


if __name__ == "__main__":
    main()
