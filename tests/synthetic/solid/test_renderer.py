"""Renders small scenes of known geometry, where the path tracer is there."""

import numpy as np
import pytest

from spikecheck.errors import RenderError
from spikecheck.synthetic.solid import engine as engines
from spikecheck.synthetic.solid import sky
from spikecheck.synthetic.solid.colour_pass import draw_roughness, render_colour
from spikecheck.synthetic.solid.id_pass import look, whole_pixels
from spikecheck.synthetic.solid.layer_file import load_layers, save_layers
from spikecheck.synthetic.solid.light import Light
from spikecheck.synthetic.solid.part import Material, OrganKind, Part
from spikecheck.synthetic.solid.renderer import render_layers
from spikecheck.synthetic.solid.view import View

pytest.importorskip("mitsuba", reason="the extra `render` is not installed")

VIEW = View(distance_mm=200, centre_mm=(0.0, 0.0), px_per_mm=10, height_px=60, width_px=80)


@pytest.fixture(scope="module")
def engine():
    try:
        return engines.start()
    except RenderError as error:
        pytest.skip(str(error))


def plate(left, right, low, high, *, y=0.0, organ=1, material=Material.MATT, grey=0.5) -> Part:
    """An upright rectangle that faces the camera at depth y."""
    corners = np.array(
        [[left, y, low], [right, y, low], [right, y, high], [left, y, high]], np.float32
    )
    faces = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    return Part("plate", corners, faces, np.full((4, 3), grey, np.float32), material, organ)


def even_light(level: float = 1.0) -> Light:
    return Light("overcast", "field", np.full((sky.HEIGHT, sky.WIDTH, 3), level, np.float32))


def colour_of(engine, parts, light, samples=64):
    touched = np.ones((VIEW.height_px, VIEW.width_px), bool)
    roughness = draw_roughness(np.random.default_rng(0))
    return render_colour(
        engine, parts, light, VIEW, touched=touched, roughness=roughness, samples=samples, seed=1
    )


def test_the_front_most_organ_shows_and_what_it_hides_is_counted(engine):
    back = plate(-2, 2, -2, 2, organ=3)
    front = plate(0, 3, -2, 2, y=-1.0, organ=8)  # hides half of it, and 1 % more by perspective
    seen = look(engine, [back, front], VIEW)
    assert set(np.unique(seen.organ)) == {0, 3, 8}
    visible = int((seen.organ == 3).sum())
    assert visible == pytest.approx(2 * 4 * 100, rel=0.04)
    whole = whole_pixels(engine, [back, front], VIEW)
    assert whole[3] == pytest.approx(4 * 4 * 100, rel=0.04)
    assert whole[8] == int((seen.organ == 8).sum())
    assert visible / whole[3] == pytest.approx(0.5, abs=0.03)


def test_depth_is_measured_towards_the_camera(engine):
    seen = look(engine, [plate(-2, 2, -2, 2, y=-1.5, organ=3)], VIEW)
    assert seen.depth_mm[seen.organ == 3] == pytest.approx(1.5, abs=1e-3)
    assert not seen.depth_mm[seen.organ == 0].any()


def test_what_is_outside_the_picture_is_not_seen(engine):
    away = [plate(40, 42, -2, 2, organ=3)]
    assert not look(engine, away, VIEW).organ.any()
    assert whole_pixels(engine, away, VIEW) == {3: 0}


def test_left_and_up_are_where_they_belong(engine):
    seen = look(engine, [plate(-3.5, -2.5, 1.5, 2.5, organ=2)], VIEW)
    rows, columns = np.nonzero(seen.organ)
    # 1 mm is 10 px; the middle of the picture is at row 29.5, column 39.5.
    assert rows.mean() == pytest.approx(9.5, abs=0.6)
    assert columns.mean() == pytest.approx(9.5, abs=0.6)


def test_a_matt_grey_plate_in_even_light_shines_with_its_reflectance(engine):
    radiance, cover = colour_of(engine, [plate(-2, 2, -2, 2, grey=0.5)], even_light(2.0))
    middle = radiance[25:35, 30:50]
    # A Lambert surface under radiance L shines with reflectance x L; the plug-in adds a faint
    # gloss and, seen straight on, takes a little away.
    assert middle.mean() == pytest.approx(0.5 * 2.0, rel=0.1)
    assert cover[25:35, 30:50] == pytest.approx(1)
    assert not radiance[:, :5].any()
    assert not cover[:, :5].any()


def test_a_lamp_to_the_right_lights_the_right_side(engine):
    lamp = 50 * sky.disc(sky.toward(80, 0), 10, 1)[..., None] * np.ones(3, np.float32)
    left = plate(-3, 0, -2, 2)
    left = Part(
        "left",
        left.vertices + np.array([0, -1, 0]) * (left.vertices[:, :1] + 3) / 1.5,
        left.faces,
        left.colours,
        left.material,
        1,
    )  # fmt: skip  (its right edge stands nearer: it faces left)
    right = Part(
        "right", left.vertices * np.array([-1, 1, 1], np.float32), left.faces[:, ::-1],
        left.colours, left.material, 2,
    )  # fmt: skip
    radiance, _ = colour_of(engine, [left, right], Light("led", "bench", lamp.astype(np.float32)))
    assert radiance[20:40, 45:65].mean() > 5 * radiance[20:40, 15:35].mean()


def test_thin_tissue_lets_light_through_and_a_stem_does_not(engine):
    behind = sky.disc(sky.toward(180, 0), 20, 1)[..., None] * np.full(3, 10, np.float32)
    light = Light("sun", "field", behind.astype(np.float32))
    shines = {
        material: colour_of(engine, [plate(-2, 2, -2, 2, material=material)], light)[0][
            25:35, 30:50
        ].mean()
        for material in (Material.LEAF, Material.STEM)
    }
    assert shines[Material.LEAF] > 0.05
    assert shines[Material.STEM] < 0.01


def test_a_spike_is_rendered_with_its_truth(engine, tmp_path):
    layers = render_layers(31, state="anthesis", long_side_px=160, samples=4)
    record = layers.record
    assert record.state == "anthesis"
    assert {"plant", "pose", "light", "surround", "prop"} <= set(record.families)
    assert len(record.florets) > 4
    kinds = {organ.index: organ.kind for organ in record.organs}
    assert set(np.unique(layers.organ)) - {0} <= set(kinds)
    assert layers.alpha[layers.organ > 0].mean() > 200
    counts = np.bincount(layers.organ.ravel(), minlength=max(kinds) + 1)
    for anther in record.anthers:
        assert kinds[anther.organ] is OrganKind.ANTHER
        assert counts[anther.organ] == anther.visible_px <= anther.whole_px
    base, tip = record.axis[0], record.axis[-1]
    assert base.row > tip.row  # the tip is up
    assert load_layers(save_layers(layers, tmp_path, "a")).record.seed == 31


def test_the_same_seed_gives_the_same_ids(engine):
    first, second = (render_layers(7, long_side_px=90, samples=1) for _ in range(2))
    assert np.array_equal(first.organ, second.organ)
    assert first.record == second.record


def test_an_unknown_variant_is_refused():
    with pytest.raises(RenderError, match="scalar_of_nothing"):
        engines.start("scalar_of_nothing")
