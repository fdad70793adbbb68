"""Contrast of two colours as WCAG 2.2 defines it, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio.

Opaque sRGB colours of 8 bit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


def luminance(srgb: Iterable[float]) -> float:
    """Relative luminance, 0..1."""
    red, green, blue = (
        share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
        for share in (value / 255 for value in srgb)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Iterable[float], other: Iterable[float]) -> float:
    """Contrast ratio, 1..21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
