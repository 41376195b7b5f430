"""Changes to a piece: its frames, panels and other parts added, copied, moved, taken out, put back."""

import re
import secrets
from collections.abc import Sequence
from typing import Literal, Self

from pydantic import model_validator

from movement import piece as pieces
from movement.parts.any import AnyPart, Key, SizedPart
from movement.parts.base import OwnSpecies
from movement.parts.fields import Described
from movement.piece import Frame, PanelPart, Piece
from webapp.documents import MissingError

MOST_NAME = 80
_SIDES = {"left": "right", "right": "left", "Left": "Right", "Right": "Left", "LEFT": "RIGHT", "RIGHT": "LEFT"}
_SIDE = re.compile(rf"\b({'|'.join(_SIDES)})\b")


class Taken(Described):
    """A panel, a frame or another part that was taken out, with its place: all that is needed to put it back."""

    frame: Key | None = None
    index: int
    panel: PanelPart | None = None
    whole: Frame | None = None
    part: AnyPart | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        found = [one for one in (self.panel, self.whole, self.part) if one is not None]
        if len(found) != 1 or (self.panel is None) != (self.frame is None):
            raise ValueError("Either a panel of a frame, or a whole frame, or a part.")
        return self

    @property
    def id(self) -> str:
        """The handle of what was taken out."""
        return next(one.id for one in (self.panel, self.whole, self.part) if one is not None)

    @property
    def name(self) -> str:
        """What was taken out, by name."""
        if self.part is not None:
            return self.part.name or "Part"
        return (self.panel.name or "Panel") if self.panel else ((self.whole.name if self.whole else "") or "Frame")


def written(piece: Piece) -> tuple[Piece, str]:
    """The piece, read anew from its own file, and the text of that.

    Raises
    ------
    pydantic.ValidationError
        A change has made it something that is no piece.
    PieceFileError
        A change has made it larger than what can be opened.
    """
    text = pieces.dump(piece)
    return Piece.model_validate_json(text), text


def frame_of(piece: Piece, id: str) -> Frame:
    """A frame by its handle.

    Raises
    ------
    MissingError
        The piece has none of this handle.
    """
    for frame in piece.frames:
        if frame.id == id:
            return frame
    raise MissingError(id)


def panel_of(piece: Piece, id: str) -> tuple[Frame, PanelPart]:
    """A panel by its handle, with its frame.

    Raises
    ------
    MissingError
        The piece has none of this handle.
    """
    for frame, part in piece.panels():
        if part.id == id:
            return frame, part
    raise MissingError(id)


def part_of(piece: Piece, id: str) -> SizedPart:
    """A part that stands in no frame, by its handle.

    Raises
    ------
    MissingError
        The piece has none of this handle.
    """
    for part in piece.parts:
        if part.id == id:
            return part
    raise MissingError(id)


def with_parts(piece: Piece, parts: Sequence[SizedPart]) -> Piece:
    """The piece with other parts that stand in no frame."""
    return piece.model_copy(update={"parts": list(parts)})


def with_frames(piece: Piece, frames: Sequence[Frame]) -> Piece:
    """The piece with other frames."""
    return piece.model_copy(update={"frames": list(frames)})


def with_frame(piece: Piece, changed: Frame) -> Piece:
    """The piece with a frame in place of the one of the same handle."""
    return with_frames(piece, [changed if one.id == changed.id else one for one in piece.frames])


def with_panels(piece: Piece, frame_id: str, panels: Sequence[PanelPart]) -> Piece:
    """The piece with other panels in one frame."""
    return with_frame(piece, frame_of(piece, frame_id).model_copy(update={"panels": list(panels)}))


def with_panel(piece: Piece, changed: PanelPart) -> Piece:
    """The piece with a panel in place of the one of the same handle."""
    frame, _ = panel_of(piece, changed.id)
    return with_panels(piece, frame.id, [changed if one.id == changed.id else one for one in frame.panels])


def with_species(piece: Piece, own: OwnSpecies | None) -> Piece:
    """The piece with a maker's own species in its file, so that the file stands by itself."""
    if own is None:
        return piece
    kept = [one for one in piece.own_species if one.name.casefold() != own.name.casefold()]
    return piece.model_copy(update={"own_species": [*kept, own]})


def add_frame(piece: Piece, name: str) -> tuple[Piece, Frame]:
    """The piece with a new frame at its end."""
    frame = Frame(id=fresh("f"), name=name or f"Frame {len(piece.frames) + 1}")
    return with_frames(piece, [*piece.frames, frame]), frame


def copy_panel(piece: Piece, id: str) -> tuple[Piece, PanelPart]:
    """The piece with another panel like this one, right after it."""
    frame, part = panel_of(piece, id)
    name = next_name(part.name or "Panel", {one.name for one in frame.panels})
    twin = part.model_copy(update={"id": fresh("p"), "name": name})
    place = frame.panels.index(part) + 1
    return with_panels(piece, frame.id, [*frame.panels[:place], twin, *frame.panels[place:]]), twin


