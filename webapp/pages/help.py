"""Help: the way through the job, every term, a worked example that is worked as the page is asked for, the cautions."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import climate, swelling, wood
from movement.parts import panel
from movement.parts.panel import PanelRequest, PanelResult
from movement.species import find
from webapp.render import render

router = APIRouter()

TERMS = (
    ("Moisture content, MC", "Mass of water over the wood's oven-dry mass, in %."),
    ("Equilibrium moisture content, EMC", "The moisture content that wood settles at in given air."),
    ("Relative humidity, RH", "How much water the air holds against what it could hold at that temperature."),
    ("Movement coefficient", "The share by which a board changes across the grain for each 1 % of moisture content."),
    ("Radial, tangential", "From the pith outward, and along the growth rings. Wood moves more along the rings."),
    ("Ring angle", "Between the growth rings and the wide face, on the end grain: 0 flat-sawn, 90 quarter-sawn."),
    ("Rift", "Sawn so that the ring angle is about 45: between flat-sawn and quarter-sawn."),
    ("Heart, bark side", "The heart is the middle of the log's rings; a board's bark side is the face away from it."),
    ("Cup", "How deep a board's face goes hollow across its width."),
    ("Sticker", "A strip between stacked boards that lets the air reach both faces."),
    ("Muntin", "A bar of the frame between two panels."),
    ("Sight width, sight height", "The visible opening between the frame's inner edges, across and along the grain."),
    ("Groove depth", "From the frame's inner edge to the groove's bottom."),
    ("Engagement", "How far the panel's edge sits inside the groove."),
    ("Gap", "Room between the panel's edge and the groove's bottom, at one edge."),
    ("End play", "Room at each end of a panel, along the grain."),
    ("Hold", "Centred: pinned at mid-width or on spacers. Loose: free to slide. One edge: fixed along one edge."),
    ("Dry, wet", "The driest and the wettest moisture content that the part meets from assembly on, today's included."),
    ("Mid, neutral fit", "The midpoint of dry and wet, and the fit that is made there."),
    ("Bias", "The gap to leave today less the gap of a neutral fit: looser when the wood is dry, tighter when wet."),
    ("Reveal", "The visible gap around an inset front or door."),
    ("Proud, shy", "Standing out beyond the neighbouring part, and short of it."),
    ("Haunch", "A shorter part of a tenon beside its full length."),
    ("Board run", "A row of tongue-and-groove or lapped boards, as in a back or a drawer bottom."),
    ("Making tolerance", "How far off the panel's width may come out, either way."),
)

EXAMPLE = PanelRequest(
    species="Cherry, black",
    sight_width_mm=300.0,
    moisture_now_pct=8.0,
    moisture_dry_pct=6.0,
    moisture_wet_pct=11.0,
)


@dataclass(frozen=True, slots=True)
class HelpPage:
    """The context of help.html: the worked example with the figures on its way. Lengths in mm, moistures in % MC."""

    terms: tuple[tuple[str, str], ...]
    asked: PanelRequest
    result: PanelResult
    coefficient: float
    ratio_dry: float
    ratio_wet: float
    places: int


@router.get("/help")
async def show(request: Request) -> Response:
    """The page."""
    across = wood.cut(find("Cherry, black"), EXAMPLE.ring_angle_deg).across
    season = EXAMPLE.season()
    page = HelpPage(
        TERMS,
        EXAMPLE,
        panel.result(EXAMPLE, EXAMPLE.hold, None, EXAMPLE.bench()),
        across,
        float(swelling.size_ratio(across, season.now, season.dry)),
        float(swelling.size_ratio(across, season.now, season.wet)),
        len(climate.places()),
    )
    return render(request, "help.html", page)
