"""Corner marks of anthers that touch are put together, those of other florets are not."""

from hypothesis import given
from hypothesis import strategies as st

from spikecheck.imaging.anther_marks import anther_marks, letters_of
from spikecheck.vocabulary import AntherStage, FloretStatus, JudgedFloret, Point
from tests.builders import anther, floret


def marks_of(*anthers):
    return anther_marks(anthers, lambda points: points)


def test_touching_anthers_of_one_floret_share_corners_and_letters():
    first = anther("L1", at=Point(100, 100))
    second = anther("L1", at=Point(110, 104), stage=AntherStage.YELLOW, near_anthesis=True)
    (mark,) = marks_of(first, second)
    assert mark.letters == ("G", "Y!")
    assert mark.top < first.box.top
    assert mark.bottom > second.box.bottom


def test_equal_letters_are_said_once():
    (mark,) = marks_of(anther("L1", at=Point(100, 100)), anther("L1", at=Point(104, 100)))
    assert mark.letters == ("G",)


def test_a_third_anther_joins_two_that_lay_apart():
    apart = [anther("L1", at=Point(100, 100)), anther("L1", at=Point(150, 100))]
    assert len(marks_of(*apart)) == 2
    assert len(marks_of(*apart, anther("L1", at=Point(125, 100)))) == 1


def test_anthers_of_two_florets_keep_their_own_corners():
    assert len(marks_of(anther("L1", at=Point(9, 9)), anther("L2", at=Point(9, 9)))) == 2


places = st.builds(Point, st.integers(0, 300), st.integers(0, 300))


@given(st.lists(places, max_size=12))
def test_no_two_marks_of_one_floret_meet_and_none_is_lost(found):
    marks = marks_of(*(anther("L1", at=place) for place in found))
    assert not any(a.touches(b) for a in marks for b in marks if a is not b)
    for place in found:
        assert any(m.top < place.row < m.bottom and m.left < place.column < m.right for m in marks)


def test_a_floret_says_the_letters_of_its_own_anthers():
    marks = [anther("L1"), anther("L1", broken=True), anther("L2", stage=AntherStage.DEHISCED)]
    judged = JudgedFloret(floret("L1"), FloretStatus.ANTHER, 0.9)
    assert letters_of(judged, marks) == ["G, Gb"]
    assert letters_of(JudgedFloret(floret("L1"), FloretStatus.CLEAR, 0.1), marks) == []