def copy_frame(piece: Piece, id: str) -> tuple[Piece, Frame]:
    """The piece with another frame like this one right after it; of a left side its right side, where there is none."""
    frame = frame_of(piece, id)
    taken = {one.name for one in piece.frames}
    mirror = other_side(frame.name)
    mirrored = mirror != frame.name and mirror not in taken
    panels = [
        part.model_copy(update={"id": fresh("p"), "name": other_side(part.name) if mirrored else part.name})
        for part in frame.panels
    ]
    name = mirror if mirrored else next_name(frame.name or "Frame", taken)
    twin = frame.model_copy(update={"id": fresh("f"), "name": name, "panels": panels})
    place = piece.frames.index(frame) + 1
    return with_frames(piece, [*piece.frames[:place], twin, *piece.frames[place:]]), twin


def copy_part(piece: Piece, id: str) -> tuple[Piece, SizedPart]:
    """The piece with another part like this one, right after it."""
    part = part_of(piece, id)
    name = next_name(part.name or part.kind.capitalize(), {one.name for one in piece.parts})
    twin = part.model_copy(update={"id": fresh("p"), "name": name})
    place = [one.id for one in piece.parts].index(id) + 1
    return with_parts(piece, [*piece.parts[:place], twin, *piece.parts[place:]]), twin


def move_panel(piece: Piece, id: str, step: Literal[-1, 1]) -> Piece:
    """The piece with a panel one place up or down; past the end of its frame it goes into the next one."""
    frame, part = panel_of(piece, id)
    place = frame.panels.index(part) + step
    rest = [one for one in frame.panels if one.id != id]
    if 0 <= place <= len(rest):
        return with_panels(piece, frame.id, [*rest[:place], part, *rest[place:]])
    beside = piece.frames.index(frame) + step
    if not 0 <= beside < len(piece.frames):
        return piece
    neighbour = piece.frames[beside]
    panels = [part, *neighbour.panels] if step > 0 else [*neighbour.panels, part]
    return with_panels(with_panels(piece, frame.id, rest), neighbour.id, panels)


def move_part(piece: Piece, id: str, step: Literal[-1, 1]) -> Piece:
    """The piece with a part that stands in no frame one place up or down; as it is where there is no place."""
    part = part_of(piece, id)
    place = [one.id for one in piece.parts].index(id) + step
    rest = [one for one in piece.parts if one.id != id]
    return with_parts(piece, [*rest[:place], part, *rest[place:]]) if 0 <= place <= len(rest) else piece


def take_panel(piece: Piece, id: str) -> tuple[Piece, Taken]:
    """The piece without a panel, and what was taken out."""
    frame, part = panel_of(piece, id)
    left = with_panels(piece, frame.id, [one for one in frame.panels if one.id != id])
    return left, Taken(frame=frame.id, index=frame.panels.index(part), panel=part)


def take_frame(piece: Piece, id: str) -> tuple[Piece, Taken]:
    """The piece without a frame, and what was taken out."""
    frame = frame_of(piece, id)
    left = with_frames(piece, [one for one in piece.frames if one.id != id])
    return left, Taken(index=piece.frames.index(frame), whole=frame)


def take_part(piece: Piece, id: str) -> tuple[Piece, Taken]:
    """The piece without a part, and what was taken out."""
    part_of(piece, id)
    place = [one.id for one in piece.parts].index(id)
    left = with_parts(piece, [one for one in piece.parts if one.id != id])
    return left, Taken(index=place, part=piece.parts[place])


def put_back(piece: Piece, taken: Taken) -> Piece:
    """The piece with what was taken out at its old place; as it is where that was put back already."""
    handles = {frame.id for frame in piece.frames} | {part.id for _, part in piece.panels()}
    handles |= {part.id for part in piece.parts}
    if taken.panel is not None and taken.frame is not None and taken.panel.id not in handles:
        panels = frame_of(piece, taken.frame).panels
        place = max(0, min(taken.index, len(panels)))
        return with_panels(piece, taken.frame, [*panels[:place], taken.panel, *panels[place:]])
    if taken.whole is not None and taken.whole.id not in handles:
        place = max(0, min(taken.index, len(piece.frames)))
        return with_frames(piece, [*piece.frames[:place], taken.whole, *piece.frames[place:]])
    if taken.part is not None and taken.part.id not in handles:
        place = max(0, min(taken.index, len(piece.parts)))
        return with_parts(piece, [*piece.parts[:place], taken.part, *piece.parts[place:]])
    return piece


def fresh(letter: Literal["f", "p"]) -> str:
    """A handle that no frame or panel has, nor had before it was taken out: f3c81e09b, p91b0c6d2 …"""
    return f"{letter}{secrets.token_hex(4)}"


def next_name(name: str, taken: set[str]) -> str:
    """The name with the next number that is not taken.

    Example
    -------
    >>> next_name("Panel 3", {"Panel 3", "Panel 4"}), next_name("Door", {"Door"})
    ('Panel 5', 'Door 2')
    """
    stem, _, number = name.rpartition(" ")
    if not stem or not number.isdecimal() or len(number) > 6:
        stem, number = name, "1"
    count = int(number)
    while (found := f"{stem[: MOST_NAME - 8]} {count + 1}") in taken:
        count += 1
    return found


def other_side(name: str) -> str:
    """The name with left and right exchanged.

    Example
    -------
    >>> other_side("Left side, upper"), other_side("Door"), other_side("Bright")
    ('Right side, upper', 'Door', 'Bright')
    """
    return _SIDE.sub(lambda found: _SIDES[found[0]], name)[:MOST_NAME]
