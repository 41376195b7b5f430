"""A frame's elevation as a DXF file, in real size: millimetres, y upwards, the frame's left bottom corner at 0, 0."""

import io

from webapp.elevation import Box, Elevation, plain

MILLIMETRES = 4
"""$INSUNITS of millimetres; Autodesk, DXF Reference, header variables."""
LAYERS = {
    "FRAME": "CONTINUOUS",
    "SIGHT": "CONTINUOUS",
    "PANEL": "DASHED",
    "GROOVE": "DASHED2",
    "TEXT": "CONTINUOUS",
}
"""Layers with their line types: frame with its members, sights, the panels' hidden edges, the grooves' bottoms."""
_DASHES = 8.0
"""What stretches the library's dashes, 1.27 long, to about 10 mm on the frame; by eye."""
_TEXT = 12.0
"""Height of a name [mm]."""


def text(drawn: Elevation) -> str:
    """The DXF file of an elevation: every shape a closed polyline on its layer."""
    import ezdxf
    from ezdxf.enums import TextEntityAlignment

    document = ezdxf.new("R2010", setup=["linetypes"], units=MILLIMETRES)  # type: ignore[attr-defined]
    document.header["$LTSCALE"] = _DASHES
    space = document.modelspace()
    for name, line in LAYERS.items():
        document.layers.add(name, linetype=line)
    high = drawn.outline.height

    def shape(box: Box, layer: str) -> None:
        low, top = high - box.bottom, high - box.y
        corners = [(box.x, low), (box.right, low), (box.right, top), (box.x, top)]
        space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})

    def note(words: str, box: Box, size: float, below: float) -> None:
        entity = space.add_text(_harmless(words), height=size, dxfattribs={"layer": "TEXT"})
        place = (box.x + box.width / 2, high - box.y - box.height / 2 - below)
        entity.set_placement(place, align=TextEntityAlignment.MIDDLE_CENTER)

    for box in (drawn.outline, *drawn.members):
        shape(box, "FRAME")
    for bay in drawn.bays:
        shape(bay.sight, "SIGHT")
        if bay.panel and bay.groove:
            shape(bay.panel, "PANEL")
            shape(bay.groove, "GROOVE")
        size = min(_TEXT, bay.sight.width / 12, bay.sight.height / 8)
        note(str(bay.line.number), bay.sight, 2 * size, 0.0)
        note(bay.line.name, bay.sight, size, 2.5 * size)
        if not bay.told:
            note("height not told", bay.sight, size, 4.0 * size)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def _harmless(words: str) -> str:
    """Text in one line in which nothing is a code of the format."""
    return plain(words).replace("%%", "% %").replace("\\U+", "\\ U+").replace("^", "^ ")
