"""Shapes of the networks, their room on disk, and that they start out calm."""

from __future__ import annotations

import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.network_florets import FloretsNetwork  # noqa: E402
from spikecheck.model_training.network_overview import OverviewNetwork  # noqa: E402
from spikecheck.networks.outputs import FLORET_CHANNELS, FloretMap  # noqa: E402

_MOST_BYTES = 16e6  # both networks together


@pytest.fixture(scope="module")
def florets():
    torch.manual_seed(0)
    return FloretsNetwork().eval()


@pytest.fixture(scope="module")
def overview():
    torch.manual_seed(0)
    return OverviewNetwork().eval()


@torch.no_grad()
def test_florets_maps_have_a_quarter_of_the_size(florets):
    for height, width in ((64, 96), (32, 32)):
        maps, strangeness = florets(torch.rand(2, 3, height, width))
        assert maps.shape == (2, FLORET_CHANNELS, height // 4, width // 4)
        assert strangeness.shape == (2, 1)


@torch.no_grad()
def test_the_overview_gives_maps_answers_and_strangeness(overview):
    maps, answers, strangeness = overview(torch.rand(1, 3, 512, 512))
    assert maps.shape == (1, 6, 128, 128)
    assert answers.shape == (1, 8)
    assert strangeness.shape == (1, 1)


def test_both_fit_into_their_room(florets, overview):
    numbers = sum(
        value.numel() for net in (florets, overview) for value in net.state_dict().values()
    )
    assert 4 * numbers < _MOST_BYTES


@torch.no_grad()
def test_at_first_hardly_anything_is_a_centre(florets):
    maps, _ = florets(torch.rand(1, 3, 96, 96))
    for heat in (FloretMap.ANTHER_HEAT, FloretMap.FLORET_HEAT):
        assert maps[:, heat].sigmoid().mean() < 0.05


def test_a_pixel_is_seen_far_around(florets):
    image = torch.rand(1, 3, 512, 512, requires_grad=True)
    florets(image)[0][0, 3, 64, 64].backward()
    seen = torch.nonzero(image.grad[0].abs().sum(dim=0) > 0)
    reach = seen.amax(dim=0) - seen.amin(dim=0)
    assert (reach >= 300).all()  # 15 mm at 20 px/mm: neighbouring florets
