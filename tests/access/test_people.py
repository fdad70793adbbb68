"""People: names in any script, roles, identities; always one supervisor."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.access.names import kept_name, name_key
from spikecheck.access.people import Identity, Member, People
from spikecheck.access.roles import Role
from spikecheck.errors import UsageError

ISSUER = "https://people.example"


@given(st.text(max_size=90))
def test_a_kept_name_stays_as_it_is(typed):
    try:
        name = kept_name(typed)
    except UsageError:
        return
    assert kept_name(name) == name
    assert name_key(name_key(name)) == name_key(name) == name_key(typed)


@pytest.mark.parametrize(
    "name", ["Ángel Nuñez", "Đặng", "Ἀρετή", "王小麦", "김보리", "آرش‌پور", "ਕਣਕ", "O'Hara-Ōno"]
)
def test_names_of_any_script_are_kept(name):
    assert kept_name(f" {name} ") == name


@pytest.mark.parametrize(
    ("typed", "why"),
    [("  ", "empty"), ("a" * 81, "80"), ("A\nB", "seen"), ("A\u202eB", "seen"), ("\u200d", "seen")],
)
def test_what_cannot_be_a_name_is_refused(typed, why):
    with pytest.raises(UsageError, match=why):
        kept_name(typed)


@pytest.mark.parametrize("typed", ["INES DUARTE", "ines  duarte", "\uff29nes Duar\uff54e"])
def test_capitals_width_and_space_make_no_other_person(people, typed):
    assert people.named(typed) is people.members[0]
    with pytest.raises(UsageError, match="is there already"):
        people.with_added(replace(people.members[0], name=kept_name(typed)))


def test_people_are_added_changed_and_taken_out(people):
    more = people.with_added(Member("Bo", Role.TECHNICIAN, "hash"))
    assert [one.name for one in more.members] == ["Ines Duarte", "Tomás", "Juna", "Bo"]
    raised = more.with_changed("bo", replace(more.member("Bo"), role=Role.SUPERVISOR))
    assert raised.member("Bo").role is Role.SUPERVISOR
    assert raised.without("Ines Duarte").named("Ines Duarte") is None
    with pytest.raises(UsageError, match="Ilse: nobody of this name"):
        people.without("Ilse")


def test_one_supervisor_always_stays(people):
    ines = people.members[0]
    for lose in (
        lambda: people.without(ines.name),
        lambda: people.with_changed(ines.name, replace(ines, role=Role.TECHNICIAN)),
        lambda: People(people.members[1:]),
        lambda: People(()),
    ):
        with pytest.raises(UsageError, match="no supervisor would be left"):
            lose()


def test_everybody_has_a_way_to_sign_in():
    with pytest.raises(UsageError, match="Bo: has no way to sign in"):
        Member("Bo", Role.TRAINEE)


@pytest.mark.parametrize("parts", [("", "x", ""), (ISSUER, "", ""), (ISSUER, "x", "x@y.example")])
def test_an_identity_is_an_issuer_and_one_thing_more(parts):
    with pytest.raises(UsageError, match="needs an issuer"):
        Identity(*parts)


@pytest.mark.parametrize(
    ("claims", "fits"),
    [
        ({"iss": ISSUER, "email": "Juna@Example.org", "email_verified": True}, True),
        ({"iss": ISSUER, "email": "juna@example.org", "email_verified": False}, False),
        ({"iss": ISSUER, "email": "juna@example.org"}, False),
        ({"iss": ISSUER, "email": "juna@example.org", "email_verified": "true"}, False),
        ({"iss": "https://other.example", "email": "juna@example.org",
          "email_verified": True}, False),
        ({"iss": ISSUER, "sub": "juna@example.org"}, False),
        ({}, False),
    ],
)  # fmt: skip
def test_a_mail_address_counts_when_its_issuer_verified_it(people, claims, fits):
    """OpenID Connect Core 1.0, section 5.1 and 5.7: only iss with sub is never given again."""
    found = people.identified(claims)
    assert (found is not None and found.name == "Juna") is fits


def test_a_subject_counts_with_its_issuer_only():
    identity = Identity(ISSUER, subject="248289761001")
    assert identity.fits({"iss": ISSUER, "sub": "248289761001"})
    assert not identity.fits({"iss": "https://other.example", "sub": "248289761001"})
    assert not identity.fits({"iss": ISSUER, "sub": "2"})


def test_no_two_share_an_identity(people):
    juna = people.member("Juna")
    with pytest.raises(UsageError, match="same OpenID Connect identity"):
        people.with_added(Member("Bo", Role.TRAINEE, identity=juna.identity))
