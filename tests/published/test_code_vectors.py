"""Codes against the examples of those who issue the standards.

GS1 Barcode Syntax Dictionary, unit tests of its linter routines (csumalpha, yymmd0, pieceoftotal, posinseqslash, cset64,
latitude, winding, mediatype), read in the public repository; their current year is 2021. UCUM functional tests
(UcumFunctionalTests.xml, newest entry of its history 11 Oct 2018), section validation, read in a public repository: those
codes of it that are made of units written here, and those that must not be accepted.
"""

import pytest

from drawndose.quantities import Refused
from drawndose.reference.codes import dates, ucum
from drawndose.reference.codes.check_digits import pair_holds
from drawndose.reference.codes.elements import element


def listed(text: str) -> list[str]:
    return text.split()


KEYS = listed("""
22 !22 !!22 1987654Ad4X4bL5ttr2310c2K 12345678901234567890123NT 12345_ABCDEFGHIJKLMCP 12345_NOPQRSTUVWXYZDN
12345_abcdefghijklmN3 12345_nopqrstuvwxyzP2 12345_!"%&'()*+,-./LC 12345_0123456789:;<=>?62 7907665Bm8v2AB 97850l6KZm0yCD
225803106GSpEF 149512464PM+GH 62577B8fRG7HJK 515942070CYxLM 390800494sP6NP 386830132uO+QR 53395376X1:nST 957813138Sb6UV
530790no0qOgWX 62185314IvwmYZ 23956qk1&dB!23 794394895ic045 57453Uq3qA<H67 0881063PhHvY89 00000!HV 99999zzzzzzzzzzzzzzzzzzT2
""")


@pytest.mark.parametrize("key", KEYS)
def test_check_pairs(key: str) -> None:
    assert pair_holds(key)


@pytest.mark.parametrize("key", ["33", "1987654Ad4X4bL5ttr2310cXK", "1987654Ad4X4bL5ttr2310c2X"])
def test_wrong_check_pairs(key: str) -> None:
    assert not pair_holds(key)


DAYS = "000606 250606 500606 750606 990606 200131 200229 200331 200430 200531 200630 200731 200831 200930 201031 201130"
DAYS += " 201231 210228 220228 230228 240229 000229 040229 960229 200600"
NO_DAYS = (
    "x00131 2x0131 20x131 200x31 2001x1 20013x 1 11 111 1111 11111 1111111 200010 201310 209910 200132 200230 200332"
)
NO_DAYS += (
    " 200431 200532 200631 200732 200832 200931 201032 201131 201232 210229 220229 230229 240230 000230 040230 960230"
)


@pytest.mark.parametrize("text", DAYS.split())
def test_days(text: str) -> None:
    assert dates.write(dates.read(text, year=2021)) == text


@pytest.mark.parametrize("text", NO_DAYS.split())
def test_what_is_no_day(text: str) -> None:
    with pytest.raises(Refused):
        dates.read(text, year=2021)


RIGHT = {
    "7258": "1/1 1/3 2/3 3/3 8/9 9/9",
    "8030": "1 12 123 12= 1== 0123456789-_",
    "7241": "01 02 09 10 80 89 90 99",
    "7252": "0 1 2 9",
}
WRONG = {
    "7258": "/ 1/ /1 0/1 1/0 2/1 9/8",
    "8030": "=== 123= 12== 1=== 1234= 123== =",
    "7241": "00 11 15 16 29 79 0 000 AA",
    "7252": "3 8 01",
}


@pytest.mark.parametrize(("ai", "value"), [(ai, value) for ai, texts in RIGHT.items() for value in texts.split()])
def test_right_contents(ai: str, value: str) -> None:
    assert element(ai, value, year=2021).value == value


@pytest.mark.parametrize(("ai", "value"), [(ai, value) for ai, texts in WRONG.items() for value in texts.split()])
def test_wrong_contents(ai: str, value: str) -> None:
    with pytest.raises(Refused):
        element(ai, value, year=2021)


PIECES = {
    "0101": True,
    "0203": True,
    "9899": True,
    "9999": True,
    "0001": False,
    "0100": False,
    "0908": False,
    "1009": False,
}


