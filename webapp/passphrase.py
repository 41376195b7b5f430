"""The passphrase that lets people in: its rules, its Argon2 hash, and where the hash is kept."""

import os
import unicodedata
from pathlib import Path
from tempfile import NamedTemporaryFile

import argon2

LEAST, MOST = 12, 128
"""Characters."""
LEAST_DIFFERENT = 5
"""Different characters, so that it is not one key held down."""
FILE = "passphrase"

_hasher = argon2.PasswordHasher()


class PassphraseError(ValueError):
    """A passphrase that is not taken, and why."""


def plain(text: str) -> str:
    """A passphrase as it is hashed: the same however a keyboard or a system composes its characters."""
    return unicodedata.normalize("NFKC", text)


def hashed(text: str) -> str:
    """The Argon2id hash of a new passphrase.

    Raises
    ------
    PassphraseError
        It is too short, too long or too plain.
    """
    text = plain(text)
    if not LEAST <= len(text) <= MOST:
        raise PassphraseError(f"The passphrase has {len(text)} characters; allowed is {LEAST} to {MOST}.")
    if len(set(text)) < LEAST_DIFFERENT:
        raise PassphraseError(f"The passphrase needs {LEAST_DIFFERENT} different characters or more.")
    return _hasher.hash(text)


def matches(hash: str, text: str) -> bool:
    """Whether a text is the passphrase that was hashed; it takes its time, as it should."""
    if len(text) > 4 * MOST or len(text := plain(text)) > MOST:
        return False
    try:
        return _hasher.verify(hash, text.encode(errors="replace"))
    except argon2.exceptions.VerificationError:
        return False


def is_hash(text: str) -> bool:
    """Whether a text is a hash that a passphrase can be held against.

    Example
    -------
    >>> is_hash("open sesame")
    False
    """
    try:
        argon2.extract_parameters(text)
    except argon2.exceptions.InvalidHashError:
        return False
    return True


class Kept:
    """The hash that is in force: the one that is given, else the one in the folder, read anew when its file changes.

    Parameters
    ----------
    folder : Path
        The data folder.
    given : str
        The hash from the settings; empty for none.
    """

    def __init__(self, folder: Path, given: str = "") -> None:
        self._path = folder / FILE
        self._given = given
        self._read: tuple[tuple[int, int, int], str] | None = None

    def hash(self) -> str:
        """The hash; empty where no passphrase is set.

        Raises
        ------
        OSError
            The file cannot be read, or is damaged.
        """
        if self._given:
            return self._given
        try:
            found = self._path.stat()
            mark = (found.st_mtime_ns, found.st_ino, found.st_size)
            read = self._read
            if read is None or read[0] != mark:
                read = self._read = mark, self._path.read_text(encoding="ascii", errors="replace").strip()
        except FileNotFoundError:
            return ""
        if not is_hash(read[1]):
            raise OSError(f"its file “{FILE}” is damaged; set the passphrase anew with python -m webapp passphrase")
        return read[1]

    def set(self, hash: str) -> None:
        """Keep a new hash in the folder, which only its owner can read.

        Raises
        ------
        OSError
            It cannot be written.
        """
        self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with NamedTemporaryFile("w", dir=self._path.parent, prefix=f"{FILE}.", delete=False) as file:
            try:
                file.write(f"{hash}\n")
                file.flush()
                os.fsync(file.fileno())
                Path(file.name).replace(self._path)
            except OSError:
                Path(file.name).unlink(missing_ok=True)
                raise
