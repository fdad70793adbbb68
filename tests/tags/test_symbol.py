"""The QR symbols that are printed, read back codeword by codeword without the library's help.

The reader below is written from ISO/IEC 18004 for version 1 alone: format information, mask,
placement of codewords.
"""

from __future__ import annotations

import random

import pytest
import segno

from spikecheck.errors import TagError
from spikecheck.tags.symbol import qr_modules
from spikecheck.vocabulary.tag_code import new_code

SIDE = 21
MASKS = {
    0: lambda row, column: (row + column) % 2 == 0,
    1: lambda row, _: row % 2 == 0,
    2: lambda _, column: column % 3 == 0,
    3: lambda row, column: (row + column) % 3 == 0,
    4: lambda row, column: (row // 2 + column // 3) % 2 == 0,
    5: lambda row, column: row * column % 2 + row * column % 3 == 0,
    6: lambda row, column: (row * column % 2 + row * column % 3) % 2 == 0,
    7: lambda row, column: ((row + column) % 2 + row * column % 3) % 2 == 0,
}
LEVELS = {0b01: "L", 0b00: "M", 0b11: "Q", 0b10: "H"}


def format_bits(modules) -> int:
    """Level and mask: the copy beside the upper left finder pattern, most significant bit first."""
    places = [(8, column) for column in (0, 1, 2, 3, 4, 5, 7, 8)]
    places += [(row, 8) for row in (7, 5, 4, 3, 2, 1, 0)]
    bits = int("".join(str(modules[row][column]) for row, column in places), 2)
    return (bits ^ 0b101010000010010) >> 10


def is_function(row: int, column: int) -> bool:
    finder = (row < 9 and (column < 9 or column > 12)) or (row > 12 and column < 9)
    return finder or row == 6 or column == 6


def codewords(modules) -> list[int]:
    mask = MASKS[format_bits(modules) & 0b111]
    columns = [right for right in range(SIDE - 1, 0, -2) if right > 6] + [5, 3, 1]
    bits = []
    for turn, right in enumerate(columns):
        rows = range(SIDE) if turn % 2 else range(SIDE - 1, -1, -1)
        places = [(row, column) for row in rows for column in (right, right - 1)]
        bits += [
            modules[row][column] ^ mask(row, column)
            for row, column in places
            if not is_function(row, column)
        ]
    assert len(bits) == 26 * 8
    return [int("".join(map(str, bits[at : at + 8])), 2) for at in range(0, len(bits), 8)]


def matrix(text: str, level: str, mode: str):
    return [list(row) for row in segno.make_qr(text, version=1, error=level, mode=mode,
                                               boost_error=False).matrix]  # fmt: skip


def test_the_worked_example_of_the_standard():
    """ISO/IEC 18004, annex I: "01234567" in version 1-M."""
    modules = matrix("01234567", "m", "numeric")
    data = "10 20 0C 56 61 80 EC 11 EC 11 EC 11 EC 11 EC 11"
    correction = "A5 24 D4 C1 ED 36 C7 87 2C 55"
    assert codewords(modules) == list(bytes.fromhex(data + correction))
    assert LEVELS[format_bits(modules) >> 3] == "M"


def test_the_well_known_alphanumeric_example():
    """ "HELLO WORLD" in version 1-Q, as tutorials on QR symbols carry it; from memory."""
    data = [32, 91, 11, 120, 209, 114, 220, 77, 67, 64, 236, 17, 236]
    correction = [168, 72, 22, 82, 217, 54, 156, 0, 46, 15, 180, 122, 16]
    assert codewords(matrix("HELLO WORLD", "q", "alphanumeric")) == data + correction


ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def alphanumeric_text(words: list[int]) -> str:
    """Text of one alphanumeric segment: mode indicator 0010, then 9 bits of count."""
    bits = "".join(f"{word:08b}" for word in words)
    assert bits[:4] == "0010"
    count, at = int(bits[4:13], 2), 13
    text = ""
    for _ in range(count // 2):
        first, second = divmod(int(bits[at : at + 11], 2), 45)
        text, at = text + ALPHANUMERIC[first] + ALPHANUMERIC[second], at + 11
    return text


@pytest.mark.parametrize("seed", range(20))
def test_the_symbol_holds_the_code_at_level_h(seed):
    code = new_code(random.Random(seed))
    modules = qr_modules(code)
    assert [len(row) for row in modules] == [SIDE] * SIDE
    assert LEVELS[format_bits(modules) >> 3] == "H"
    assert alphanumeric_text(codewords(modules)) == code


def test_what_does_not_fit_is_told():
    with pytest.raises(TagError, match="does not fit the tag's QR symbol"):
        qr_modules("TWELVESYMBOL")
