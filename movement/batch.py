"""``python -m movement.batch parts.csv places.csv out.parquet``: a catalogue over many places, into one Parquet file.

The work is cut into chunks; each is a file of its own until all are done, so a batch that was stopped goes on where it
was. ``--dask`` hands the same chunks to a Dask cluster.
"""

import argparse
import csv
import hashlib
import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from pydantic import BaseModel, ValidationError

from movement import catalogue
from movement.arrays import floats
from movement.catalogue import Block, Panels, Years
from movement.parts.batch import BatchPart, BatchPlace

if TYPE_CHECKING:
    import pyarrow as pa

CHUNK = 1_000_000
"""About how many rows a chunk has."""
LENGTHS = (
    "moisture_dry_pct",
    "moisture_wet_pct",
    "least_groove_depth_mm",
    "groove_depth_mm",
    "panel_width_mm",
    "gap_now_mm",
    "gap_dry_mm",
    "gap_wet_mm",
    "engagement_dry_mm",
    "bias_mm",
)
"""Columns of the result after ``part`` and ``place``, in the order of `catalogue.Block`."""

Row = TypeVar("Row", bound=BaseModel)
Progress = Callable[[int, int], None]


class BatchError(ValueError):
    """A batch that cannot run; the message says why, with the file and line where there is one."""


def read(path: Path, model: type[Row]) -> list[Row]:
    """The rows of a CSV file; a blank cell takes the model's default.

    Raises
    ------
    BatchError
        No such file, no rows, or a line that the model refuses: names the line and the column.
    """
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = csv.DictReader(file)
            found = [_row(path, lines.line_num, line, model) for line in lines]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BatchError(f"{path} cannot be read: {error}") from None
    if not found:
        raise BatchError(f"{path} has no rows below its heading.")
    return found


def _row(path: Path, number: int, line: dict[str | Any, str | Any], model: type[Row]) -> Row:
    if None in line:
        raise BatchError(f"{path.name} line {number}: more cells than the heading has columns.")
    try:
        return model.model_validate_strings({key: cell for key, cell in line.items() if cell not in (None, "")})
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        column = ".".join(str(step) for step in first["loc"])
        words = first["msg"].removeprefix("Value error, ")
        raise BatchError(f"{path.name} line {number}, {column or 'the line'}: {words}") from None


