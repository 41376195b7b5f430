"""What a row of the tables publishes, and what is derived from it."""

import pytest

from movement import published, tables
from movement.published import Published


def handbook(name: str) -> tables.HandbookWood:
    return next(row for row in tables.read("species_handbook").records if row.name == name)


def test_a_coefficient_and_a_shrinkage_are_two_values() -> None:
    coefficient, shrinkage = published.in_handbook(handbook("Cherry, black"))
    assert coefficient == Published(0.00126, 0.00248, "coefficient", "FPL-GTR-190 Table 13-5", "seen")
    assert (shrinkage.basis, shrinkage.source) == ("shrinkage", "FPL-GTR-190 Table 4-3")
    assert shrinkage.tangential == pytest.approx(1 / (3000 / 7.1 - 20), rel=1e-12)
    assert shrinkage.citation == "Shrinkage: FPL-GTR-190 Table 4-3 (read in the publication)"


def test_a_value_derived_from_another_is_not_published() -> None:
    assert [entry.basis for entry in published.in_handbook(handbook("Oak, white: white"))] == ["shrinkage"]
    assert [entry.basis for entry in published.in_handbook(handbook("Apple"))] == ["coefficient"]


def test_a_figure_from_memory_says_so() -> None:
    assert published.in_handbook(handbook("Balsa"))[1].citation == "Shrinkage: no publication read (quoted from memory)"


def test_the_start_of_shrinkage_is_22_where_the_table_marks_it() -> None:
    low = {row.name for row in tables.read("species_handbook").records if published.start_of_shrinkage(row) == 22}
    assert low == {
        "Apitong (keruing)",
        "Cedar, northern white",
        "Cedar, western redcedar",
        "Redwood, old-growth",
        "Redwood, young-growth",
    }
    shrinkage = published.in_handbook(handbook("Cedar, western redcedar"))[1]
    assert shrinkage.tangential == pytest.approx(1 / (2200 / 5.0 - 12), rel=1e-12)


def test_a_missing_tangential_value_is_derived_from_the_volume_and_marked() -> None:
    printed, derived = published.in_handbook(handbook("Birch, gray"))
    assert printed.tangential is None
    assert printed.values == "0.00180 radial"
    assert (derived.radial, derived.status) == (None, "derived")
    shrinkage = 100 * (1 - (1 - 0.147) / (1 - 0.052))
    assert derived.tangential == pytest.approx(1 / (3000 / shrinkage - 20), rel=1e-12)


def test_deriving_from_the_volume_is_on_the_safe_side_for_the_other_birches() -> None:
    """Wood Handbook, FPL-GTR-190, Table 4-3: printed tangential shrinkage, to 0.1 %."""
    birches = [row for row in tables.read("species_handbook").records if row.botanical_name.startswith("Betula")]
    complete = [row for row in birches if row.shrinkage_tangential_pct is not None]
    assert len(complete) == 5
    for row in complete:
        assert row.shrinkage_radial_pct is not None
        assert row.shrinkage_tangential_pct is not None
        assert row.shrinkage_volumetric_pct is not None
        left = (1 - row.shrinkage_volumetric_pct / 100) / (1 - row.shrinkage_radial_pct / 100)
        assert 100 * (1 - left) > row.shrinkage_tangential_pct - 0.05, row.name


def test_the_first_or_the_largest_value_is_chosen_for_each_direction() -> None:
    entries = (
        Published(0.001, None, "coefficient", "", "seen"),
        Published(0.002, 0.003, "shrinkage", "", "seen"),
    )
    assert published.radial(entries, largest=False) == 0.001
    assert published.radial(entries, largest=True) == 0.002
    assert published.tangential(entries, largest=False) == 0.003
    assert published.tangential(entries[:1], largest=True) is None
