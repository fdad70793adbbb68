"""Passwords: Argon2id as RFC 9106 has it, what is taken, what is the same."""

from __future__ import annotations

from dataclasses import replace

import pytest
from argon2 import PasswordHasher, Type, extract_parameters, profiles
from argon2.low_level import ARGON2_VERSION, core, ffi
from hypothesis import given, settings
from hypothesis import strategies as st

from spikecheck.access.passwords import Passwords, is_hash, normalised
from spikecheck.errors import UsageError
from spikecheck.thresholds.access import access_list, load_access
from tests.passwords import PASSWORD

RFC_9106_TAG = "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"


def test_the_library_computes_argon2id_as_published():
    """The test vector of RFC 9106, section 5.3 (Argon2id)."""
    tag = ffi.new("uint8_t[]", 32)
    texts = [ffi.new("uint8_t[]", bytes([byte]) * size)
             for byte, size in ((1, 32), (2, 16), (3, 8), (4, 12))]  # fmt: skip
    password, salt, secret, associated = texts
    context = ffi.new(
        "argon2_context *",
        {
            "out": tag, "outlen": 32, "version": ARGON2_VERSION,
            "pwd": password, "pwdlen": 32, "salt": salt, "saltlen": 16,
            "secret": secret, "secretlen": 8, "ad": associated, "adlen": 12,
            "t_cost": 3, "m_cost": 32, "lanes": 4, "threads": 4,
            "allocate_cbk": ffi.NULL, "free_cbk": ffi.NULL, "flags": 0,
        },
    )  # fmt: skip
    assert core(context, Type.ID.value) == 0
    assert bytes(ffi.buffer(tag, 32)).hex() == RFC_9106_TAG


def test_the_parameters_are_the_second_recommended_of_rfc_9106():
    """RFC 9106, section 4: t=3, p=4, m=2^16 KiB, 128-bit salt, 256-bit tag; as the library has."""
    hashed = Passwords(load_access()).hashed(PASSWORD, name="Ines")
    kept = extract_parameters(hashed)
    assert kept == profiles.RFC_9106_LOW_MEMORY
    assert (kept.time_cost, kept.parallelism, kept.memory_cost) == (3, 4, 2**16)
    assert (kept.salt_len, kept.hash_len, kept.type) == (16, 32, Type.ID)


def test_every_number_is_documented_and_in_its_range():
    numbers = load_access()
    assert {one.name for one in access_list()} == set(numbers.__slots__)
    # NIST SP 800-63B-4 (2025), section 3.1.1.2, from memory.
    assert numbers.password_length_least >= 15
    assert numbers.password_length_most >= 64
    assert 0 < numbers.wait_first_s <= numbers.wait_longest_s <= numbers.failures_remembered_s


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(codec="utf-8"), min_size=15, max_size=40))
def test_a_password_of_any_script_fits_itself_and_no_other(quick, password):
    passwords = Passwords(quick)
    try:
        hashed = passwords.hashed(password, name="Ines")
    except UsageError:
        return
    assert is_hash(hashed)
    assert password not in hashed
    assert passwords.fits(hashed, password)
    assert not passwords.fits(hashed, password + "x")


def test_a_keyboard_may_compose_as_it_likes(quick):
    """Unicode annex 15, figure 4 and 6: composed, decomposed and compatible forms are one."""
    hashed = Passwords(quick).hashed("épis ﬁns en été", name="")
    assert Passwords(quick).fits(hashed, "e\u0301pis fins en e\u0301te\u0301")
    assert normalised("\u212b") == normalised("A\u030a") == "\u00c5"


def test_length_is_counted_in_characters(quick):
    passwords = Passwords(quick)
    assert passwords.hashed(
        "\N{EAR OF RICE}\N{SEEDLING}\N{MAPLE LEAF}" + "\u7a42\u306e" * 6, name=""
    )
    assert passwords.hashed("e\u0301a e\u0301t blé du pr", name="")  # 17 as typed, 15 as kept
    with pytest.raises(UsageError, match=r"has 14 characters\. Take 15 to 256: a sentence of"):
        passwords.hashed("e\u0301a e\u0301t blé du p", name="")  # 16 as typed
    with pytest.raises(UsageError, match="has 300 characters"):
        passwords.hashed("ab1" * 100, name="")


