"""Photos of printed tags, made up: a pinhole camera, light, dirt, folds, cover; exact truth.

A tag is rasterised from the PDF that is printed, disturbed on the tag itself, seen through a camera
and put into a picture.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np

from spikecheck.vocabulary.tag_layout import (
    QR,
    QR_MODULE_MM,
    QR_QUIET_MODULES,
    QR_SIDE_MM,
    TAG_HEIGHT_MM,
    TAG_WIDTH_MM,
)
from tests.tags.rendered import cross_tag, tag_pixels

DEMO = Path(__file__).resolve().parents[2] / "synthetic_images" / "demo"
PRINT_PX_PER_MM = 20
_PAPER = 0.86  # linear reflectance of paper under the scene's light
_SYMBOL_MM = np.array([(QR.left + QR.right) / 2, (QR.top + QR.bottom) / 2])


@dataclass(frozen=True)
class Scene:
    """What the tag is put through; everything random comes from ``seed``."""

    seed: int = 0
    px_per_mm: float = 8.0
    rows: int = 1280
    columns: int = 960
    focal_share: float = 0.75  # focal length, share of the longer side: a phone's main camera
    turned_deg: float | None = None  # in the picture; any when None
    tilt_most_deg: float = 40.0
    tilt_deg: float | None = None
    centred: float = 0.25  # the tag's middle lies within this share of the picture's size of its
    blur_mm: float = 0.0  # standard deviation
    noise: float = 1.5  # standard deviation, sRGB codes
    cast: tuple[float, float, float] = (1.0, 1.0, 1.0)  # factors on linear light
    uneven: float = 1.0  # light at one end of the tag over light at the other
    dirt: int = 0  # blobs
    creases: int = 0
    covered_share: float = 0.0  # of the tag's length, from the right
    symbol_covered_share: float = 0.0  # of the symbol's area, one square
    jpeg_quality: int = 92
    demo: str | None = None  # background


@dataclass(frozen=True)
class Truth:
    """What is known of the tag in a made-up photo."""

    code: str
    px_per_mm: float
    corners: np.ndarray  # of the tag, (row, column)


@cache
def printed(seed: int) -> np.ndarray:
    """The print of tag ``seed``, linear reflectance in [0, 1], rows, columns."""
    codes = tag_pixels(cross_tag(seed), px_per_mm=PRINT_PX_PER_MM) / 255.0
    linear = np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)
    return (0.03 + (_PAPER - 0.03) * linear).astype(np.float32)


def photo_of_tag(scene: Scene) -> tuple[np.ndarray, Truth]:
    """One photo, uint8 RGB, and the truth."""
    return with_tag(background(scene), scene)


def background(scene: Scene) -> np.ndarray:
    """A demo photo brought to size, or soft clutter; uint8 RGB."""
    if scene.demo is not None:
        read = cv2.imread(str(DEMO / scene.demo))
        assert read is not None
        return cv2.cvtColor(cv2.resize(read, (scene.columns, scene.rows)), cv2.COLOR_BGR2RGB)
    random = np.random.default_rng([scene.seed, 1])
    small = random.uniform(30, 150, (12, 9, 3)).astype(np.float32)
    fine = random.normal(0, 18, (scene.rows // 4, scene.columns // 4, 1)).astype(np.float32)
    size = (scene.columns, scene.rows)
    large = cv2.resize(small, size, interpolation=cv2.INTER_CUBIC)
    large += cv2.resize(fine, size, interpolation=cv2.INTER_LINEAR)[..., None]
    return np.clip(large, 0, 255).astype(np.uint8)


def with_tag(under: np.ndarray, scene: Scene) -> tuple[np.ndarray, Truth]:
    """Put the tag of ``scene.seed`` over ``under``; blur, noise and JPEG take the whole photo."""
    random = np.random.default_rng([scene.seed, 2])
    flat = _disturbed(printed(scene.seed % 7 + 1), scene, random)
    homography, truth_scale = _camera(under.shape, scene, random)
    corners = np.array([(0, 0), (TAG_WIDTH_MM, 0), (TAG_WIDTH_MM, TAG_HEIGHT_MM),
                        (0, TAG_HEIGHT_MM)], np.float64)  # fmt: skip
    places = cv2.perspectiveTransform(corners[None], homography)[0]
    linear = linear_of(under)
    _paste(linear, flat, homography, places)
    photo = taken(linear, scene, random)
    code = cross_tag(scene.seed % 7 + 1).code
    return photo, Truth(code, truth_scale, places[:, ::-1])


def _camera(shape, scene: Scene, random) -> tuple[np.ndarray, float]:
    """A view of the tag in which its symbol with the quiet zone is in the photo."""
    quiet = QR_QUIET_MODULES * QR_MODULE_MM
    low, high = _SYMBOL_MM - QR_SIDE_MM / 2 - quiet, _SYMBOL_MM + QR_SIDE_MM / 2 + quiet
    corners = np.array([(low[0], low[1]), (high[0], low[1]), tuple(high), (low[0], high[1])])
    for _ in range(200):
        homography, scale = _view(shape, scene, random)
        places = cv2.perspectiveTransform(corners[None], homography)[0]
        if places.min() >= 0 and (places.max(axis=0) < shape[1::-1]).all():
            return homography, scale
    raise AssertionError("the symbol does not fit into this scene")


def _view(shape, scene: Scene, random) -> tuple[np.ndarray, float]:
    """Homography from mm on the tag, (x, y), to (x, y) px, and f/Z at the symbol's middle."""
    rows, columns = shape[:2]
    focal = scene.focal_share * max(rows, columns)
    turned = random.uniform(0, 360) if scene.turned_deg is None else scene.turned_deg
    drawn = random.uniform(0, scene.tilt_most_deg)
    tilt = np.deg2rad(drawn if scene.tilt_deg is None else scene.tilt_deg)
    axis = random.uniform(0, 2 * np.pi)
    tilted, _ = cv2.Rodrigues(np.array([np.cos(axis), np.sin(axis), 0.0]) * tilt)
    spun, _ = cv2.Rodrigues(np.array([0, 0, np.deg2rad(turned)]))
    rotation = tilted @ spun
    depth = focal / scene.px_per_mm
    reach = scene.centred * np.array([columns, rows])
    at = np.array([(columns - 1) / 2, (rows - 1) / 2]) + random.uniform(-reach, reach)
    principal = np.array([(columns - 1) / 2, (rows - 1) / 2])
    middle = np.append((at - principal) / focal * depth, depth)
    # The tag's middle lies there; the truth is the depth of the symbol's middle.
    to_middle = np.array([[1, 0, -TAG_WIDTH_MM / 2], [0, 1, -TAG_HEIGHT_MM / 2], [0, 0, 1]])
    placed = np.column_stack([rotation[:, 0], rotation[:, 1], middle]) @ to_middle
    camera = np.array([[focal, 0, principal[0]], [0, focal, principal[1]], [0, 0, 1.0]])
    symbol = placed @ np.append(_SYMBOL_MM, 1.0)
    homography = camera @ placed
    return homography / homography[2, 2], float(focal / symbol[2])