@dataclass(frozen=True, slots=True)
class Job:
    """What a batch works on: the rows as read, and the arrays of its places."""

    parts: Sequence[BatchPart]
    places: Sequence[BatchPlace]
    years: Years

    def chunks(self, rows: int = CHUNK) -> list[range]:
        """The parts of each chunk, by index."""
        together = max(1, rows // len(self.places))
        return [range(first, min(first + together, len(self.parts))) for first in range(0, len(self.parts), together)]


def job(parts: Sequence[BatchPart], places: Sequence[BatchPlace]) -> Job:
    """A batch over these rows."""
    years = [place.year() for place in places]
    return Job(parts, places, Years(floats([year.dry for year in years]), floats([year.wet for year in years])))


def panels(parts: Sequence[BatchPart]) -> Iterator[tuple[Panels, list[int]]]:
    """The parts that are held alike, as arrays, with their indices."""
    woods = [part.wood() for part in parts]
    for hold, keep, indices in catalogue.alike([part.hold for part in parts], [part.clearances() for part in parts]):
        yield (
            Panels(
                hold,
                keep,
                floats([parts[index].sight_width_mm for index in indices]),
                floats([parts[index].moisture_now_pct for index in indices]),
                floats([woods[index].across for index in indices]),
                floats([woods[index].start_of_shrinkage for index in indices]),
                floats([parts[index].cutter_step_mm for index in indices]),
            ),
            indices,
        )


def blocks(parts: Sequence[BatchPart], years: Years) -> Iterator[Block]:
    """Sized rows of these parts at every place; ``panel`` is the index among the parts."""
    for alike, indices in panels(parts):
        order = np.array(indices)
        for block in catalogue.blocks(alike, years):
            yield block._replace(panel=order[block.panel])


def table(parts: Sequence[BatchPart], places: Sequence[BatchPlace], years: Years) -> "pa.Table":
    """The rows of these parts as an Arrow table: ``part``, ``place`` and the columns of `LENGTHS`."""
    import pyarrow as pa

    part_names, place_names = pa.array([part.part for part in parts]), pa.array([place.place for place in places])
    tables = []
    for block in blocks(parts, years):
        columns = {
            "part": pa.DictionaryArray.from_arrays(pa.array(block.panel.astype(np.int32)), part_names).cast(
                pa.string()
            ),
            "place": pa.DictionaryArray.from_arrays(pa.array(block.place.astype(np.int32)), place_names).cast(
                pa.string()
            ),
        }
        tables.append(pa.table(columns | dict(zip(LENGTHS, map(pa.array, block[2:]), strict=True))))
    return pa.concat_tables(tables)


def run(parts_file: Path, places_file: Path, out: Path, progress: Progress, dask: str = "", rows: int = CHUNK) -> int:
    """Work a batch through, going on where an earlier run of the same input stopped.

    Parameters
    ----------
    parts_file, places_file : Path
        The panels and the places, one per row.
    out : Path
        The file to write; its chunks wait beside it until all are done.
    progress : callable
        Told (chunks done, chunks in all) after each.
    dask : str
        Address of a Dask scheduler, or ``local:N`` for N workers on this machine; empty: in this process.
    rows : int
        About how many rows a chunk has.

    Returns
    -------
    int
        Rows written.

    Raises
    ------
    BatchError
        Input that cannot be read, chunks of other input in the way, or a missing optional package.
    """
    try:
        import pyarrow.parquet as pq
    except ImportError:
        raise BatchError("A batch needs the package pyarrow: pip install 'seasonal-panel-fit[batch]'.") from None
    work = job(read(parts_file, BatchPart), read(places_file, BatchPlace))
    chunks = work.chunks(rows)
    folder = out.with_name(out.name + ".parts")
    _claim(folder, _fingerprint(parts_file, places_file, rows))
    missing = [number for number in range(len(chunks)) if not _chunk_file(folder, number).exists()]
    done = len(chunks) - len(missing)
    progress(done, len(chunks))
    for number, found in _worked(work, chunks, missing, dask):
        unfinished = folder / f"{number:06}.unfinished"
        pq.write_table(found, unfinished)
        os.replace(unfinished, _chunk_file(folder, number))
        done += 1
        progress(done, len(chunks))
    return _join(folder, len(chunks), out)


def _worked(work: Job, chunks: Sequence[range], missing: Iterable[int], dask: str) -> Iterator[tuple[int, "pa.Table"]]:
    if not dask:
        for number in missing:
            yield number, table([work.parts[index] for index in chunks[number]], work.places, work.years)
        return
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        raise BatchError("--dask needs the package dask: pip install 'seasonal-panel-fit[cluster]'.") from None
    local = dask.removeprefix("local:") if dask.startswith("local:") else ""
    cluster = (
        distributed.LocalCluster(n_workers=int(local), threads_per_worker=1, dashboard_address=None) if local else None
    )
    with distributed.Client(cluster or dask) as client:
        places, years = client.scatter([work.places, work.years], broadcast=True)
        numbers = {}
        for number in missing:
            parts = [work.parts[index] for index in chunks[number]]
            numbers[client.submit(table, parts, places, years, pure=False)] = number
        for future in distributed.as_completed(list(numbers)):
            yield numbers[future], future.result()
            future.release()
    if cluster is not None:
        cluster.close()


def _fingerprint(parts_file: Path, places_file: Path, rows: int) -> str:
    digest = hashlib.sha256(f"1 {rows}\n".encode())
    for path in (parts_file, places_file):
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def _claim(folder: Path, fingerprint: str) -> None:
    """Make the chunks' folder, or see that it holds chunks of the same input."""
    folder.mkdir(parents=True, exist_ok=True)
    mark = folder / "input"
    if mark.exists() and mark.read_text() != fingerprint:
        raise BatchError(
            f"{folder} holds the chunks of a batch with other input; finish that one or delete the folder."
        )
    mark.write_text(fingerprint)


def _chunk_file(folder: Path, number: int) -> Path:
    return folder / f"{number:06}.parquet"


def _join(folder: Path, count: int, out: Path) -> int:
    import pyarrow.parquet as pq

    unfinished = folder / "all.unfinished"
    total = 0
    with pq.ParquetWriter(unfinished, pq.read_schema(_chunk_file(folder, 0))) as writer:
        for number in range(count):
            for batch in pq.ParquetFile(_chunk_file(folder, number)).iter_batches():
                writer.write_batch(batch)
                total += batch.num_rows
    os.replace(unfinished, out)
    shutil.rmtree(folder)
    return total


def main() -> int:
    """Read the options and run; the exit status is 2 where the batch cannot run."""
    parser = argparse.ArgumentParser(prog="python -m movement.batch", description=__doc__)
    parser.add_argument("parts", type=Path, help="CSV of panels: part, species, sight_width_mm, moisture_now_pct, …")
    parser.add_argument("places", type=Path, help="CSV of places: place and a room, or moisture_dry_pct and _wet_pct")
    parser.add_argument("out", type=Path, help="Parquet file to write")
    parser.add_argument("--dask", default="", help="a Dask scheduler's address, or local:N for N workers here")
    parser.add_argument("--rows", type=int, default=CHUNK, help="about how many rows a chunk has (default %(default)s)")
    options = parser.parse_args()

    def told(done: int, count: int) -> None:
        print(f"{done} of {count} chunks", file=sys.stderr, flush=True)

    try:
        rows = run(options.parts, options.places, options.out, told, options.dask, max(1, options.rows))
    except BatchError as error:
        print(error, file=sys.stderr)
        return 2
    print(f"{rows} rows in {options.out}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