@pytest.mark.parametrize(
    "taken",
    [
        "alllowercasewordsdo", "  spaces around and   within  ", "8206194753 6174",
        "!?#%&/()=+-*;:_",
        "\u7a42\u304c\u9ec4\u91d1\u8272\u306b\u5b9f\u308b\u79cb\u306e\u671d\u306e\u7551\u3067\u3059",
        "the spikecheck of Ines", "x" * 7 + " rachis " + "y" * 49,
    ],
)  # fmt: skip
def test_no_kind_of_character_is_demanded_or_forbidden(quick, taken):
    """NIST SP 800-63B-4 (2025), section 3.1.1.2, from memory: length decides, and a blocklist."""
    passwords = Passwords(quick)
    assert passwords.fits(passwords.hashed(taken, name="Ines Duarte"), taken)


@pytest.mark.parametrize(
    "plain",
    [
        "aaaaaaaaaaaaaaa", " " * 15, "!" * 20, "123456789012345", "987654321098765",
        "abcdefghijklmnopq", "zyxwvutsrqponmlk", "aaaaabbbbbccccc", "qwertyuiopasdfghjkl",
        "1qaz2wsx3edc4rfv", "1q2w3e4r5t6y7u8i9o0p", "abcabcabcabcabcab", "12 12 12 12 12 12",
        "ines duarte ines", "InesInesInesInes", "INES DUARTE 20260", "duarte-ines-spikecheck",
        "spikecheckspikecheck", "Spike-Check-2026!!!", "password12345678", "Password Password",
        "contrase\u00f1a12345", "tecnicotecnico12", "Correct Horse Battery Staple",
        "\u200dpassword\u200d123456",
    ],
)  # fmt: skip
def test_what_is_guessed_first_is_refused(quick, plain):
    with pytest.raises(UsageError, match=r"can be guessed: .* Take a sentence of a few words"):
        Passwords(quick).hashed(plain, name="Ines Duarte")


def test_a_blocklist_takes_no_time_over_the_longest_password(quick):
    """Names of one letter fit in many ways; each place of the password is looked at once."""
    name = " ".join("a" * size for size in range(1, 12))
    assert Passwords(quick).hashed("a" * 254 + "\u00e9x", name=name)


def test_a_hash_of_older_parameters_is_outdated(quick):
    old = Passwords(quick).hashed(PASSWORD, name="")
    new = Passwords(replace(quick, passes=2))
    assert new.outdated(old)
    assert not Passwords(quick).outdated(old)
    assert new.fits(old, PASSWORD)
    assert not new.outdated(new.renewed(PASSWORD))


def test_nobody_takes_as_long_as_somebody(quick, monkeypatch):
    """One hash of the same parameters is computed, whether or not there is such a name."""
    passwords = Passwords(quick)
    hashed = passwords.hashed(PASSWORD, name="")
    passwords.fits("", "x")  # what nobody is compared with is made once
    computed = []
    verify = PasswordHasher.verify

    def spy(self, kept, password):
        computed.append(extract_parameters(kept))
        return verify(self, kept, password)

    monkeypatch.setattr(PasswordHasher, "verify", spy)
    monkeypatch.setattr(PasswordHasher, "hash", lambda *_: pytest.fail("hashed once more"))
    for kept in (hashed, ""):
        assert not passwords.fits(kept, "another one")
    assert not passwords.fits("", "")
    assert len(computed) == 3
    assert computed[0] == computed[1] == computed[2]


@pytest.mark.parametrize("text", ["", "palea", "$argon2i$v=19$m=16,t=1,p=1$YWFhYWFhYWE$YWFhYWFh"])
def test_what_is_no_argon2id_hash_is_known(text):
    assert not is_hash(text)
