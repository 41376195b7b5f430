"""The catalogue of woods: its rules, look-up, search, and a maker's own wood."""

import pytest

from movement import species, tables
from movement.errors import RangeError
from movement.species import UnknownSpeciesError


def test_every_row_of_both_tables_is_in_the_catalogue() -> None:
    rows = {row.name for row in tables.read("species_handbook").records}
    rows |= {row.name for row in tables.read("species_europe").records}
    assert {wood.name for wood in species.catalogue()} == rows
    assert len(species.catalogue()) == 189 + 25


def test_the_catalogue_is_sorted_and_built_once() -> None:
    assert species.catalogue() is species.catalogue()
    names = [wood.name.casefold() for wood in species.catalogue()]
    assert names == sorted(names)


def test_groups_are_those_of_the_vocabulary() -> None:
    assert {wood.group for wood in species.catalogue()} == {"hardwood", "softwood", "imported", "European trade"}


@pytest.mark.parametrize("wood", species.catalogue(), ids=lambda wood: wood.name)
def test_every_wood_can_be_used_and_says_where_its_numbers_come_from(wood: species.Species) -> None:
    assert 0.0005 < wood.coefficient_radial <= wood.coefficient_tangential < 0.006
    assert wood.start_of_shrinkage in (22.0, 30.0)
    assert wood.published
    assert all(source.endswith(")") for source in wood.sources)
    assert all(entry.status for entry in wood.published)
    assert species.find(wood.name) is wood


def test_the_published_coefficient_is_used_where_there_is_one() -> None:
    cherry = species.find("Cherry, black")
    assert (cherry.coefficient_radial, cherry.coefficient_tangential) == (0.00126, 0.00248)
    assert cherry.sources == (
        "Movement coefficient: FPL-GTR-190 Table 13-5 (read in the publication)",
        "Shrinkage: FPL-GTR-190 Table 4-3 (read in the publication)",
    )
    assert cherry.notes == ()


def test_the_coefficient_is_derived_from_shrinkage_where_there_is_none() -> None:
    oak = species.find("Oak, red: northern red")
    assert oak.coefficient_tangential == pytest.approx(1 / (3000 / 8.6 - 20), rel=1e-12)
    assert oak.sources == ("Shrinkage: FPL-GTR-190 Table 4-3 (read in a quotation of it)",)


def test_the_larger_of_each_direction_is_used_where_values_disagree() -> None:
    avodire = species.find("Avodire")  # coefficient 0.00126 and 0.00226, shrinkage 4.6 and 6.7 %
    assert avodire.coefficient_radial == pytest.approx(1 / (3000 / 4.6 - 20), rel=1e-12)
    assert avodire.coefficient_tangential == pytest.approx(1 / (3000 / 6.7 - 20), rel=1e-12)
    teak = species.find("Teak")  # coefficient 0.00101 and 0.00186, shrinkage 2.5 and 5.8 %
    assert teak.coefficient_radial == 0.00101
    assert teak.coefficient_tangential == pytest.approx(1 / (3000 / 5.8 - 20), rel=1e-12)
    assert [entry.basis for entry in teak.published] == ["coefficient", "shrinkage"]
    assert "disagree" in teak.notes[0]
    assert "0.00186 tangential" in teak.notes[0]
    assert "0.00201 tangential" in teak.notes[0]


def test_every_wood_marked_as_disagreeing_says_so_and_keeps_both_values() -> None:
    marked = [row.name for row in tables.read("species_handbook").records if row.cross_check == "disagree"]
    assert len(marked) == 23
    for name in marked:
        wood = species.find(name)
        assert len(wood.published) == 2
        assert "published values disagree" in wood.notes[0]
        assert wood.coefficient_tangential == max(entry.tangential or 0 for entry in wood.published)
        assert wood.coefficient_radial == max(entry.radial or 0 for entry in wood.published)


def test_the_larger_of_the_two_sets_of_the_european_table_is_used() -> None:
    oak = species.find("Oak, European")  # set A 0.16 and 0.36, set B 0.20 and 0.35
    assert (oak.coefficient_radial, oak.coefficient_tangential) == pytest.approx((0.0020, 0.0036), rel=1e-12)
    assert [entry.source[-5:] for entry in oak.published] == ["set A", "set B"]
    assert "0.00160 radial and 0.00360 tangential; 0.00200 radial and 0.00350 tangential" in oak.notes[0]
    larch = species.find("Larch, European")
    assert (larch.coefficient_radial, larch.coefficient_tangential) == pytest.approx((0.0014, 0.0030), rel=1e-12)
    assert larch.notes == ()