@pytest.mark.parametrize(("piece", "right"), PIECES.items())
def test_piece_of_a_total(piece: str, right: bool) -> None:
    value = f"00312345678906{piece}"
    if right:
        assert element("8006", value, year=2021).value == value
    else:
        with pytest.raises(Refused):
            element("8006", value, year=2021)


@pytest.mark.parametrize("latitude", ["0279085848", "0000000000", "1800000000"])
def test_latitudes(latitude: str) -> None:
    assert element("4309", f"{latitude}0000000000", year=2021).value.startswith(latitude)
    with pytest.raises(Refused):
        element("4309", "18000000010000000000", year=2021)


VALID = listed("""
/L /mL /min 1/min % d g g/d g/l g/L h kg l meq mg mg/d mg/g mg/L mg/mL min ml ml/s mL mL/d mL/min mL/s mL/h mmol mmol/l
mmol/L mmol/d mmol/g mmol/kg mo mol mol/L mol/kg mol/s ng ng/d ng/g ng/L ng/mL ng/h ng/kg s ug ug/d ug/g ug/L ug/mL
ug/min ug/h ug/kg ul wk a [lb_av] [IU] [IU]/d [IU]/L [IU]/mL [iU] [iU]/mL [iU]/d [iU]/h [iU]/kg [iU]/L [iU]/min /[iU] L L/h L/d
L/min L/s L/kg L.s mmol/(kg.h) mmol/(kg.d) mmol/(kg.min) mg/(kg.h) mg/(kg.d) mg/(kg.min) ng/(kg.h) ng/(kg.d) ng/(kg.min) ug/(kg.h)
ug/(kg.d) ug/(kg.min) g/(kg.h) g/(kg.d) g/(kg.min) meq/(kg.h) meq/(kg.d) meq/(kg.min) meq/h meq/d meq/kg meq/L meq/min eq osm
osm/kg osm/L mosm/L mL/(kg.h) mL/(kg.d) mL/(kg.min) mg/h mg/kg mg/min kg/h kg/L kg/min kg/mol kg/s bar [ppm] g/h g/kg g/min
""")
INVALID = listed("""
m/ iU [iIU] [iIU]/d [iIU]/L [iIU]/mL m[iIU]/L molv 10+3/ul g/12h g/48h g/4h g/6h g/72h mg/12h mL/10h mL/12h mL/2h mL/4h mL/5h mL/6h
mL/72h mL/8h mmol/12h mmol/5h mmol/6h mmol/kg[H20] U/12h U/1h U/2h cm[H20] ug(8.h) ug(8hr)
""")
TOO_WIDE = listed(
    "mmol/(8.h.kg) 10.L/min 10*3/ul umol/2.h mg/(8.h) [drp] mbar dg U cm[H2O] kg{body_wt} g/g mg/mg mmol/mmol"
)


@pytest.mark.parametrize("code", VALID)
def test_valid_unit_codes_of_the_units_that_are_written_here(code: str) -> None:
    assert sorted(ucum.read(ucum.write(ucum.read(code))).parts) == sorted(ucum.read(code).parts)


@pytest.mark.parametrize("code", INVALID)
def test_invalid_unit_codes(code: str) -> None:
    with pytest.raises(Refused):
        ucum.read(code)


@pytest.mark.parametrize("code", TOO_WIDE)
def test_valid_unit_codes_that_are_refused_here_on_purpose(code: str) -> None:
    """A number inside, a drop, a unit that nothing here writes, or one that cancels itself."""
    with pytest.raises(Refused):
        ucum.read(code)


@pytest.mark.parametrize(
    "name", [name for name, one in ucum.units().items() if one.origin.source == "ucum-functional-tests"]
)
def test_every_code_said_to_stand_there_does(name: str) -> None:
    """Braces aside, which are words of our own; mosm stands there in mosm/L, uL as ul."""
    code = ucum.units()[name].code
    terms = {term for one in VALID for term in one.replace("(", "").replace(")", "").replace(".", "/").split("/")}
    assert code.startswith("{") or code in terms or code.replace("L", "l") in terms
