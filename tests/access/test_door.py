"""Signing in: right and wrong passwords, waiting, sign-ins that end."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.access.door import Door
from spikecheck.access.passwords import Passwords
from spikecheck.access.roles import Person, Role
from spikecheck.access.sign_ins import SignIns
from spikecheck.access.throttle import Throttle
from spikecheck.errors import AccessError
from tests.access.conftest import SHORT_PASSWORD
from tests.passwords import NEW_PASSWORD, PASSWORD

INES, HERS = "Ines Duarte", PASSWORD


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def door(file, quick, clock):
    return Door(
        file, quick,
        sign_ins=SignIns(
            longest_s=quick.signed_in_s, ticket_s=quick.ticket_s, clock=clock
        ),
        throttle=Throttle(quick, clock=clock),
    )  # fmt: skip


def refusal(door, name, password):
    with pytest.raises(AccessError) as told:
        door.sign_in(name, password)
    return str(told.value)


def test_the_right_password_lets_in(door):
    token = door.sign_in("ines duarte", HERS)
    assert door.person(token) == Person(INES, Role.SUPERVISOR, signed_in=True)
    assert len(token) >= 43  # 256 bits in base 64


@pytest.mark.parametrize("token", ["", "x", "\ud800", "a" * 10_000])
def test_no_other_token_lets_in(door, token):
    door.sign_in(INES, HERS)
    assert door.person(token) is None


def test_a_refusal_does_not_tell_whether_the_name_exists(door):
    told = {
        refusal(door, INES, "wrong one"),
        refusal(door, "Nobody", "wrong one"),
        refusal(door, "Juna", "wrong one"),  # who has an identity, no password
        refusal(door, "Juna", ""),
        refusal(door, "", ""),
        refusal(door, "\ud800" * 500, "\ud800"),
    }
    (line,) = told
    assert line.startswith("name and password do not belong together. Try again, or ask")


def test_guessing_gets_slow_for_one_name_and_nobody_else(door, clock, quick):
    """Waiting that grows from 30 s up to an hour: NIST SP 800-63B (2017), 5.2.2, from memory."""
    for _ in range(quick.failures_free):
        assert "belong together" in refusal(door, INES, "wrong one")
    assert "Wait 1 minute, then" in refusal(door, "INES duarte", HERS)
    assert door.sign_in("Tomás", SHORT_PASSWORD)
    waits = []
    for _ in range(9):
        before = clock.now
        while "too many" in refusal(door, INES, "wrong one"):
            clock.now += 30
        waits.append(clock.now - before)
    assert waits == [30, 60, 120, 240, 480, 960, 1920, 3600, 3600]
    assert "Wait 60 minutes" in refusal(door, INES, HERS)
    clock.now += 3600
    assert door.sign_in(INES, HERS)
    assert "belong together" in refusal(door, INES, "wrong one")  # begins anew


def test_names_nobody_has_are_slowed_alike(door, quick):
    for _ in range(quick.failures_free):
        refusal(door, "Nobody", "wrong one")
    assert "too many" in refusal(door, "Nobody", "wrong one")


def test_one_password_tried_on_many_names_is_stopped(door, clock, quick):
    for number in range(quick.failures_everywhere):
        assert "belong together" in refusal(door, f"N{number}", "summer wheat")
    assert "Wait 5 minutes" in refusal(door, INES, HERS)
    clock.now += quick.failures_everywhere_s
    assert door.sign_in(INES, HERS)


def test_tries_that_come_together_are_counted(door, quick):
    told = []
    tries = [threading.Thread(target=lambda: told.append(refusal(door, INES, "wrong one")))
             for _ in range(20)]  # fmt: skip
    for one in tries:
        one.start()
    for one in tries:
        one.join()
    assert sum("belong together" in line for line in told) == quick.failures_free


@given(failures=st.integers(0, 200))
def test_waiting_only_grows(quick, failures):
    waits = [Throttle(quick)._wait_s(number) for number in (failures, failures + 1)]
    assert 0 <= waits[0] <= waits[1] <= quick.wait_longest_s


def test_the_throttle_forgets(quick, clock):
    throttle = Throttle(quick, clock=clock)
    for number in range(30):
        throttle.count(f"N{number}", right=False)
    clock.now += quick.failures_remembered_s + 1
    throttle.refuse_early("N1")
    assert not throttle._in_a_row
    assert not throttle._everywhere


def test_a_sign_in_ends_by_itself(door, clock, quick):
    token = door.sign_in(INES, HERS)
    clock.now += quick.signed_in_s - 1
    assert door.person(token) is not None
    clock.now += 1
    assert door.person(token) is None


def test_signing_out_ends_that_sign_in_alone(door):
    one, other = door.sign_in(INES, HERS), door.sign_in(INES, HERS)
    assert one != other
    door.sign_ins.end(one)
    assert door.person(one) is None
    assert door.person(other) is not None


def test_a_lowered_role_counts_at_once(door, file):
    token = door.sign_in("Tomás", SHORT_PASSWORD)
    tomas = file.read().member("Tomás")
    file.change(lambda now: now.with_changed("Tomás", replace(tomas, role=Role.TECHNICIAN)))
    assert door.person(token).role is Role.TECHNICIAN


def test_who_is_taken_out_is_out_also_when_added_again(door, file, quick):
    token = door.sign_in("Tomás", SHORT_PASSWORD)
    tomas = file.read().member("Tomás")
    file.change(lambda now: now.without("Tomás"))
    assert door.person(token) is None
    assert "belong together" in refusal(door, "Tomás", SHORT_PASSWORD)
    anew = replace(tomas, password=Passwords(quick).renewed(SHORT_PASSWORD))
    file.change(lambda now: now.with_added(anew))
    assert door.person(token) is None


def test_a_new_password_ends_older_sign_ins(door, file, quick):
    token = door.sign_in("Tomás", SHORT_PASSWORD)
    anew = replace(file.read().member("Tomás"),
                   password=Passwords(quick).hashed(NEW_PASSWORD, name=""))  # fmt: skip
    file.change(lambda now: now.with_changed("Tomás", anew))
    assert door.person(token) is None
    assert door.sign_in("Tomás", NEW_PASSWORD)


def test_a_password_of_the_time_of_shorter_ones_lets_in_and_is_hashed_anew(file, quick, clock):
    raised = replace(quick, passes=2)
    assert len(SHORT_PASSWORD) < raised.password_length_least
    door = Door(file, raised, throttle=Throttle(raised, clock=clock))
    assert door.person(door.sign_in("Tomás", SHORT_PASSWORD)) is not None
    assert "t=2" in file.read().member("Tomás").password
    assert door.sign_in("Tomás", SHORT_PASSWORD)


def test_parameters_that_rise_are_taken_over_at_sign_in(file, quick, clock):
    raised = replace(quick, passes=2)
    door = Door(file, raised, throttle=Throttle(raised, clock=clock))
    before = file.read().member(INES).password
    token = door.sign_in(INES, HERS)
    after = file.read().member(INES).password
    assert "t=1" in before
    assert "t=2" in after
    assert door.person(token) is not None
    assert door.sign_in(INES, HERS)
    assert file.read().member(INES).password == after


def test_a_file_that_cannot_be_written_lets_in_all_the_same(file, quick, monkeypatch):
    door = Door(file, replace(quick, passes=2))
    monkeypatch.setattr(
        "spikecheck.access.people_file.try_lock", lambda _: pytest.fail("not reached")
    )
    monkeypatch.setattr("os.open", lambda *_: (_ for _ in ()).throw(OSError(30, "Read-only")))
    assert door.person(door.sign_in(INES, HERS)) is not None


def test_a_damaged_file_lets_nobody_in(door, file):
    token = door.sign_in(INES, HERS)
    file.path.write_text("{", encoding="utf-8")
    assert "damaged" in refusal(door, INES, HERS)
    with pytest.raises(AccessError, match="damaged"):
        door.person(token)


def test_an_identity_is_looked_up(door):
    claims = {
        "iss": "https://people.example", "email": "juna@example.org", "email_verified": True,
        "iat": time.time(),
    }  # fmt: skip
    assert door.identified(claims) == Person("Juna", Role.TECHNICIAN, signed_in=True)
    assert door.identified({**claims, "email": "other@example.org"}) is None


def test_an_identity_has_to_be_proved_again_after_a_day(door, quick):
    """The claim iat: OpenID Connect Core 1.0, section 2."""
    claims = {"iss": "https://people.example", "email": "juna@example.org", "email_verified": True}
    assert door.identified({**claims, "iat": time.time() - quick.signed_in_s + 60}) is not None
    for issued in (time.time() - quick.signed_in_s, None, "now"):
        assert door.identified({**claims, "iat": issued}) is None
        assert door.is_old({"iat": issued})


def test_a_ticket_is_good_once_and_for_a_minute(door, clock, quick):
    token = door.sign_in(INES, HERS)
    ticket = door.sign_ins.ticket(token)
    assert ticket != token
    assert door.sign_ins.redeem(ticket) == (token, quick.signed_in_s)
    assert door.sign_ins.redeem(ticket) is None
    late = door.sign_ins.ticket(token)
    clock.now += 61
    assert door.sign_ins.redeem(late) is None
    assert door.sign_ins.redeem("") is None


def test_one_ticket_lets_one_browser_in_however_many_ask_together(door):
    ticket = door.sign_ins.ticket(door.sign_in(INES, HERS))
    with ThreadPoolExecutor(8) as pool:
        redeemed = list(pool.map(lambda _n: door.sign_ins.redeem(ticket), range(64)))
    assert sum(one is not None for one in redeemed) == 1


def test_people_who_come_and_go_together_stay_apart(door):
    """Each token is its own person's for as long as it counts, whatever the others do."""

    def visit(number: int) -> bool:
        name = f"N{number}"
        token = door.sign_ins.begin(name, "")
        mine = all(door.sign_ins.of(token).name == name for _ in range(50))
        door.sign_ins.end(token)
        return mine and door.sign_ins.of(token) is None

    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(visit, range(64)))


def test_a_ticket_of_an_ended_sign_in_is_good_for_nothing(door):
    token = door.sign_in(INES, HERS)
    ticket = door.sign_ins.ticket(token)
    door.sign_ins.end(token)
    assert door.sign_ins.redeem(ticket) is None