def test_a_missing_direction_is_filled_on_the_safe_side_and_noted() -> None:
    wenge = species.find("Wenge")
    assert wenge.coefficient_radial == wenge.coefficient_tangential == 0.00201
    assert any("No radial value" in note for note in wenge.notes)
    birch = species.find("Birch, gray")
    assert birch.coefficient_radial == pytest.approx(1 / (3000 / 5.2 - 20), rel=1e-12)
    assert any("No tangential value" in note for note in birch.notes)
    assert any("(worked out from other published values)" in source for source in birch.sources)
    told = [wood.name for wood in species.catalogue() if any("value is published here" in note for note in wood.notes)]
    assert told == ["Birch, gray", "Wenge"]


@pytest.mark.parametrize("text", ["Oak, white", "white oak", "OAK white"])
def test_a_search_puts_the_wood_of_that_name_first_whatever_the_order_of_its_words(text: str) -> None:
    assert species.search(text)[0].name == "Oak, white: white"


@pytest.mark.parametrize(
    ("asked", "among"),
    [
        ("walnut", ("Walnut, black", "Walnut, European")),
        ("maple", ("Maple, black", "Maple, red", "Maple, silver", "Maple, sugar")),
        ("poplar", ("Poplar (European trade table)", "Yellow-poplar")),
        ("white pine", ("Pine, eastern white", "Pine, western white")),
        ("Oak", ("Oak, European", "Oak, red: northern red", "Oak, white: white")),
        ("doug fir", ("Douglas-fir, coast", "Douglas-fir, interior north", "Douglas-fir, interior west")),
    ],
)
def test_a_kind_of_several_woods_asks_which_and_lists_them_all(asked: str, among: tuple[str, ...]) -> None:
    with pytest.raises(UnknownSpeciesError, match=f"“{asked}” is a name of .*; choose one") as error:
        species.find(asked)
    assert set(among) <= set(error.value.suggestions)
    assert all(f"“{name}”" in str(error.value) for name in error.value.suggestions)


@pytest.mark.parametrize("asked", ["rock", "black", "European", "winged"])
def test_a_word_that_is_no_kind_of_wood_is_not_taken_for_one(asked: str) -> None:
    with pytest.raises(UnknownSpeciesError, match="did you mean"):
        species.find(asked)


def test_a_wood_without_a_published_coefficient_says_that_its_own_comes_from_its_shrinkage() -> None:
    for wood in species.catalogue():
        published = any(entry.basis in ("coefficient", "differential swelling") for entry in wood.published)
        assert any("worked out from its shrinkage" in note for note in wood.notes) is not published, wood.name


@pytest.mark.parametrize(
    "name",
    ["Cedar, western redcedar", "Teak", "Teak (European trade table)", "Iroko", "Iroko (European trade table)"],
)
def test_woods_rich_in_extractives_say_that_their_swing_is_overstated(name: str) -> None:
    assert any("swing through the year is overstated" in note for note in species.find(name).notes)


def test_western_redcedar_warns_of_its_dust() -> None:
    notes = species.find("Cedar, western redcedar").notes
    assert any("sensitiser" in note and "0.5 mg/m³" in note and "ACGIH" in note for note in notes)


def test_oak_black_as_printed_is_said_to_be_california_black_oak() -> None:
    wood = species.find('Oak, red: "Oak, black" as printed in Table 13-5')
    assert any("California black oak" in note for note in wood.notes)
    assert any("Compare Oak, red: black (another wood of the same name): 0.00151 radial" in note for note in wood.notes)
    assert species.find("black oak").name == "Oak, red: black"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Teak", "Teak (European trade table)"),
        ("Iroko", "Iroko (European trade table)"),
        ("Wenge", "Wenge (European trade table)"),
        ("Douglas-fir, coast", "Douglas-fir (European trade table)"),
        ("Oak, red: commercial (group)", "Oak, red: northern red"),
        ("Oak, white: commercial (group)", "Oak, white: white"),
    ],
)
def test_woods_to_compare_name_each_other_with_both_values(one: str, other: str) -> None:
    for name, partner in ((one, other), (other, one)):
        wood, twin = species.find(name), species.find(partner)
        note = next(note for note in wood.notes if note.startswith(f"Compare {partner} ("))
        assert f"{twin.coefficient_tangential:.5f} tangential there" in note
        assert f"{wood.coefficient_tangential:.5f} tangential here" in note


