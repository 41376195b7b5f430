"""``python -m webapp``: start the server."""

import argparse
from pathlib import Path

import uvicorn

from webapp.app import create_app
from webapp.settings import Settings


def main() -> None:
    """Read the options, prepare the data folder and serve until stopped."""
    settings = Settings()
    parser = argparse.ArgumentParser(prog="python -m webapp", description="Serve Seasonal Panel Fit.")
    parser.add_argument("--host", default=settings.host, help="address to listen on (default %(default)s)")
    parser.add_argument("--port", type=int, default=settings.port, help="port to listen on (default %(default)s)")
    parser.add_argument("--data", type=Path, default=settings.data, help="folder of the database (default %(default)s)")
    options = parser.parse_args()
    settings = settings.model_copy(update={"host": options.host, "port": options.port, "data": options.data})
    uvicorn.run(create_app(settings), host=settings.host, port=settings.port, log_level="info", server_header=False)


if __name__ == "__main__":
    main()
