"""What the values that several results share mean, each told once."""

from typing import Annotated

from movement.parts.base import Bias as Way
from movement.parts.fields import told

Fits = Annotated[bool, told("Whether every clearance is kept all year")]
Bias = Annotated[float, told("Gap to leave today less the gap of a neutral fit", "mm")]
BiasWord = Annotated[Way, told("Which way the bias goes: looser when the wood is dry today, tighter when it is wet")]
MoistureNow = Annotated[float, told("Moisture content today", "%")]
MoistureDry = Annotated[float, told("Driest moisture content that the part meets, today's included", "%")]
MoistureMid = Annotated[float, told("Midpoint of the driest and the wettest moisture content", "%")]
MoistureWet = Annotated[float, told("Wettest moisture content that the part meets, today's included", "%")]
CoefficientAcross = Annotated[float, told("Movement coefficient across the width", "per 1 % MC")]
CoefficientThrough = Annotated[float, told("Movement coefficient through the thickness", "per 1 % MC")]
CoefficientRadial = Annotated[float, told("Movement coefficient from the pith outward", "per 1 % MC")]
CoefficientTangential = Annotated[float, told("Movement coefficient along the growth rings", "per 1 % MC")]
Advice = Annotated[list[str], told("What the maker should do, in sentences, the most useful first")]
Notes = Annotated[list[str], told("What to know besides, in sentences")]
Sources = Annotated[list[str], told("Where the numbers come from")]
Source = Annotated[str, told("Where the number comes from")]
Warnings = Annotated[list[str], told("What to check, in sentences")]
GapNow = Annotated[float, told("Gap today", "mm")]
GapMid = Annotated[float, told("Gap at mid", "mm")]
GapDry = Annotated[float, told("Gap when driest", "mm")]
GapWet = Annotated[float, told("Gap when wettest", "mm")]
EngagementNow = Annotated[float, told("Engagement today", "mm")]
EngagementDry = Annotated[float, told("Engagement when driest", "mm")]
EngagementWet = Annotated[float, told("Engagement when wettest", "mm")]
MarginDry = Annotated[float, told("Engagement to spare when driest; negative: it lacks that much", "mm")]
MarginWet = Annotated[float, told("Gap to spare when wettest; negative: it lacks that much", "mm")]
WidthDry = Annotated[float, told("Width when driest", "mm")]
WidthWet = Annotated[float, told("Width when wettest", "mm")]
Opening = Annotated[float, told("Opening, as it was asked", "mm")]
PlaneOff = Annotated[float, told("What to plane off today; 0: nothing", "mm")]
TooSmall = Annotated[float, told("How much the made part is too small today; 0: it is not", "mm")]
Farthest = Annotated[
    float, told("Farthest from the fixed place that the longest slot serves; null: any distance", "mm")
]
TopWidth = Annotated[float, told("Width of the top today", "mm")]
EquivalentRingAngle = Annotated[
    float, told("Ring angle of straight rings that would move as much across the width", "°")
]
CupDry = Annotated[float, told("Cup when driest; positive: the bark side is hollow", "mm")]
CupWet = Annotated[float, told("Cup when wettest; positive: the bark side is hollow", "mm")]
GrowthWet = Annotated[float, told("Growth of the whole width from today to the wettest", "mm")]
ShrinkageDry = Annotated[float, told("Shrinkage of the whole width from today to the driest", "mm")]
