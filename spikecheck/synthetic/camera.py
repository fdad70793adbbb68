"""A phone camera: lens blur, sensor noise, white balance, tone curve, sharpening."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import encoded
from spikecheck.vocabulary import QualityProblem

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes, Floats
    from spikecheck.synthetic.light import Light
_BALANCED = 0.8  # share of the light's tint, in stops, that white balance takes out
_LUMA = np.asarray((0.2126, 0.7152, 0.0722), np.float32)  # ITU-R BT.709


@dataclass(frozen=True, slots=True)
class Camera:
    """How the phone takes the picture.

    Parameters
    ----------
    exposure
        Factor on the linear light.
    gains
        White-balance error: factors on red, green and blue.
    blur_px
        Standard deviation of the lens blur, px.
    motion_px, motion_angle
        Length of the smear, px, and its direction, radians from the columns' direction.
    shot, read
        Noise: variance per unit signal, and standard deviation at black.
    sharpening
        Strength of the unsharp mask.
    contrast, saturation
        Of the tone curve; 1 leaves things as they are.
    """

    exposure: float
    gains: tuple[float, float, float]
    blur_px: float
    motion_px: float
    motion_angle: float
    shot: float
    read: float
    sharpening: float
    contrast: float
    saturation: float


def draw_camera(
    rng: np.random.Generator, px_per_mm: float, light: Light, problem: QualityProblem | None
) -> Camera:
    """Return a camera at random.

    Parameters
    ----------
    rng
        Random stream.
    px_per_mm
        Scale, for faults that are measured on the spike.
    light
        The light the camera balances its white to, nearly.
    problem
        What is wrong with the picture, or None.
    """
    warm = float(rng.normal(0, 0.045))
    error = (1 + warm, 1.0, 1 - warm + float(rng.normal(0, 0.02)))
    red, green, blue = (k + s for k, s in zip(light.key, light.sky, strict=True))
    balance = ((green / red) ** _BALANCED, 1.0, (green / blue) ** _BALANCED)
    camera = Camera(
        exposure=float(rng.uniform(0.85, 1.15)),
        gains=(error[0] * balance[0], 1.0, error[2] * balance[2]),
        blur_px=float(rng.uniform(0.6, 0.95)), motion_px=0.0, motion_angle=0.0,
        shot=float(rng.uniform(0.00004, 0.0002)), read=float(rng.uniform(0.0006, 0.002)),
        sharpening=float(rng.uniform(0.3, 0.9)), contrast=float(rng.uniform(0.98, 1.22)),
        saturation=float(rng.uniform(0.95, 1.15)),
    )  # fmt: skip
    degree = rng.random()
    if problem is QualityProblem.DEFOCUS:
        # Blur circle 0.8-1.6 mm across: wider than an anther.
        return replace(camera, blur_px=(0.2 + 0.2 * degree) * px_per_mm)
    if problem is QualityProblem.MOTION:
        return replace(camera, motion_px=(0.9 + 1.1 * degree) * px_per_mm,
                       motion_angle=float(rng.uniform(0, np.pi)))  # fmt: skip
    if problem is QualityProblem.DARK:
        return replace(camera, exposure=0.05 + 0.06 * degree, read=0.004, shot=0.0004)
    if problem is QualityProblem.OVEREXPOSED:
        return replace(camera, exposure=4.5 + 3.5 * degree)
    return camera


def photograph(rng: np.random.Generator, scene: Floats, camera: Camera) -> Bytes:
    """Take a picture of a scene.

    Parameters
    ----------
    rng
        Random stream of the noise.
    scene
        float32 array of shape (H, W, 3): linear RGB.
    camera
        How.

    Returns
    -------
    uint8 array of shape (H, W, 3), sRGB.
    """
    light = scene * (np.float32(camera.exposure) * np.asarray(camera.gains, np.float32))
    if camera.motion_px > 0:
        light = cv2.filter2D(light, -1, _smear(camera.motion_px, camera.motion_angle))
    light = cv2.GaussianBlur(light, (0, 0), camera.blur_px)
    grain = rng.standard_normal(light.shape[:2], np.float32)
    tint = rng.standard_normal((light.shape[0] // 2 + 1, light.shape[1] // 2 + 1, 3), np.float32)
    # Demosaicing and noise reduction leave grain fine in brightness, coarse in colour.
    blotch = cv2.resize(tint, (light.shape[1], light.shape[0]), interpolation=cv2.INTER_LINEAR)
    deviation = np.sqrt(np.clip(light, 0, None) * camera.shot + camera.read**2)
    light += deviation * (grain[..., None] * np.float32(0.85) + blotch * np.float32(0.6))
    picture = encoded(_rolled_off(np.clip(light, 0, None)))
    return _developed(picture, camera)


def _rolled_off(light: Floats) -> Floats:
    """Return light with highlights bent below 1 instead of cut off."""
    knee = np.float32(0.75)
    over = np.clip(light - knee, 0, None)
    bent = over / (1 + over / (np.float32(1.02) - knee))
    return np.asarray(np.minimum(light, knee) + bent, np.float32)


def _developed(picture: Floats, camera: Camera) -> Bytes:
    """Apply contrast, saturation and sharpening; return 8 bit."""
    luma = picture @ _LUMA
    curved = np.float32(0.5) + (luma - 0.5) * np.float32(camera.contrast)
    curved += np.float32(0.05 * (camera.contrast - 1)) * np.sin(luma * np.float32(2 * np.pi))
    halo = cv2.GaussianBlur(curved, (0, 0), 1.4)
    curved += (curved - halo) * np.float32(camera.sharpening)
    colour = (picture - luma[..., None]) * np.float32(camera.saturation)
    return np.clip((curved[..., None] + colour) * 255 + 0.5, 0, 255).astype(np.uint8)


def _smear(length_px: float, angle: float) -> Floats:
    """Return the kernel of a straight movement during the exposure."""
    size = int(np.ceil(length_px)) | 1
    kernel = np.zeros((size, size), np.float32)
    middle = (size - 1) / 2
    dx, dy = np.cos(angle) * length_px / 2, np.sin(angle) * length_px / 2
    ends = [(round((middle + k * dx) * 16), round((middle + k * dy) * 16)) for k in (-1, 1)]
    cv2.line(kernel, ends[0], ends[1], 1.0, 1, cv2.LINE_AA, 4)
    return np.asarray(kernel / kernel.sum(), np.float32)
