"""``python -m webapp``: start the server."""

import argparse
import sys
from pathlib import Path

import uvicorn
from pydantic import ValidationError

from webapp.app import create_app
from webapp.database import StorageError
from webapp.security import LOOPBACK
from webapp.settings import Settings

PORTS = range(65536)


def main() -> None:
    """Read the options, prepare the data folder and serve until stopped."""
    try:
        settings = Settings()
    except ValidationError as error:
        first = error.errors()[0]
        sys.exit(f"The setting PANEL_FIT_{'_'.join(map(str, first['loc'])).upper()} cannot be used: {first['msg']}.")
    parser = argparse.ArgumentParser(prog="python -m webapp", description="Serve Seasonal Panel Fit.")
    parser.add_argument("--host", default=settings.host, help="address to listen on (default %(default)s)")
    parser.add_argument("--port", type=_port, default=settings.port, help="port to listen on (default %(default)s)")
    parser.add_argument("--data", type=Path, default=settings.data, help="folder of the database (default %(default)s)")
    options = parser.parse_args()
    settings = settings.model_copy(update={"host": options.host, "port": options.port, "data": options.data})
    if settings.host in LOOPBACK and not settings.hosts:
        settings = settings.model_copy(update={"hosts": ",".join(LOOPBACK)})
    try:
        app = create_app(settings)
    except OSError as error:
        sys.exit(f"The data folder {settings.data} cannot be used: {error.strerror or error}.")
    except StorageError as error:
        sys.exit(f"The database in {settings.data} cannot be used: {error.reason}.")
    uvicorn.run(app, host=settings.host, port=settings.port, log_level="info", server_header=False)


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) not in PORTS:
        raise argparse.ArgumentTypeError(f"“{text}” is no port; allowed is 0 to {PORTS[-1]}")
    return int(text)


if __name__ == "__main__":
    main()
