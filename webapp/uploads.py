"""Files that were sent in to be looked at: on disk for a day, under a name that cannot be guessed, read in the back."""

import re
import secrets
import shutil
import time
from collections import OrderedDict
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import BinaryIO

from movement.hygrometer import Log
from movement.layout import Options
from movement.weather import Weather
from webapp import recorded
from webapp.documents import MissingError
from webapp.recorded import Kind

ADDRESS = "/climate/file"
"""Where a page takes a file, and under its prefix the API."""
LIFE = 86_400
"""How long a file stays [s]."""
MOST_FILES = 20
"""Files that may stay; the oldest go first."""
MOST_READ = 4
"""Files whose hours are remembered, each of up to some 50 MB."""
_TOKEN = re.compile(r"[A-Za-z0-9_-]{32}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that was sent in: its handle, what it is, and where it lies."""

    token: str
    kind: Kind
    path: Path

    @property
    def size(self) -> int:
        """Its length [bytes]."""
        return self.path.stat().st_size


class Uploads:
    """The files in a folder of their own that only this program may read.

    Parameters
    ----------
    folder : Path
        Made when the first file comes.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._readings = Readings()
        self.sweep()

    def close(self) -> None:
        """Begin no more readings."""
        self._readings.close()

    def sweep(self) -> None:
        """Delete the files that have been here for a day, and the oldest where there are too many."""
        files = sorted(self._folder.glob("*"), key=_age)
        for at, path in enumerate(files):
            if at >= MOST_FILES or _age(path) > LIFE:
                path.unlink(missing_ok=True)

    def keep(self, source: BinaryIO, name: str) -> Upload:
        """Take a file in.

        Parameters
        ----------
        source : binary file
            At any place.
        name : str
            What the sender calls it; its end tells what it is where its text does not.

        Raises
        ------
        OSError
            The folder or the disk cannot take it.
        """
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        source.seek(0)
        kind = recorded.kind_of(name, source.read(recorded.HEAD))
        source.seek(0)
        token = secrets.token_urlsafe(24)
        path = self._folder / f"{token}.{kind}"
        try:
            with path.open("xb") as target:
                path.chmod(0o600)
                shutil.copyfileobj(source, target, 1 << 20)
        except OSError:
            path.unlink(missing_ok=True)
            raise
        self.sweep()
        return Upload(token, kind, path)

    def find(self, token: str) -> Upload:
        """A file by its handle.

        Raises
        ------
        MissingError
            It is not here, or no longer.
        """
        kinds: tuple[Kind, Kind] = ("log", "epw")
        for kind in kinds:
            path = self._folder / f"{token}.{kind}"
            if _TOKEN.fullmatch(token) and path.is_file():
                return Upload(token, kind, path)
        raise MissingError(token)

    def discard(self, token: str) -> None:
        """Delete a file, if it is here."""
        try:
            self.find(token).path.unlink(missing_ok=True)
        except MissingError:
            return

    def reading(self, upload: Upload, options: Options) -> "Reading":
        """The reading of a file with these options: one that was begun before, or a new one."""
        return self._readings.of(upload, options)


@dataclass(slots=True)
class Reading:
    """A file that is being read or was read; ``share`` of it is behind, 0 to 1."""

    share: float = 0.0
    future: "Future[Log | Weather]" = field(default_factory=Future)

    def found(self, wait: float) -> Log | Weather | None:
        """What the file says; None where it is still being read after so many seconds.

        Raises
        ------
        LogError, WeatherError
            The file cannot be read.
        """
        try:
            return self.future.result(wait)
        except TimeoutError:
            return None

    def tell(self, share: float) -> None:
        """So much is read."""
        self.share = share


class Readings:
    """The last readings, two at a time in threads of their own."""

    def __init__(self) -> None:
        self._known: OrderedDict[tuple[str, Options], Reading] = OrderedDict()
        self._lock = Lock()
        self._threads = ThreadPoolExecutor(2, "reading")

    def close(self) -> None:
        """Begin no more."""
        self._threads.shutdown(wait=False, cancel_futures=True)

    def of(self, upload: Upload, options: Options) -> Reading:
        """The reading of a file with these options."""
        key = (upload.token, options)
        with self._lock:
            if key not in self._known:
                reading = Reading()
                reading.future = self._threads.submit(_read, upload, options, reading)
                self._known[key] = reading
                while len(self._known) > MOST_READ:
                    self._known.popitem(last=False)
            self._known.move_to_end(key)
            return self._known[key]


def _read(upload: Upload, options: Options, reading: Reading) -> Log | Weather:
    try:
        stream = upload.path.open("rb")
    except FileNotFoundError:
        raise MissingError(upload.token) from None
    with stream:
        return recorded.read(upload.kind, stream, options, reading.tell)


def _age(path: Path) -> float:
    """How long a file has been here [s]; without end where it just went."""
    try:
        return time.time() - path.stat().st_mtime
    except FileNotFoundError:
        return float("inf")