def _disturbed(flat: np.ndarray, scene: Scene, random) -> np.ndarray:
    """Dirt, folds, cover and light on the tag; linear RGB, rows, columns, 3."""
    rows, columns = flat.shape
    tag = np.repeat(flat[..., None], 3, axis=2)
    y, x = np.mgrid[0:rows, 0:columns].astype(np.float32) / PRINT_PX_PER_MM
    for _ in range(scene.dirt):
        centre = random.uniform((0, 0), (TAG_WIDTH_MM, TAG_HEIGHT_MM)) * PRINT_PX_PER_MM
        axes = random.uniform(0.5, 2.2, 2) * PRINT_PX_PER_MM
        blob = np.zeros((rows, columns), np.uint8)
        cv2.ellipse(blob, (tuple(centre), tuple(2 * axes), 0.0), 1, -1)
        earth = np.array([0.12, 0.07, 0.03]) * random.uniform(0.4, 1.6)
        strength = random.uniform(0.5, 1.0)
        inside = blob > 0
        tag[inside] = tag[inside] * (1 - strength) + earth * strength
    if scene.symbol_covered_share:
        side = np.sqrt(scene.symbol_covered_share) * QR_SIDE_MM
        # Not over a finder pattern: what hides one hides the symbol. Anywhere else.
        free = 7 * 0.8
        left = QR.left + random.uniform(free, QR_SIDE_MM - side)
        top = QR.top + random.uniform(free, QR_SIDE_MM - side)
        tag[(x >= left) & (x < left + side) & (y >= top) & (y < top + side)] = (0.2, 0.3, 0.08)
    if scene.covered_share:
        tag[x > TAG_WIDTH_MM * (1 - scene.covered_share)] = (0.2, 0.3, 0.08)
    for _ in range(scene.creases):
        tag = _creased(tag, x, y, random)
    if scene.uneven != 1:
        angle = random.uniform(0, 2 * np.pi)
        along = (x - TAG_WIDTH_MM / 2) * np.cos(angle) + (y - TAG_HEIGHT_MM / 2) * np.sin(angle)
        share = np.clip(along / TAG_WIDTH_MM + 0.5, 0, 1)
        tag = tag * (scene.uneven ** (share - 1))[..., None]
    return tag.astype(np.float32)


