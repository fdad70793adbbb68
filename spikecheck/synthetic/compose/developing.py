"""From light on the sensor to the bytes of the picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.synthetic.colour import encoded
from spikecheck.synthetic.compose.paint import blurred

if TYPE_CHECKING:
    from spikecheck.synthetic.arrays import Bytes, Floats
    from spikecheck.synthetic.compose.phone import Phone

_LUMA = np.asarray((0.2126, 0.7152, 0.0722), np.float32)  # ITU-R BT.709
_STEPS = 1 << 14
_TOP = 2.0  # light above this is white whatever the curve


def develop(rng: np.random.Generator, light: Floats, phone: Phone) -> Bytes:
    """Return the picture, uint8 sRGB, of linear light; ``light`` is used up.

    Parameters
    ----------
    rng
        Random stream of the noise.
    light
        float32 (H, W, 3): linear RGB, metered.
    phone
        How.
    """
    light *= np.asarray(phone.gains, np.float32) * np.float32(phone.exposure)
    if phone.vignette > 0:
        light *= _falling_off(light.shape[:2], phone.vignette)[..., None]
    if phone.smear_px > 1:
        kernel = _smear(phone.smear_px, phone.smear_angle)
        light = np.asarray(cv2.filter2D(light, -1, kernel), np.float32)
    light = blurred(light, phone.blur_px)
    _add_noise(rng, light, phone)
    picture = _toned(light, phone)
    return _finished(picture, phone)


def _falling_off(shape: tuple[int, ...], strength: float) -> Floats:
    """Return the light left at each pixel: cos^4-like towards the corners."""
    y = np.linspace(-1, 1, shape[0], dtype=np.float32)[:, None]
    x = np.linspace(-1, 1, shape[1], dtype=np.float32)[None, :]
    return np.asarray(1 - np.float32(strength / 2) * (x * x + y * y), np.float32)


def _smear(length_px: float, angle: float) -> Floats:
    """Return the kernel of a straight movement."""
    size = int(np.ceil(length_px)) | 1
    kernel = np.zeros((size, size), np.uint8)
    middle = (size - 1) / 2
    dx, dy = np.cos(angle) * length_px / 2, np.sin(angle) * length_px / 2
    ends = [(round((middle + k * dx) * 16), round((middle + k * dy) * 16)) for k in (-1, 1)]
    cv2.line(kernel, ends[0], ends[1], 255, 1, cv2.LINE_AA, 4)
    return np.asarray(kernel / kernel.sum(dtype=np.float64), np.float32)


def _add_noise(rng: np.random.Generator, light: Floats, phone: Phone) -> None:
    """Add shot and read noise: fine in brightness, coarser in colour, as after demosaicing."""
    height, width = light.shape[:2]
    fine = blurred(rng.standard_normal((height, width), np.float32), 0.5) * np.float32(1.3)
    half = rng.standard_normal((height // 2 + 1, width // 2 + 1, 3), np.float32)
    half *= np.float32(0.6)
    noise: Floats = np.asarray(
        cv2.resize(half, (width, height), interpolation=cv2.INTER_LINEAR), np.float32
    )
    noise += fine[..., None]
    deviation = light * np.float32(phone.shot)
    deviation += np.float32(phone.read**2)
    cv2.sqrt(np.maximum(deviation, 0, out=deviation), deviation)
    noise *= deviation
    light += noise


def _toned(light: Floats, phone: Phone) -> Floats:
    """Return the picture, 0..1, through the tone curve: soft highlights, sRGB, contrast."""
    steps = np.linspace(0, _TOP, _STEPS, dtype=np.float32)
    knee = np.float32(0.72)
    over = np.maximum(steps - knee, 0)
    bent = np.minimum(steps, knee) + over / (1 + over / np.float32(0.42))
    value = encoded(np.minimum(bent, 1))
    curve = np.float32(0.5) + (value - np.float32(0.5)) * np.float32(phone.contrast)
    curve += np.float32(0.05 * (phone.contrast - 1)) * np.sin(value * np.float32(2 * np.pi))
    light *= np.float32((_STEPS - 1) / _TOP)
    np.clip(light, 0, _STEPS - 1, out=light)
    return np.asarray(curve.astype(np.float32)[light.astype(np.uint16)], np.float32)


def _finished(picture: Floats, phone: Phone) -> Bytes:
    """Return 8 bit after colour smear, noise reduction, sharpening and saturation."""
    luma: Floats = np.asarray(cv2.transform(picture, _LUMA[None]), np.float32)
    colour: Floats = picture - luma[..., None]
    if phone.colour_blur > 0.5:  # noqa: PLR2004  (px)
        colour = _smeared(colour, phone.colour_blur)
    if phone.denoise > 0:
        rough = (np.clip(luma, 0, 1) * np.float32(255) + np.float32(0.5)).astype(np.uint8)
        smooth = cv2.medianBlur(rough, 5).astype(np.float32) / np.float32(255)
        flat = np.exp(-(((luma - smooth) / np.float32(0.06)) ** 2)) * np.float32(phone.denoise)
        luma += (smooth - luma) * flat
    if phone.sharpening > 0:
        halo = blurred(luma, phone.sharpening_px)
        luma += (luma - halo) * np.float32(phone.sharpening)
    colour *= np.float32(phone.saturation)
    colour += luma[..., None]
    colour *= np.float32(255)
    return np.asarray(cv2.convertScaleAbs(np.maximum(colour, 0, out=colour)), np.uint8)


def _smeared(colour: Floats, sigma_px: float) -> Floats:
    """Return colour differences blurred, computed at half size."""
    height, width = colour.shape[:2]
    half = cv2.resize(colour, (width // 2, height // 2), interpolation=cv2.INTER_AREA)
    half = cv2.GaussianBlur(half, (0, 0), sigma_px / 2)
    return np.asarray(cv2.resize(half, (width, height), interpolation=cv2.INTER_LINEAR))
