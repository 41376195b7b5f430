"""The allowed range of a field, looked up in a JSON schema along the path that a refusal gives."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from pydantic import BaseModel

from movement import sorption

UNSOURCED = "limit of this program; no published source"
"""What is said of a range whose source neither the schema nor `_SOURCES` names."""
_SOURCES = {
    "temperature_c": f"{sorption.SOURCE}: its table ends at 93.3 °C (200 °F), and near -37 °C it breaks down",
    "humidity_pct": "by definition",
}

Node = dict[str, Any]
_UNIT_SUFFIXES = ("_mm", "_pct", "_c", "_deg", "_g_m3")
_KEYS = {
    "moisture content today": ("moisture_now_pct",),
    "driest moisture content": ("dry_pct", "moisture_dry_pct"),
    "wettest moisture content": ("wet_pct", "moisture_wet_pct"),
    "moisture content": ("wet_pct",),
    "moisture content in the dry season": ("dry",),
    "heating temperature": ("heating_c",),
    "cooling temperature": ("cooling_c",),
    "humidifier setting": ("humidifier_pct",),
    "dehumidifier setting": ("dehumidifier_pct",),
    "number of months": ("months",),
    "engagement of the fixed edge": ("fixed_engagement_mm",),
    "step between groove depths": ("cutter_step_mm",),
    "rounding step": ("width_step_mm", "size_step_mm"),
    "radial movement coefficient": ("coefficient_radial",),
    "tangential movement coefficient": ("coefficient_tangential",),
    "radial shrinkage": ("shrinkage_radial_pct",),
    "tangential shrinkage": ("shrinkage_tangential_pct",),
    "board face": ("board_face_mm", "boards", "stock_widths_mm"),
    "number of boards": ("boards", "board_face_mm", "stock_widths_mm"),
    "width of the stock": ("stock_widths_mm",),
    "height of the opening": ("opening_height_mm",),
    "height of the side": ("side_height_mm", "opening_height_mm"),
    "depth of the case": ("case_depth_mm",),
    "length of the side": ("side_length_mm", "case_depth_mm"),
    "groove in the front": ("front_groove_mm",),
    "thickness of the back": ("back_thickness_mm",),
    "inset of the back": ("back_inset_mm",),
    "width of the bottom": ("bottom_width_mm", "side_length_mm", "case_depth_mm"),
    "width of the tenon": ("tenon_width_mm",),
    "number of tenons": ("tenons",),
    "room between tenons": ("between_mm", "tenons"),
    "glued width": ("glued_mm",),
    "length of the mortise": ("mortise_length_mm",),
    "reveal at the fixed edge": ("fixed_reveal_mm",),
    "size of the front": ("made_mm", "opening_mm"),
    "width of the opening": ("opening_mm",),
    "width of both stiles": ("stile_width_mm",),
    "width of a leaf": ("made_width_mm", "opening_mm"),
    "distance from the fixed place": ("distance_mm", "distances_mm"),
    "diameter of the screw": ("screw_mm",),
    "length of the slot": ("longest_slot_mm",),
    "width of the top": ("top_width_mm",),
    "inset of the fixing": ("fixed_inset_mm",),
    "width of a slat": ("slat_width_mm",),
    "clear space": ("space_now_mm", "slats"),
    "length of the row": ("opening_mm",),
    "number of slats": ("slats",),
    "depth of the heart below the bark side": ("rings",),
}
"""Keys of the quantities whose names in the core are not their keys: its own, then those that lead to it."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The allowed range of a field; ``above`` where its lower end itself is not allowed."""

    low: float | None = None
    high: float | None = None
    unit: str = ""
    source: str = ""
    above: bool = False

    def __bool__(self) -> bool:
        return self.low is not None or self.high is not None

    def holds(self, value: float) -> bool:
        """Whether a value lies within."""
        if self.low is not None and (value < self.low or (self.above and value <= self.low)):
            return False
        return self.high is None or value <= self.high


