"""The compiled templates, kept for the next start where Python keeps the app's compiled modules."""

import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, FileSystemBytecodeCache


class Compiled(FileSystemBytecodeCache):
    """A file for each template, made anew when its text, Python or Jinja is another one.

    As with Python's own files, whoever can write there can have the app run anything; and there are none where the
    folder cannot be written, or where Python is told to write none.
    """

    def __init__(self) -> None:
        super().__init__(str(Path(cache_from_source(__file__)).parent), f"%s.jinja-{jinja2.__version__}")

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take a template that is kept; whatever is wrong with its file, it is compiled anew."""
        with suppress(Exception):
            super().load_bytecode(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template, if that can be."""
        if not sys.dont_write_bytecode:
            with suppress(OSError):
                super().dump_bytecode(bucket)
