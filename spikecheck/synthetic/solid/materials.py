"""How each material answers to light, as plug-in descriptions for Mitsuba.

Colours come from the mesh (attribute ``vertex_color``), those of the inner side of hulls
(``vertex_inner``) and roughness (``vertex_rough``) too, and every scene has every material: so all
scenes share the same compiled kernels.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from spikecheck.synthetic.solid.part import Material

if TYPE_CHECKING:
    from collections.abc import Mapping

COLOUR = "vertex_color"
INNER = "vertex_inner"
ROUGH = "vertex_rough"

_COLOURED = {"type": "mesh_attribute", "name": COLOUR}
_INSIDE = {"type": "mesh_attribute", "name": INNER}
_ROUGHNESS = {"type": "mesh_attribute", "name": ROUGH}

# Middle roughness of each material and how far a scene's draw moves it (own choice: epidermis
# with wax 0.4-0.6, nitrile 0.25-0.5, skin 0.4-0.6, brushed steel 0.2-0.35).
ROUGHNESS: Mapping[Material, tuple[float, float]] = {
    Material.LEAF: (0.36, 0.6), Material.STEM: (0.30, 0.6), Material.ANTHER: (0.22, 0.42),
    Material.STIGMA: (0.35, 0.6), Material.SKIN: (0.38, 0.6), Material.GLOVE: (0.26, 0.55),
    Material.PAPER: (0.7, 0.9), Material.METAL: (0.16, 0.4), Material.MATT: (0.7, 0.95),
    Material.WATER: (0.5, 0.5),
}  # fmt: skip


def material_plugin(material: Material) -> dict[str, Any]:
    """Return the description of a material, as :func:`mitsuba.load_dict` takes it."""
    return _PLUGINS[material]


def _glossy(specular: float, **more: float) -> dict[str, Any]:
    """Opaque, the same from both sides."""
    return {
        "type": "twosided",
        "of": {
            "type": "principled", "base_color": _COLOURED, "roughness": _ROUGHNESS,
            "specular": specular, **more,
        },
    }  # fmt: skip


def _hull(through: float, share: float) -> dict[str, Any]:
    """Let light through as :func:`_thin` does, with a smooth pale inner side."""
    hull = _thin(0.45, through, share)
    hull["opaque"] = {
        "type": "twosided",
        "outer": _one_side(0.45, _COLOURED),
        "inner": _one_side(0.6, _INSIDE),
    }
    return hull


def _one_side(specular: float, colour: dict[str, str]) -> dict[str, Any]:
    return {
        "type": "principled", "base_color": colour, "roughness": _ROUGHNESS, "specular": specular,
    }  # fmt: skip


def _thin(specular: float, through: float, share: float) -> dict[str, Any]:
    """Let light through diffusely, in part.

    ``through`` is the share, 0..2, of what the thin half scatters to the far side; ``share`` is
    the weight of the thin half.
    """
    return {
        "type": "blendbsdf",
        "weight": share,
        "opaque": _glossy(specular),
        "thin": {
            "type": "principledthin", "base_color": _COLOURED, "roughness": _ROUGHNESS,
            "diff_trans": through, "eta": 1.4,
        },
    }  # fmt: skip


_PLUGINS: Mapping[Material, dict[str, Any]] = {
    Material.LEAF: _hull(1.1, 0.42),
    Material.STEM: _glossy(0.45),
    Material.ANTHER: _thin(0.6, 1.0, 0.4),
    Material.STIGMA: _thin(0.4, 1.2, 0.6),
    Material.SKIN: _glossy(0.42, flatness=0.4),
    Material.GLOVE: _glossy(0.5),
    Material.PAPER: _glossy(0.2),
    Material.METAL: _glossy(0.6, metallic=1.0),
    Material.MATT: _glossy(0.1),
    Material.WATER: {"type": "dielectric", "int_ior": 1.33, "ext_ior": 1.0},
}