def _creased(tag: np.ndarray, x, y, random) -> np.ndarray:
    """A fold across the tag: the print moves towards it by up to 0.4 mm, one flank is darker."""
    angle = random.uniform(-0.5, 0.5)
    at = random.uniform(0.15, 0.95) * TAG_WIDTH_MM
    distance = (x - at) * np.cos(angle) + (y - TAG_HEIGHT_MM / 2) * np.sin(angle)
    pull = random.uniform(0.15, 0.4) * np.exp(-np.abs(distance) / 4.0) * np.sign(distance)
    from_x = (x + pull * np.cos(angle)) * PRINT_PX_PER_MM
    from_y = (y + pull * np.sin(angle)) * PRINT_PX_PER_MM
    moved = cv2.remap(
        tag, from_x.astype(np.float32), from_y.astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    shade = 1 + random.uniform(-0.45, 0.2) * np.exp(-((distance - 1.0) ** 2) / 2.0)
    line = 1 - 0.5 * np.exp(-(distance**2) / (2 * 0.15**2))
    return moved * (shade * line)[..., None]


def linear_of(pixels: np.ndarray) -> np.ndarray:
    """Linear light, float32 in [0, 1], of sRGB codes."""
    codes = np.arange(256, dtype=np.float32) / 255
    linear = np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)
    return cv2.LUT(pixels, np.repeat(linear.astype(np.float32)[None, :, None], 3, axis=2))


_ROOTS = np.linspace(0, 1, 4096) ** 2  # evenly spaced in the square root, near the eye's steps
_CODES = np.where(
    _ROOTS <= 0.0031308, _ROOTS * 12.92, 1.055 * _ROOTS ** (1 / 2.4) - 0.055
).astype(np.float32) * 255  # fmt: skip


def _paste(linear: np.ndarray, flat: np.ndarray, homography: np.ndarray, places) -> None:
    """Draw at twice the size and average, so that nothing is aliased; in place."""
    rows, columns = linear.shape[:2]
    low = np.clip(np.floor(places.min(axis=0)) - 2, 0, (columns - 1, rows - 1)).astype(int)
    high = np.clip(np.ceil(places.max(axis=0)) + 3, 1, (columns, rows)).astype(int)
    if (high <= low).any():
        return
    size = high - low
    # Print px to mm, mm to px, px to the finer part's px; whole numbers are pixel centres.
    to_mm = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, PRINT_PX_PER_MM]]) / PRINT_PX_PER_MM
    finer = 2
    to_part = np.array([[finer, 0, finer * (0.5 - low[0]) - 0.5],
                        [0, finer, finer * (0.5 - low[1]) - 0.5], [0, 0, 1.0]])  # fmt: skip
    mm_px = float(np.sqrt(abs(np.linalg.det((to_part @ homography)[:2, :2]))))
    soft = max(PRINT_PX_PER_MM / mm_px / 2.5, 0.3)
    whole = np.dstack([cv2.GaussianBlur(flat, (0, 0), soft), np.ones(flat.shape[:2], np.float32)])
    warped = cv2.warpPerspective(
        whole, to_part @ homography @ to_mm, (int(size[0]) * finer, int(size[1]) * finer),
        flags=cv2.INTER_LINEAR, borderValue=(0, 0, 0, 0),
    )  # fmt: skip
    warped = cv2.resize(warped, (int(size[0]), int(size[1])), interpolation=cv2.INTER_AREA)
    part = linear[low[1] : high[1], low[0] : high[0]]
    part *= 1 - warped[..., 3:]
    part += warped[..., :3]


def taken(linear: np.ndarray, scene: Scene, random) -> np.ndarray:
    """Light, blur, noise, 8 bits, JPEG."""
    lit = linear * np.array(scene.cast, np.float32)
    if scene.blur_mm:
        lit = cv2.GaussianBlur(lit, (0, 0), scene.blur_mm * scene.px_per_mm)
    codes = _CODES[np.rint(np.sqrt(np.clip(lit, 0, 1)) * 4095).astype(np.int16)]
    codes = codes + scene.noise * random.standard_normal(codes.shape, np.float32)
    photo = np.clip(np.rint(codes), 0, 255).astype(np.uint8)
    options = [cv2.IMWRITE_JPEG_QUALITY, scene.jpeg_quality]
    _, data = cv2.imencode(".jpg", cv2.cvtColor(photo, cv2.COLOR_RGB2BGR), options)
    return cv2.cvtColor(cv2.imdecode(data, cv2.IMREAD_COLOR), cv2.COLOR_BGR2RGB)


def scene_of(seed: int, **kind) -> Scene:
    """A scene of one seed."""
    return replace(Scene(), seed=seed, **kind)
