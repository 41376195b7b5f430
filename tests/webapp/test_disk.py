"""A disk that is full or cannot be written is told in words; nothing is lost and all can still be read."""

import contextlib
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from tests import servers


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 2 MB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(folder)]
    if not shutil.which("mount") or subprocess.run(mount, stderr=subprocess.DEVNULL, check=False).returncode:
        pytest.skip("a small disk can be mounted by the superuser alone; test_app.py fills a database's own limit")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def fill_up(filler: Path) -> None:
    """Write until there is no room."""
    with filler.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while True:
            file.write(b"x" * 4096)


def test_a_full_disk_is_told_on_the_page_and_all_can_still_be_read(small_disk: Path) -> None:
    with servers.served(small_disk) as server, httpx.Client(base_url=server.address, timeout=60) as client:
        kept = client.post("/pieces", data={"name": "Hall table"}).headers["location"]
        filler = small_disk / "filler"
        fill_up(filler)
        refused = client.post("/pieces", data={"name": "Lost"})
        assert refused.status_code == 503
        assert "What is kept here cannot be read or written now: the disk is full." in refused.text
        assert "Nothing was changed." in refused.text
        climate = {"name": "Lost", "year": "moisture", "moisture_dry": "8", "moisture_wet": "18"}
        assert "the disk is full" in client.post("/climate", data=climate).text
        for address in ("/", "/pieces", kept, "/climate", "/species", "/ready"):
            assert client.get(address).status_code == 200
        assert "Lost" not in client.get("/pieces").text
        # with room again it goes on without a new start
        filler.unlink()
        assert client.post("/pieces", data={"name": "Found"}).status_code == 303
        assert "Found" in client.get("/pieces").text
        assert "Traceback" not in server.log.read_text()


@pytest.fixture
def bound() -> list[str]:
    """A command that holds what it runs to the permissions of files, also where we may do anything."""
    if os.getuid() != 0:
        return []
    command = ["setpriv", "--bounding-set=-dac_override,-dac_read_search,-fowner"]
    if not shutil.which("setpriv") or subprocess.run([*command, "true"], check=False).returncode:
        pytest.skip("nothing here holds the superuser to the permissions of files")
    return command


def test_a_folder_that_cannot_be_written_can_still_be_read(tmp_path: Path, bound: list[str]) -> None:
    folder = tmp_path / "data"
    with servers.served(folder) as server:
        kept = httpx.post(f"{server.address}/pieces", data={"name": "Hall table"}).headers["location"]
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    for path in folder.iterdir():
        path.chmod(0o444)
    folder.chmod(0o555)
    try:
        with (
            servers.served(folder, under=bound) as server,
            httpx.Client(base_url=server.address, timeout=60) as client,
        ):
            for address in ("/", "/pieces", kept, "/climate", "/species", "/ready"):
                assert client.get(address).status_code == 200
            assert "Hall table" in client.get("/pieces").text
            refused = client.post("/pieces", data={"name": "Lost"})
            assert refused.status_code == 503
            assert "its file or folder cannot be written. Nothing was changed." in refused.text
            assert "Lost" not in client.get("/pieces").text
            assert "Traceback" not in server.log.read_text()
    finally:
        folder.chmod(0o755)
    assert {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()} == before


def test_a_new_database_in_a_folder_that_cannot_be_written_is_told(tmp_path: Path, bound: list[str]) -> None:
    folder = tmp_path / "data"
    folder.mkdir()
    folder.chmod(0o555)
    with pytest.raises(AssertionError, match=r"The database in .* cannot be used: its file cannot be opened\."):
        servers.Served(folder, under=bound)
    folder.chmod(0o755)
