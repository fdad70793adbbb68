"""The phone: how it meters, balances, blurs, adds noise and develops, by camera family."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import QualityProblem

Rng = np.random.Generator

CAMERAS = ("plain", "shallow", "noisy", "sharpened", "soft")

# Blur of lens, demosaicing and processing, standard deviation in px, by family. All stay well
# below what hides an anther's edge (threshold largest_blur_mm, 0.11 mm, at 20.5 px/mm or more).
_BLUR_PX = {
    "plain": (0.45, 0.9), "shallow": (0.45, 0.9), "noisy": (0.5, 0.95),
    "sharpened": (0.5, 1.1), "soft": (1.05, 1.6),
}  # fmt: skip
_BLUR_MM = 0.075  # most of it on the spike of a picture that is sharp
_DEFOCUS_MM = (0.16, 0.5)  # of one that is not
_SMEAR_MM = (0.8, 2.2)
# Share of a usual exposure; the spike's lightness then is L* 12 to 23 (threshold: 25).
_DARK, _BURNT = (0.05, 0.15), (5.0, 9.0)
_EXPOSED = (0.75, 1.7)
# How fast things blur off the plane in focus, mm per mm: a phone at 10-15 cm with an f/1.8 lens of
# 5-7 mm has an aperture of 3-4 mm; blur circle / distance = 3.5 / 120, a quarter of it as standard
# deviation (calculated; focal lengths from memory).
_SHALLOW, _DEEP = (0.006, 0.014), (0.0005, 0.004)


@dataclass(frozen=True, slots=True)
class Phone:
    """How a picture is taken.

    Parameters
    ----------
    family
        Camera family.
    exposure
        Factor on the metered light.
    gains
        White-balance error: factors on red, green, blue.
    blur_px
        Blur over the whole picture, standard deviation, px.
    smear_px, smear_angle
        Movement during the exposure, px and radians.
    blur_per_mm
        Depth of field, as in :class:`~spikecheck.synthetic.compose.focus.Focus`.
    vignette
        Share of the light that the corners lose.
    shot, read
        Noise: variance per unit of light, and standard deviation at black.
    colour_blur
        How far colour is smeared against brightness, px.
    denoise
        0..1: how much noise reduction smears detail.
    sharpening, sharpening_px
        Unsharp mask.
    contrast, saturation
        Of the tone curve.
    jpeg_quality
        70-95.
    """

    family: str
    exposure: float
    gains: tuple[float, float, float]
    blur_px: float
    smear_px: float
    smear_angle: float
    blur_per_mm: float
    vignette: float
    shot: float
    read: float
    colour_blur: float
    denoise: float
    sharpening: float
    sharpening_px: float
    contrast: float
    saturation: float
    jpeg_quality: int


def draw_phone(
    rng: Rng, px_per_mm: float, problem: QualityProblem | None, family: str | None = None
) -> Phone:
    """Return a phone at random; faults are measured on the spike, so that the scale counts."""
    name = family or str(rng.choice(CAMERAS))
    blur = float(rng.uniform(*_BLUR_PX[name]))
    exposure = float(np.exp(rng.uniform(*np.log(_EXPOSED))))
    noisy = name == "noisy"
    shot, read = _draw_noise(rng, noisy=noisy)
    smear, tail = 0.0, float(rng.random())
    if problem is QualityProblem.DEFOCUS:
        blur = float(rng.uniform(*_DEFOCUS_MM)) * px_per_mm
    elif problem is QualityProblem.MOTION:
        smear = float(rng.uniform(*_SMEAR_MM)) * px_per_mm
    elif problem is QualityProblem.DARK:
        exposure, shot, read = float(rng.uniform(*_DARK)), shot * 1.5, read * 1.5
    elif problem is QualityProblem.OVEREXPOSED:
        exposure = float(rng.uniform(*_BURNT))
    elif problem is not QualityProblem.TOO_SMALL:
        blur = min(blur, _BLUR_MM * px_per_mm)
    sharp = {"sharpened": (0.9, 2.2), "soft": (0.0, 0.3)}.get(name, (0.15, 0.9))
    return Phone(
        family=name, exposure=exposure, gains=_draw_gains(rng), blur_px=blur, smear_px=smear,
        smear_angle=float(rng.uniform(0, np.pi)),
        blur_per_mm=float(rng.uniform(*(_SHALLOW if name == "shallow" else _DEEP))),
        vignette=float(rng.uniform(0, 0.3)) * (tail < 0.7),  # noqa: PLR2004  (share)
        shot=shot, read=read, colour_blur=float(rng.uniform(0.4, 1.6)),
        denoise=float(rng.uniform(0.4, 1.0)) if noisy or chance(rng, 0.25) else 0.0,
        sharpening=float(rng.uniform(*sharp)), sharpening_px=float(rng.uniform(0.9, 2.2)),
        contrast=float(rng.uniform(0.92, 1.3)), saturation=float(rng.uniform(0.82, 1.3)),
        jpeg_quality=int(rng.integers(70, 96)),
    )  # fmt: skip


def without_errors(phone: Phone) -> Phone:
    """Return a phone that meters and balances right and adds nothing of its own."""
    return replace(
        phone, exposure=1.0, gains=(1.0, 1.0, 1.0), blur_px=0.0, smear_px=0.0, blur_per_mm=0.0,
        vignette=0.0, shot=0.0, read=0.0, colour_blur=0.0, denoise=0.0, sharpening=0.0,
        contrast=1.0, saturation=1.0, jpeg_quality=95,
    )  # fmt: skip


def _draw_noise(rng: Rng, *, noisy: bool) -> tuple[float, float]:
    if noisy:
        return float(rng.uniform(0.0004, 0.0015)), float(rng.uniform(0.002, 0.006))
    return float(rng.uniform(0.00003, 0.0003)), float(rng.uniform(0.0004, 0.002))


def _draw_gains(rng: Rng) -> tuple[float, float, float]:
    """Return the white-balance error: warm to cold, now and then a strong one."""
    spread = 0.09 if chance(rng, 0.12) else 0.04
    warm, tint = float(rng.normal(0, spread)), float(rng.normal(0, spread * 0.35))
    return float(np.exp(warm - tint / 2)), float(np.exp(tint)), float(np.exp(-warm - tint / 2))
