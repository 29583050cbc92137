"""Check digits of GS1 numbers, and check pairs of GS1 alphanumeric keys.

The digit: from the right the data digits weigh 3, 1, 3, 1 ...; it fills their sum up to a multiple of ten. The pair: the
places of the characters in the 82-character set, weighed from the right by 2, 3, 5, 7, 11 ..., modulo 1021, in two characters.

Sources: GS1, How to calculate a check digit manually (General Specifications 7.9.1), read; GS1 Barcode Syntax Dictionary,
linter routine csumalpha, read.
"""

from itertools import cycle

from drawndose.quantities import Fault, Refused

CHARACTERS_82 = "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"
_PAIR = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
_MODULUS = 1021
_MOST = 97


def digits_only(text: str) -> bool:
    """True for one or more of the digits 0 to 9; the digits of other scripts are not meant."""
    return text.isascii() and text.isdecimal()


def check_digit(data: str) -> str:
    """The check digit of data digits (the number without it). Refused when they are not digits.

    >>> check_digit("629104150021")
    '3'
    """
    if not digits_only(data):
        raise Refused(
            [Fault(field="number", rule="only digits have a check digit", came=data, accepted="629104150021")]
        )
    total = sum(int(digit) * weight for digit, weight in zip(reversed(data), cycle((3, 1)), strict=False))
    return str(-total % 10)


def holds(number: str) -> bool:
    """True when the last digit of the number is the check digit of the others.

    >>> holds("6291041500213"), holds("6291041500231")
    (True, False)
    """
    return digits_only(number) and len(number) > 1 and check_digit(number[:-1]) == number[-1]


def _primes() -> tuple[int, ...]:
    found: list[int] = []
    candidate = 2
    while len(found) < _MOST:
        if all(candidate % prime for prime in found):
            found.append(candidate)
        candidate += 1
    return tuple(found)


_WEIGHTS = _primes()


def check_pair(data: str) -> str:
    """The two check characters of an alphanumeric key without them. Refused for other characters, or more than 97 of them.

    >>> check_pair("1987654Ad4X4bL5ttr2310c")
    '2K'
    """
    places = [CHARACTERS_82.find(character) for character in data]
    if -1 in places or len(places) > _MOST:
        accepted = f"at most {_MOST} characters of the 82-character set"
        raise Refused([Fault(field="key", rule="no check pair can be worked out", came=data, accepted=accepted)])
    total = sum(place * weight for place, weight in zip(reversed(places), _WEIGHTS, strict=False)) % _MODULUS
    return _PAIR[total // 32] + _PAIR[total % 32]


def pair_holds(key: str) -> bool:
    """True when the last two characters of the key are the check pair of the others; the key is of the 82-character set."""
    return len(key) > 1 and check_pair(key[:-2]) == key[-2:]
