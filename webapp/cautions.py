"""What a page warns of where the work, or the piece, can hurt somebody; no page says that anything is safe."""

DUST = (
    "Wood dust harms the lungs and can cause cancer (IARC group 1); some woods sensitise. Old or salvaged boards may "
    "also carry finishes, dirt, mould, nails and stones: brush and search them before a cutter meets them. Use "
    "extraction and a mask that fits, and keep the guards on."
)
FINGERS = (
    "Where children reach it, the gap beside a front or a door can trap fingers, most of all while it opens and shuts; "
    "the gap varies with the season. To compare with: EN 1272 tests with finger probes of 7 mm and 12 mm. Check the "
    "driest and the wettest reveal against the rule that applies where the piece is used. This is an estimate for "
    "seasonal fit and does not show compliance with any rule: ask the local authority or a licensed professional."
)
"""EN 1272: the two probes, read in the standard; what it covers and what else it asks is not told here."""
