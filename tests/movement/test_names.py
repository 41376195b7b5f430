"""Names of woods compared, turned round, taken apart and searched."""

import pytest

from movement import names


@pytest.mark.parametrize("text", ["Cherry, black", "cherry black", "  CHERRY,BLACK ", "cherry-black", "Chérry black"])
def test_case_spaces_accents_and_punctuation_do_not_matter(text: str) -> None:
    assert names.key(text) == "cherryblack"


def test_a_text_without_letters_has_no_words() -> None:
    assert names.words(" -,. ") == ()
    assert names.key("") == ""


@pytest.mark.parametrize(
    ("name", "everyday"),
    [
        ("Fir, Pacific silver", ("Pacific silver fir",)),
        ("Douglas-fir, coast", ("coast Douglas-fir",)),
        ("Cedar, incense-cedar", ("incense-cedar",)),
        ("Cedar, yellow (Alaska-cedar)", ("yellow cedar", "Alaska-cedar")),
        ("Oak, white: white", ("white oak",)),
        ("Butternut", ()),
        ("Teak (European trade table)", ()),
        ("Oak, red: water/laurel/willow (group)", ()),
        ('Oak, red: "Oak, black" as printed in Table 13-5', ()),
    ],
)
def test_a_name_is_turned_into_everyday_order(name: str, everyday: tuple[str, ...]) -> None:
    assert names.everyday(name) == everyday


@pytest.mark.parametrize(
    ("text", "single"),
    [
        ("Prunus serotina", ("Prunus serotina",)),
        ("Pseudotsuga menziesii var. glauca", ("Pseudotsuga menziesii var. glauca",)),
        ("Quercus nigra; Q. laurifolia; Q. phellos", ("Quercus nigra", "Quercus laurifolia", "Quercus phellos")),
        ("Shorea contorta (Pentacme contorta)", ("Shorea contorta",)),
        ("Quercus kelloggii (value is that of California black oak)", ("Quercus kelloggii",)),
    ],
)
def test_botanical_names_are_taken_one_by_one(text: str, single: tuple[str, ...]) -> None:
    assert names.botanical(text) == single


def test_a_whole_word_ranks_before_a_start_before_a_part_before_another_name() -> None:
    ranks = [
        names.rank(("ash",), texts)
        for texts in (("Ash, white", ""), ("Ashwood", ""), ("Pine, slash", ""), ("Sorb", "mountain ash"))
    ]
    assert ranks == [0, 1, 2, 3]


def test_every_word_must_be_found() -> None:
    assert names.rank(("red", "oak"), ("Alder, red", "Alnus rubra")) is None
    assert names.rank((), ("Alder, red",)) == 0
