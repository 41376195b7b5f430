"""QR codes as SVG, to be read by a phone at the bench."""

from typing import TYPE_CHECKING

from markupsafe import Markup

if TYPE_CHECKING:
    from segno import QRCode

QUIET = 4
"""Light modules around a code; ISO/IEC 18004 asks for four."""
CORRECTION = "m"
"""Level M: about 15 % of a code may be spoilt; ISO/IEC 18004."""


def code(address: str) -> "QRCode":
    """The code of an address."""
    import segno  # loaded here: only labels are printed with codes

    return segno.make(address, error=CORRECTION, micro=False)


def svg(address: str) -> Markup:
    """The code of an address as SVG, sized by the style sheet, with its quiet zone."""
    drawn = code(address).svg_inline(border=QUIET, light="#fff", omitsize=True, svgclass="code", lineclass="ink")
    return Markup(drawn)  # the library writes numbers and our own class names only
