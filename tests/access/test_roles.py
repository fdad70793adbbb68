"""Roles and what each allows."""

from __future__ import annotations

import pytest

from spikecheck.access import Action, Person, Role, may, require
from spikecheck.access.roles import ALLOWED, ROLE_WORDS
from spikecheck.errors import AccessError


def test_every_role_has_its_actions_and_a_word():
    assert set(ALLOWED) == set(ROLE_WORDS) == set(Role)


def test_a_higher_role_may_do_all_that_a_lower_one_may():
    assert ALLOWED[Role.TRAINEE] < ALLOWED[Role.TECHNICIAN] < ALLOWED[Role.SUPERVISOR]
    assert ALLOWED[Role.SUPERVISOR] == set(Action)


def test_a_trainee_touches_no_record():
    assert ALLOWED[Role.TRAINEE] == {Action.READ_CAUTIONS, Action.PRACTISE}


@pytest.mark.parametrize("action", [Action.AUDIT, Action.SEE_PRACTICE_OF_OTHERS])
def test_a_technician_does_not_look_at_others(action):
    assert not may(Role.TECHNICIAN, action)


def test_a_refusal_says_who_and_what_to_do():
    with pytest.raises(AccessError, match=r"a trainee may not do this\. Ask a supervisor"):
        require(Person("Tomás", Role.TRAINEE, signed_in=True), Action.CHECK)
    require(Person("Juna", Role.TECHNICIAN, signed_in=True), Action.CHECK)