@dataclass(frozen=True)
class Place:
    """A place in a schema: the dotted path of its keys, and what the schema says of it (None where it says nothing)."""

    schema: "Schema"
    path: str
    node: Node | None

    @cached_property
    def limit(self) -> Limit:
        """The allowed range of the number here, or of the count of entries or characters."""
        for leaf in self.schema.leaves(self.node):
            found = _limit(leaf, self.path.rpartition(".")[2])
            if found:
                return found
        return Limit()

    @cached_property
    def nullable(self) -> bool:
        """Whether null may stand here."""
        return any(leaf.get("type") == "null" for leaf in self.schema.leaves(self.node))

    def key_of(self, name: str) -> str | None:
        """The key, in the object here, of a quantity that the core calls by this name."""
        return next(iter(self.keys_of(name)), None)

    def keys_of(self, name: str) -> list[str]:
        """The keys, in the object here, that such a quantity may come from; its own first."""
        keys = {key for leaf in self.schema.leaves(self.node) for key in leaf.get("properties", {})}
        plain = name.replace(" ", "_")
        named = (*_KEYS.get(name, ()), plain, *(f"{plain}{suffix}" for suffix in _UNIT_SUFFIXES))
        return [key for key in named if key in keys]


class Schema:
    """A JSON schema, with the references in it."""

    def __init__(self, root: Node, node: Node | None = None) -> None:
        self._root = root
        self._node = root if node is None else node

    def at(self, loc: Sequence[int | str], *, unknown: bool = False) -> Place:
        """The place that a path leads to.

        Parameters
        ----------
        loc : sequence
            Keys and indices, as in pydantic's errors; the labels of a union's branches are no part of the place's path.
        unknown : bool
            The last key is one that the schema does not have.
        """
        node: Node | None = self._node
        keys: list[str] = []
        for index, step in enumerate(loc):
            tags = self._tags(node)
            if step in tags:
                node = tags[step]
                continue
            labelled = self._labelled(node)
            if labelled:
                node = {"anyOf": labelled}
                continue
            leaves = list(self.leaves(node))
            below = [found for leaf in leaves if (found := _below(leaf, step)) is not None]
            if below or len(leaves) < 2 or (unknown and index == len(loc) - 1):
                keys.append(str(step))
                node = {"anyOf": below} if below else None
        return Place(self, ".".join(keys), node)

    def leaves(self, node: Node | None) -> Iterator[Node]:
        """What may stand at a node: itself, or the branches of its union, each with the union's own unit and source."""
        if node is None:
            return
        node = self._resolved(node)
        branches = node.get("anyOf") or node.get("oneOf")
        if not branches:
            yield node
            return
        said = {key: node[key] for key in ("unit", "source") if key in node}
        for branch in branches:
            for leaf in self.leaves(branch):
                yield said | leaf

    def _tags(self, node: Node | None) -> dict[int | str, Node]:
        """The branches of a union by their tag."""
        if node is None:
            return {}
        node = self._resolved(node)
        found = {tag: {"$ref": to} for tag, to in node.get("discriminator", {}).get("mapping", {}).items()}
        for branch in node.get("anyOf", ()):
            found |= self._tags(branch)
        return found

    def _labelled(self, node: Node | None) -> list[Node]:
        """The branches of a union that errors call by a label, which the schema does not tell."""
        if node is None:
            return []
        node = self._resolved(node)
        if "oneOf" in node and "discriminator" not in node:
            return list(node["oneOf"])
        return [found for branch in node.get("anyOf", ()) for found in self._labelled(branch)]

    def _resolved(self, node: Node) -> Node:
        while "$ref" in node:
            target: Any = self._root
            for step in node["$ref"].removeprefix("#/").split("/"):
                target = target[step]
            node = target | {key: value for key, value in node.items() if key != "$ref"}
        return node


@cache
def schema_of(model: type[BaseModel]) -> Schema:
    """A model's schema."""
    return Schema(model.model_json_schema())


@cache
def field_of(model: type[BaseModel], key: str, *, entry: bool = False) -> Place:
    """The place of a model's field, or of one entry of the list that it holds."""
    return schema_of(model).at((key, 0) if entry else (key,))


def _below(leaf: Node, step: int | str) -> Node | None:
    found = leaf.get("items") if isinstance(step, int) else leaf.get("properties", {}).get(step)
    return found if isinstance(found, dict) else None


def _limit(leaf: Node, key: str) -> Limit:
    if "minimum" in leaf or "exclusiveMinimum" in leaf or "maximum" in leaf:
        low, unit = leaf.get("minimum", leaf.get("exclusiveMinimum")), str(leaf.get("unit", ""))
        above = "exclusiveMinimum" in leaf
    elif leaf.get("type") == "array":
        low, unit, above = leaf.get("minItems"), "entries", False
    else:
        low, unit, above = leaf.get("minLength"), "characters", False
    high = leaf.get("maximum", leaf.get("maxItems", leaf.get("maxLength")))
    if low is None and high is None:
        return Limit(unit=str(leaf.get("unit", "")))
    return Limit(low, high, unit, str(leaf.get("source") or _SOURCES.get(key, UNSOURCED)), above)
