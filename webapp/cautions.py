"""What a page warns of where the work, or the piece, can hurt somebody; no page says that anything is safe."""

DUST = (
    "Wood dust harms the lungs, and the International Agency for Research on Cancer lists it as a cause of cancer "
    "(group 1); some woods cause allergies. Old or salvaged boards may also carry finishes, dirt, mould, nails and "
    "stones: brush and search them before a cutter meets them. Extract the dust, wear a mask that fits and protection "
    "for eyes and ears, keep the guards on, unplug before you change a cutter, and follow the makers' instructions and "
    "the rules that apply where you work."
)
OVEN = (
    "A hot oven and dry wood can burn: stay with it, keep the sample clear of the heating element, and follow the "
    "oven's instructions. Wood with finish or unknown treatment on it does not belong in an oven."
)
FINGERS = (
    "Where children reach it, the gap beside a front or a door can trap fingers, most of all while it opens and shuts; "
    "the gap varies with the season. No figure is given here: which rule applies, and its limits, depend on where the "
    "piece is used. Check the driest and the wettest reveal against that rule. This is an estimate for seasonal fit "
    "and does not show compliance with any rule: ask the local authority or a licensed professional."
)
