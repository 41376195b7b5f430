"""The server's secret, which its cookies are signed with, and files and texts that are kept from others."""

import hashlib
import os
import secrets
import time
from pathlib import Path

FILE = "secret"
LEAST = 32
"""Characters of a secret that is given as a setting."""
_BYTES = 32
_LOOKS, _PAUSE = 50, 0.02
"""How often, and how far apart [s], a file is looked at that another process is just writing."""


def secret_of(folder: Path, given: str = "") -> bytes:
    """The secret that is given, else the one in the folder, which is made if there is none.

    Raises
    ------
    OSError
        The file cannot be read or made, or is damaged.
    """
    if given:
        return given.encode()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = folder / FILE
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return _read(path)
    made = secrets.token_hex(_BYTES).encode()
    with os.fdopen(handle, "wb") as file:
        file.write(made)
    return made


def _read(path: Path) -> bytes:
    for _ in range(_LOOKS):
        found = path.read_bytes()
        if len(found) >= LEAST:
            return found
        time.sleep(_PAUSE)
    raise OSError(f"its file “{FILE}” is damaged; delete it and everyone enters anew")


def digest(text: str) -> str:
    """The SHA-256 of a text that is random enough to need no salt, in hexadecimal."""
    return hashlib.sha256(text.encode(errors="replace")).hexdigest()
