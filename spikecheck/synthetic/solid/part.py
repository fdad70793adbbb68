"""Triangles with a colour, a material and the organ they belong to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import RenderError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from spikecheck.synthetic.arrays import Codes, Floats
    from spikecheck.vocabulary import AntherStage


class Material(StrEnum):
    """How a surface answers to light."""

    LEAF = "leaf"  # thin, two-sided, lets light through: lemma, palea, glume, leaf
    STEM = "stem"  # rachis, peduncle, awn
    ANTHER = "anther"
    STIGMA = "stigma"  # also ovary, filament: whitish, lets light through
    SKIN = "skin"
    GLOVE = "glove"
    PAPER = "paper"
    METAL = "metal"
    MATT = "matt"
    WATER = "water"


class OrganKind(StrEnum):
    """What an organ is."""

    RACHIS = "rachis"
    PEDUNCLE = "peduncle"
    GLUME = "glume"
    LEMMA = "lemma"
    PALEA = "palea"
    AWN = "awn"
    OVARY = "ovary"
    STIGMA = "stigma"
    FILAMENT = "filament"
    ANTHER = "anther"
    FLAG_LEAF = "flag_leaf"
    HAND = "hand"
    FORCEPS = "forceps"
    TAG = "tag"
    DUST = "dust"
    DROP = "drop"
    APHID = "aphid"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Organ:
    """One organ, as the truth tells it.

    Parameters
    ----------
    index
        Number in the id passes, from 1; 0 is nothing.
    kind
        What it is.
    floret
        Key of its floret as text, or None.
    stage, near_anthesis, broken
        Of an anther as in the vocabulary's; None, False, False otherwise.
    length_mm
        Length of an anther, or of the piece that is left of it; None otherwise.
    colour_name
        Word for its colour, where it matters; empty otherwise.
    """

    index: int
    kind: OrganKind
    floret: str | None = None
    stage: AntherStage | None = None
    near_anthesis: bool = False
    broken: bool = False
    length_mm: float | None = None
    colour_name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A triangle mesh of one organ.

    Parameters
    ----------
    name
        For people who look into a scene.
    vertices
        Shape (V, 3), float32, mm: x to the right, y away from the camera, z to the spike's tip.
    faces
        Shape (F, 3), int32, indices of vertices, counter-clockwise seen from outside.
    colours
        Shape (V, 3), float32, linear sRGB reflectance, 0..1.
    material
        How it answers to light.
    organ
        Index of its organ, 1 or more.

    Raises
    ------
    RenderError
        If the shapes do not fit together or a face names a vertex that is not there.
    """

    name: str
    vertices: Floats
    faces: Codes
    colours: Floats
    material: Material
    organ: int

    def __post_init__(self) -> None:
        if self.vertices.ndim != 2 or self.vertices.shape[1] != 3:  # noqa: PLR2004
            raise RenderError(f"vertices have shape (V, 3), got {self.vertices.shape}")
        if self.colours.shape != self.vertices.shape:
            raise RenderError(f"one colour a vertex is needed, got {self.colours.shape}")
        if self.faces.size and not 0 <= self.faces.min() <= self.faces.max() < len(self.vertices):
            raise RenderError(f"a face of {self.name} names a vertex that is not there")


@dataclass(frozen=True, slots=True, eq=False)
class MergedMesh:
    """All parts of one material as one mesh.

    Parameters
    ----------
    vertices, faces, colours
        As in :class:`Part`.
    organs
        Shape (F,), int32: the organ of each face.
    """

    vertices: Floats
    faces: Codes
    colours: Floats
    organs: Codes


def merged_by_material(parts: Iterable[Part]) -> dict[Material, MergedMesh]:
    """Return one mesh a material, in the order in which the materials first come.

    Few big meshes load and render faster than many small ones.
    """
    groups: dict[Material, list[Part]] = {}
    for part in parts:
        groups.setdefault(part.material, []).append(part)
    return {material: _merged(group) for material, group in groups.items()}


def _merged(group: list[Part]) -> MergedMesh:
    starts = np.cumsum([0, *(len(part.vertices) for part in group[:-1])])
    return MergedMesh(
        vertices=np.concatenate([part.vertices for part in group]).astype(np.float32),
        faces=np.concatenate(
            [part.faces + start for part, start in zip(group, starts, strict=True)]
        ).astype(np.int32),
        colours=np.clip(np.concatenate([part.colours for part in group]), 0, 1).astype(np.float32),
        organs=np.repeat(
            np.array([part.organ for part in group], np.int32),
            [len(part.faces) for part in group],
        ),
    )
