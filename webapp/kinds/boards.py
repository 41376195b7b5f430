"""A run of boards: a back, a drawer bottom, a lining."""

from movement.fits.boards import BOARD_HOLDS, PROFILES, Profile
from movement.parts import boards
from movement.parts.boards import BoardsNeeds, BoardsRequest, BoardsResult
from webapp import measures, setout
from webapp.drawing.tongue import tongue
from webapp.forms import Spec
from webapp.kinds.kind import ROUNDING, Answer, Figure, Kind, choice, fits, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words

_TONGUES: dict[Profile, str] = {
    "tongue and groove": "Tongue",
    "shiplap": "Lap",
    "loose tongue": "Loose tongue, whole width",
}


def show(needs: BoardsNeeds, made: BoardsResult, words: Words) -> Answer:
    """The answer for a run of boards."""
    say, narrowest, widest = words.say, made.board_face_min_mm, made.board_face_max_mm
    works = words.works(narrowest, widest) if narrowest <= widest else "no face works"
    found = measures.of(made)
    run = setout.of(made, words)
    joints = words.through((made.gap_now_mm, made.gap_dry_mm, made.gap_wet_mm), run.gap)
    moving = "At each end today" if needs.hold == "centred" else "At the free end today"
    figures = [
        Figure("Face of each board", run.face, works, main=True),
        Figure(
            "Gap at each joint today",
            joints[0],
            f"{joints[1]} when driest, {joints[2]} when wettest",
            main=True,
        ),
        Figure("Boards", f"{made.boards}"),
        Figure(_TONGUES[made.profile], words.least(made.tongue_mm), f"at least {words.least(made.tongue_needed_mm)}"),
        Figure(moving, run.end, f"covered by {words.least(made.end_cover_mm)} or more"),
    ]
    if made.profile != "loose tongue":
        figures.insert(4, Figure("Width to rip", found.across(words), f"with its {_TONGUES[made.profile].lower()}"))
    heads = ("Gap at a joint", "Engaged", "Gap at an end")
    held = (made.engagement_now_mm, made.engagement_dry_mm, made.engagement_wet_mm)
    ends = words.through((made.end_gap_now_mm, made.end_gap_dry_mm, made.end_gap_wet_mm), run.end)
    now, dry, wet = ((gap, words.room(one), end) for gap, one, end in zip(joints, held, ends, strict=True))
    facts = [
        (
            "From one board to the next today: set them out by it, so that no error adds up",
            run.pitch,
        ),
        ("All boards together grow by the wettest season", say(made.growth_wet_mm)),
        ("They shrink by the driest", say(made.shrinkage_dry_mm)),
        ("Engagement to spare in the driest season", words.signed(made.margin_dry_mm)),
        ("Gap to spare in the wettest season", words.signed(made.margin_wet_mm)),
    ]
    if made.widest_board_mm is not None:
        facts.insert(0, ("The widest face that this tongue allows", words.most(made.widest_board_mm)))
    return Answer(
        fits(made),
        tuple(figures),
        words.leaning(made, "each joint") if made.fits else "",
        year_table(made, heads, now, dry, wet),
        (tongue(made, words),),
        badge=made.bias if made.fits else "",
        facts=tuple(facts),
    )


KIND = Kind(
    key="boards",
    name="A run of boards",
    about="A back, a lining or a drawer bottom of tongue-and-groove or lapped boards: how wide to rip them, how long a "
    "tongue, how open to set each joint.",
    lede="How wide to rip the boards, how long a tongue they need, and how open to set each joint today, so that the "
    "run neither swells tight in the wettest season nor draws apart in the driest.",
    request=BoardsRequest,
    specs=(
        length("opening", "Opening", "600", "Across the boards."),
        length("board_face", "Face of a board", "90", "What shows, without tongue or lap; blank to be told."),
        Spec("boards", "Number of boards", "whole", hint="Blank to be told."),
        length("tongue", "Tongue or lap", "", "Blank to be told. Of a loose tongue, its whole width."),
        choice("profile", "Joint", PROFILES[0], {one: one.capitalize() for one in PROFILES}),
        choice(
            "hold",
            "Where each board is held",
            "centred",
            dict(zip(BOARD_HOLDS, ("At mid-width", "At one edge"), strict=True)),
        ),
        Spec(
            "stock_widths",
            "Widths the stock comes in",
            "lengths",
            "stock_widths_mm",
            hint="Parted by semicolons; they decide where neither face nor number is given.",
        ),
        length(
            "least_engagement",
            "Least engagement",
            "3",
            "Kept in the driest season. About 3 mm (1/8 in) is common practice, no source.",
        ),
        length("least_gap", "Least gap", "0.5", f"Left at each joint in the wettest season. {OURS}"),
        length("making_tolerance", "Making tolerance", "0.5", f"How far off a face may come, either way. {OURS}"),
        ROUNDING,
    ),
    inches={
        "opening": '24"',
        "board_face": '3 1/2"',
        "least_engagement": '1/8"',
        "least_gap": '1/32"',
        "making_tolerance": '1/64"',
    },
    folded=("stock_widths", "least_engagement", "least_gap", "making_tolerance", "size_step"),
    size=boards.result,
    show=show,
)
