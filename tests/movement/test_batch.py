"""A batch from files: bad input in words, going on after a stop, the same on a cluster."""

import subprocess
import sys
from pathlib import Path

import pytest

from movement import batch
from movement.batch import BatchError
from movement.parts.batch import BatchPart, BatchPlace

pq = pytest.importorskip("pyarrow.parquet")

PARTS = """part,species,hold,sight_width_mm,moisture_now_pct
A1,"Cherry, black",centred,300,8
A2,white oak,loose,250,9
Ä3,"Ash, white",one edge,400,7
"""
PLACES = "place,heating_c,moisture_dry_pct,moisture_wet_pct\nChicago,20,,\nStockholm,21,,\nclient,,6,11\n"


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    parts, places = tmp_path / "parts.csv", tmp_path / "places.csv"
    parts.write_text(PARTS, encoding="utf-8")
    places.write_text(PLACES, encoding="utf-8")
    return parts, places


def told(_done: int, _count: int) -> None:
    pass


def test_it_works(files: tuple[Path, Path], tmp_path: Path) -> None:
    out = tmp_path / "out.parquet"
    assert batch.run(*files, out, told) == 9
    found = pq.read_table(out).to_pylist()
    assert [(row["part"], row["place"]) for row in found[:4]] == [
        ("A1", "Chicago"),
        ("A1", "Stockholm"),
        ("A1", "client"),
        ("A2", "Chicago"),
    ]
    # the worked example of README.md, without rounding of the width
    assert found[2]["least_groove_depth_mm"] == pytest.approx(6.93, abs=0.005)
    assert found[2]["groove_depth_mm"] == 7.0
    assert found[2]["panel_width_mm"] == pytest.approx(310.11, abs=0.005)
    assert not out.with_name("out.parquet.parts").exists()


def test_it_goes_on_where_it_was_stopped(files: tuple[Path, Path], tmp_path: Path) -> None:
    class StopError(Exception):
        pass

    def stop(done: int, _count: int) -> None:
        if done == 2:
            raise StopError

    out, whole = tmp_path / "out.parquet", tmp_path / "whole.parquet"
    with pytest.raises(StopError):
        batch.run(*files, out, stop, rows=3)
    assert not out.exists()
    seen: list[int] = []
    batch.run(*files, out, lambda done, _: seen.append(done), rows=3)
    assert seen == [2, 3]
    batch.run(*files, whole, told, rows=3)
    assert pq.read_table(out).equals(pq.read_table(whole))


def test_it_refuses_chunks_of_other_input(files: tuple[Path, Path], tmp_path: Path) -> None:
    out = tmp_path / "out.parquet"
    (tmp_path / "out.parquet.parts").mkdir()
    (tmp_path / "out.parquet.parts" / "input").write_text("other")
    with pytest.raises(BatchError, match="other input"):
        batch.run(*files, out, told)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("part,species,sight_width_mm,moisture_now_pct\nA,oak of nowhere,300,8\n", "line 2, species: no wood"),
        ("part,species,sight_width_mm,moisture_now_pct\nA,white ash,3,8\n", "line 2, sight_width_mm"),
        ("part,species,sight_width_mm,moisture_now_pct\nA,white ash,nan,8\n", "line 2, sight_width_mm"),
        ("part,species,sight_width_mm\nA,white ash,300\n", "line 2, moisture_now_pct"),
        ("part,species,sight_width_mm,moisture_now_pct,colour\nA,white ash,300,8,red\n", "line 2, colour"),
        ("part,species,sight_width_mm,moisture_now_pct\nA,white ash,300,8,9\n", "line 2: more cells"),
        ("part,species,sight_width_mm,moisture_now_pct\n", "no rows"),
    ],
)
def test_bad_rows_are_named(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "parts.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BatchError, match=words):
        batch.read(path, BatchPart)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(BatchError, match=r"nowhere\.csv cannot be read"):
        batch.read(tmp_path / "nowhere.csv", BatchPlace)


def test_the_command_says_what_is_wrong(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "movement.batch", "no.csv", "no.csv", str(tmp_path / "out.parquet")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "no.csv cannot be read" in done.stderr
    assert "Traceback" not in done.stderr


def test_two_workers_give_the_same(files: tuple[Path, Path], tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    here, there = tmp_path / "here.parquet", tmp_path / "there.parquet"
    batch.run(*files, here, told, rows=3)
    command = [sys.executable, "-m", "movement.batch", *map(str, files), str(there), "--rows", "3", "--dask", "local:2"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2])
    assert done.returncode == 0, done.stderr
    assert pq.read_table(there).equals(pq.read_table(here))
