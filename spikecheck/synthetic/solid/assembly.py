"""Collects parts and organs while a plant is built, and numbers them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.synthetic.solid.part import Organ, Part

if TYPE_CHECKING:
    from spikecheck.synthetic.solid.mesh import Mesh
    from spikecheck.synthetic.solid.part import Material, OrganKind
    from spikecheck.vocabulary import AntherStage


class Assembly:
    """Parts and organs so far; organs are numbered from 1 in the order they come."""

    def __init__(self) -> None:
        self.parts: list[Part] = []
        self.organs: list[Organ] = []

    def add(
        self, mesh: Mesh, kind: OrganKind, material: Material, floret: int | None = None
    ) -> int:
        """Add an organ made of one mesh; return its index."""
        index = len(self.organs) + 1
        key = None if floret is None else str(floret)
        self.organs.append(Organ(index, kind, key))
        self.more(mesh, material, index)
        return index

    def add_anther(
        self,
        mesh: Mesh,
        material: Material,
        floret: int | None,
        *,
        stage: AntherStage,
        near_anthesis: bool,
        broken: bool,
        length_mm: float,
        colour_name: str,
        kind: OrganKind,
    ) -> int:
        """Add an anther; return its index."""
        index = len(self.organs) + 1
        key = None if floret is None else str(floret)
        self.organs.append(
            Organ(index, kind, key, stage, near_anthesis, broken, length_mm, colour_name)
        )
        self.more(mesh, material, index)
        return index

    def more(self, mesh: Mesh, material: Material, organ: int) -> None:
        """Add a mesh to an organ that is there."""
        name = f"{self.organs[organ - 1].kind}-{organ}-{len(self.parts)}"
        self.parts.append(Part(name, mesh.vertices, mesh.faces, mesh.colours, material, organ))