def test_a_wood_in_both_tables_is_paired() -> None:
    handbook = {wood.name.partition(" (")[0] for wood in species.catalogue() if wood.group != "European trade"}
    for wood in species.catalogue():
        base = wood.name.removesuffix(" (European trade table)")
        if wood.group == "European trade" and base in handbook:
            assert any(note.startswith(f"Compare {base}") for note in wood.notes), wood.name


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("cherry, black", "Cherry, black"),
        ("  CHERRY  BLACK", "Cherry, black"),
        ("black cherry", "Cherry, black"),
        ("American cherry", "Cherry, black"),
        ("Prunus serotina", "Cherry, black"),
        ("red oak", "Oak, red: commercial (group)"),
        ("northern red oak", "Oak, red: northern red"),
        ("White Oak", "Oak, white: white"),
        ("western red cedar", "Cedar, western redcedar"),
        ("yellow poplar", "Yellow-poplar"),
        ("Oak, white", "Oak, white: white"),
        ("oak WHITE", "Oak, white: white"),
        ("Oak, red", "Oak, red: commercial (group)"),
        ("european ash", "Ash, European"),
        ("cherry", "Cherry, black"),
        ("basswood", "Basswood, American"),
        ("Walnut, American", "Walnut, black"),
        ("red elm", "Elm, slippery"),
        ("Teak", "Teak"),
        ("teak (european trade table)", "Teak (European trade table)"),
        ("Larche", "Larch, European"),
        ("Lärche", "Larch, European"),
        ("Quercus petraea", "Oak, European"),
        ("jatoba", "Courbaril (jatoba)"),
    ],
)
def test_a_wood_is_found_by_any_of_its_names(asked: str, name: str) -> None:
    assert species.find(asked).name == name


@pytest.mark.parametrize(
    ("asked", "suggested"),
    [
        ("chery blak", ("Cherry, black",)),
        ("mapel, sugar", ("Maple, sugar",)),
        ("sugar", ("Maple, sugar", "Pine, sugar")),
        ("beech wood", ("Beech, American", "Beech, European")),
    ],
)
def test_an_unknown_name_brings_suggestions(asked: str, suggested: tuple[str, ...]) -> None:
    with pytest.raises(UnknownSpeciesError, match=f"no wood in the tables is called “{asked}”; did you mean") as error:
        species.find(asked)
    assert error.value.name == asked
    assert set(suggested) <= set(error.value.suggestions)
    assert len(error.value.suggestions) <= 5
    assert all(species.find(name).name == name for name in error.value.suggestions)


def test_a_name_like_no_other_brings_advice_instead() -> None:
    with pytest.raises(UnknownSpeciesError, match="search the list for a part of its name") as error:
        species.find("zzzz")
    assert error.value.suggestions == ()


@pytest.mark.parametrize("asked", ["", "   ", " , "])
def test_a_blank_name_is_asked_for(asked: str) -> None:
    with pytest.raises(UnknownSpeciesError, match="name a wood"):
        species.find(asked)


@pytest.mark.parametrize(
    ("asked", "several"),
    [
        ("Tectona grandis", ("Teak", "Teak (European trade table)")),
        ("hard maple", ("Maple, black", "Maple, sugar")),
    ],
)
def test_a_name_of_several_woods_is_not_guessed(asked: str, several: tuple[str, ...]) -> None:
    with pytest.raises(UnknownSpeciesError, match=f"“{asked}” is a name of “{several[0]}” and ") as error:
        species.find(asked)
    assert error.value.suggestions == several


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("cherry", "Cherry, black"),
        ("RED OAK", "Oak, red: commercial (group)"),
        ("oak red north", "Oak, red: northern red"),
        ("serotina", "Cherry, black"),
        ("lärch", "Larch, European"),
        ("larch", "Larch, European"),
        ("tulip", "Yellow-poplar"),
        ("eiche", "Oak, European"),
    ],
)
def test_search_puts_the_best_match_first(text: str, first: str) -> None:
    assert species.search(text)[0].name == first


