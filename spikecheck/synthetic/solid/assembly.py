"""Collects parts and organs while a plant is built, and numbers them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.synthetic.solid.part import Material, Organ, OrganKind, Part

if TYPE_CHECKING:
    from spikecheck.synthetic.solid.bending import Bending
    from spikecheck.synthetic.solid.mesh import Mesh
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
        key = None if floret is None else str(floret)
        return self._enter(Organ(len(self.organs) + 1, kind, key), mesh, material)

    def add_anther(
        self,
        mesh: Mesh,
        floret: int | None,
        *,
        stage: AntherStage,
        near_anthesis: bool,
        broken: bool,
        length_mm: float,
        colour_name: str,
    ) -> int:
        """Add an anther; return its index."""
        organ = Organ(
            index=len(self.organs) + 1,
            kind=OrganKind.ANTHER,
            floret=None if floret is None else str(floret),
            stage=stage,
            near_anthesis=near_anthesis,
            broken=broken,
            length_mm=length_mm,
            colour_name=colour_name,
        )
        return self._enter(organ, mesh, Material.ANTHER)

    def more(self, mesh: Mesh, material: Material, organ: int) -> None:
        """Add a mesh to an organ that is there."""
        name = f"{self.organs[organ - 1].kind}-{organ}-{len(self.parts)}"
        self.parts.append(Part(name, mesh.vertices, mesh.faces, mesh.colours, material, organ))

    def bend(self, bending: Bending) -> None:
        """Bend all that is there; what is added later is added to the bent plant."""
        self.parts = [replace(part, vertices=bending.bend(part.vertices)) for part in self.parts]

    def _enter(self, organ: Organ, mesh: Mesh, material: Material) -> int:
        self.organs.append(organ)
        self.more(mesh, material, organ.index)
        return organ.index
