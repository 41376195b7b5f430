"""A recorded year as a piece file keeps it."""

import json

import numpy as np
import pytest
from pydantic import TypeAdapter, ValidationError

from movement import piece, records
from movement.climate import Climate
from movement.parts.climates import AnyClimate, PlaceClimate, RecordClimate
from movement.records import Record

YEAR = np.arange(12.0)
RECORD = Record(
    Climate(15 + YEAR / 3, 40 + YEAR, 7 + YEAR / 7, 6.987654, 9.123456, ("From a test.",), ("Air: a test",)),
    (True,) * 9 + (False,) * 3,
    np.linspace(7, 9, 365),
)
ANY: TypeAdapter[AnyClimate] = TypeAdapter(AnyClimate)


def test_a_record_comes_back_from_json_as_it_went():
    kept = RecordClimate.of(RECORD, ("All rows are used.",))
    back = ANY.validate_json(kept.model_dump_json())
    assert isinstance(back, RecordClimate)
    assert back == kept
    assert back.summary == ["All rows are used."]


def test_its_year_is_the_records_rounded_to_a_hundredth():
    year = RecordClimate.of(RECORD).year()
    for name in ("temperature", "humidity", "moisture"):
        assert getattr(year, name) == pytest.approx(getattr(RECORD.climate, name), abs=0.0051)
    assert (year.dry, year.wet) == (6.99, 9.12)
    assert (year.notes, year.sources) == (RECORD.climate.notes, RECORD.climate.sources)


def test_it_says_which_months_are_measured_and_keeps_the_days():
    kept = RecordClimate.of(RECORD)
    assert [month.measured for month in kept.months] == list(RECORD.measured)
    assert kept.daily_moisture_pct == pytest.approx(RECORD.daily, abs=0.0051)


def test_it_fits_in_a_piece_file_without_the_log():
    made = piece.Piece(name="Cabinet", climate=RecordClimate.of(RECORD))
    assert piece.load(piece.dump(made)).climate == made.climate


def test_a_record_of_steady_air_is_kept():
    hours = records.hourly(np.arange(8760) * 3600, np.full(8760, 20.0), np.full(8760, 45.0))
    year = RecordClimate.of(records.record(hours)).year()
    assert year.dry == year.wet


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"dry_pct": 12.0}, "wettest moisture content"),
        ({"wet_pct": 41.0}, "wet_pct"),
        ({"months": []}, "months"),
        ({"daily_moisture_pct": [8.0]}, "daily_moisture_pct"),
        ({"rows": 12}, "rows"),
    ],
)
def test_what_cannot_be_a_year_is_refused_at_its_field(change, field):
    document = json.loads(RecordClimate.of(RECORD).model_dump_json()) | change
    with pytest.raises(ValidationError, match=field):
        ANY.validate_python(document)


def test_other_climates_are_still_told_apart_by_kind():
    assert isinstance(ANY.validate_python({"kind": "place", "place": "Chicago"}), PlaceClimate)