def test_search_wants_every_word() -> None:
    assert species.search("cherry oak") == ()
    found = {wood.name for wood in species.search("maple red")}
    assert "Maple, red" in found
    assert "Maple, silver" not in found


def test_search_ranks_words_before_parts_of_words() -> None:
    found = [wood.name for wood in species.search("ash")]
    assert all(name.startswith("Ash, ") for name in found[:7])
    assert "Pine, slash" in found[7:]


def test_a_blank_search_finds_every_wood() -> None:
    assert species.search("") == species.catalogue()


def test_search_stops_at_its_limit() -> None:
    assert species.search("oak", limit=3) == species.search("oak")[:3]
    with pytest.raises(RangeError, match="number of woods is 0; allowed is at least 1"):
        species.search("oak", limit=0)


def test_trade_names_are_found() -> None:
    for row in tables.read("trade_names").records:
        assert row.name in [wood.name for wood in species.search(row.other_name)], row


def test_an_own_wood_from_coefficients() -> None:
    wood = species.own("  Pear,  from the  hedge ", coefficient_radial=0.0012, coefficient_tangential=0.003)
    assert (wood.name, wood.group) == ("Pear, from the hedge", "own")
    assert (wood.coefficient_radial, wood.coefficient_tangential) == (0.0012, 0.003)
    assert wood.start_of_shrinkage == 30
    assert wood.sources == ("Movement coefficient: own entry (not checked against a publication)",)
    assert wood.notes == ()


def test_an_own_wood_from_shrinkages() -> None:
    wood = species.own(
        "Redwood, local", shrinkage_radial=2.6, shrinkage_tangential=4.4, start_of_shrinkage=22, source="test pieces"
    )
    assert wood.coefficient_radial == pytest.approx(1 / (2200 / 2.6 - 12), rel=1e-12)
    assert wood.coefficient_tangential == pytest.approx(1 / (2200 / 4.4 - 12), rel=1e-12)
    assert wood.start_of_shrinkage == 22
    assert wood.sources[0].startswith("Shrinkage: test pieces (")


def test_an_own_wood_with_radial_above_tangential_is_questioned() -> None:
    wood = species.own("Swapped", coefficient_radial=0.003, coefficient_tangential=0.001)
    assert "not swapped" in wood.notes[0]


@pytest.mark.parametrize(
    ("entry", "message"),
    [
        ({}, "give either two movement coefficients or two shrinkages"),
        (
            {"coefficient_radial": 0.001, "coefficient_tangential": 0.002, "shrinkage_radial": 3.0},
            "give either two movement coefficients or two shrinkages",
        ),
        ({"coefficient_tangential": 0.002}, "the radial movement coefficient is missing"),
        ({"shrinkage_radial": 3.0}, "the tangential shrinkage is missing"),
    ],
)
def test_an_incomplete_own_wood_is_refused_in_words(entry: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        species.own("Mine", **entry)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["", "  "])
def test_an_own_wood_needs_a_name(name: str) -> None:
    with pytest.raises(ValueError, match="give the wood a name"):
        species.own(name, coefficient_radial=0.001, coefficient_tangential=0.002)


@pytest.mark.parametrize(
    ("entry", "message"),
    [
        ({"coefficient_radial": -0.001, "coefficient_tangential": 0.002}, "radial movement coefficient is -0.001 per"),
        ({"coefficient_radial": 0.001, "coefficient_tangential": 0.011}, "tangential movement coefficient is 0.011"),
        ({"coefficient_radial": float("nan"), "coefficient_tangential": 0.002}, "radial movement coefficient is nan"),
        ({"shrinkage_radial": 0.0, "shrinkage_tangential": 5.0}, "radial shrinkage is 0 %; allowed is 0.1 to"),
        ({"shrinkage_radial": 3.0, "shrinkage_tangential": 60.0}, "tangential shrinkage is 60 %"),
        (
            {"shrinkage_radial": 3.0, "shrinkage_tangential": 6.0, "start_of_shrinkage": 60.0},
            "start of shrinkage is 60 %",
        ),
        (
            {"coefficient_radial": 0.001, "coefficient_tangential": 0.002, "start_of_shrinkage": 5.0},
            "start of shrinkage is 5 %",
        ),
    ],
)
def test_an_own_wood_out_of_range_is_refused(entry: dict[str, float], message: str) -> None:
    with pytest.raises(RangeError, match=message):
        species.own("Mine", **entry)  # type: ignore[arg-type]
