"""How lengths, money and dates are shown to a person: the last step before a page or a paper, and nowhere else.

Inside, every length is mm, every amount a Decimal with its currency, every day a date, and sentences say them as
'740 mm', '6182.40 EUR', '2026-11-25'. ``as_shown`` turns those into what the maker reads; ``read_length`` reads back
what is typed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor, log10
from typing import Literal

from studio_lib.units import KG_M3_PER_LB_FT3, KG_PER_LB, KM_PER_MILE, M2_PER_SQ_FT, M3_PER_BOARD_FOOT, M_S, MM_PER_INCH, MPA_PER_PSI, N_PER_LBF, NM_PER_FT_LBF

FINEST, CLIENTS_FINEST = (8, 16, 32, 64), 16
"""Parts an inch may be divided into."""
TOO_FEW = 2
"""A length of fewer finest parts than this is told in the finest there are, and then in thousandths of an inch."""


@dataclass(frozen=True)
class Shown:
    """What the maker chose: lengths in mm or inches, the finest part of an inch, whose way of money and dates."""

    lengths: Literal["mm", "in"] = "mm"
    finest: int = 32
    locale: str = ""
    """'en_US', 'de_DE'; empty: days and amounts as the record keeps them."""
    currency: str = "EUR"

    @property
    def plain(self) -> bool:
        """Whether everything is shown as it is kept."""
        return self.lengths == "mm" and not self.locale

    @property
    def to_client(self) -> Shown:
        """The same for a client, who reads no finer parts of an inch than sixteenths."""
        return replace(self, finest=min(self.finest, CLIENTS_FINEST))

    @property
    def inches(self) -> bool:
        return self.lengths == "in"


PLAIN = Shown()


@lru_cache(maxsize=1)
def places() -> tuple[tuple[str, str], ...]:
    """Every locale with a country, as (words, code): ('English (United States)', 'en_US')."""
    from babel import Locale, localedata

    found = []
    for code in localedata.locale_identifiers():
        parts = code.split("_")
        if len(parts) == 2 and len(parts[1]) == 2:
            here = Locale.parse(code)
            words = here.get_display_name("en")
            if words:
                found.append((words, code))
    return tuple(sorted(found, key=lambda f: (not f[0].startswith("English"), f[0])))


def english_in(country: str) -> str:
    """The locale that writes English as in a country: 'en_CH' for 'Switzerland'; empty where there is none."""
    return dict(places()).get(f"English ({country})", "")


def known_locale(code: str) -> bool:
    """Whether a locale is one that ``places`` offers."""
    return code == "" or any(code == c for _, c in places())


# ---------------------------------------------------------------- lengths


def inches(value_mm: float, finest: int = 32) -> str:
    """A length in inches with a fraction: '28 3/8', '-1/4', '0'; very small ones finer: '5/64', '0.012'."""
    value = value_mm / MM_PER_INCH
    parts = round(abs(value) * finest)
    if parts < TOO_FEW and round(abs(value), 3):
        finest = FINEST[-1]
        parts = round(abs(value) * finest)
        if parts < TOO_FEW:
            return f"{value:.3f}"
    whole, rest = divmod(parts, finest)
    fraction = str(Fraction(rest, finest)) if rest else ""
    words = " ".join(([str(whole)] if whole or not rest else []) + ([fraction] if fraction else []))
    return f"-{words}" if value < 0 and parts else words


def length(value_mm: float | None, shown: Shown) -> str:
    """A length as a field holds it, without its unit; empty for None."""
    if value_mm is None:
        return ""
    return inches(value_mm, shown.finest) if shown.inches else f"{round(value_mm, 4):g}"


def stature(value_mm: float, shown: Shown) -> str:
    """How tall a person is, as people say it: '1.70 m', '5 ft 7 in'."""
    return feet_and_inches(value_mm) if shown.inches else f"{value_mm / 1000:.2f} m"


FAR_MM = 10_000.0
"""A length from here on is told in whole feet."""


def feet_and_inches(value_mm: float) -> str:
    """A length that was said in metres: '9 ft 1 in', '8 ft', '10 in'; a far one in feet, '49 ft'."""
    feet, rest = divmod(round(value_mm / MM_PER_INCH), 12)
    if value_mm >= FAR_MM:
        feet, rest = round(value_mm / IN_MM["ft"]), 0
    return " ".join(([f"{feet} ft"] if feet else []) + ([f"{rest} in"] if rest or not feet else []))


def exact_length(value_mm: float, shown: Shown) -> str:
    """A length to be read back without loss: in inches a fraction where it is one, else decimals; in mm to a tenth."""
    if not shown.inches:
        return f"{round(value_mm, 1):g}"
    words = inches(value_mm, FINEST[-1])
    return words if abs(read_length(words, shown) - value_mm) < 0.005 else f"{value_mm / MM_PER_INCH:.4f}".rstrip("0").rstrip(".")


def snapped(value_mm: float, shown: Shown) -> float:
    """A length from a slider, on a figure that a person would choose: a tenth of a mm, or a quarter of an inch."""
    quarter = MM_PER_INCH / 4
    return round(round(value_mm / quarter) * quarter, 4) if shown.inches else round(value_mm, 1)


_UNIT = r"""(?P<unit>mm|cm|m|in\.?|inch(?:es)?|"|ft\.?|feet|foot|')?"""
_INCHES = re.compile(r"^(?:(?P<whole>\d+)[\s-]+)?(?P<over>\d+)\s*/\s*(?P<under>\d+)$")
IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH, "ft": 12 * MM_PER_INCH}


def read_length(typed: str, shown: Shown) -> float:
    """What a person typed, in mm: '740', '28 3/8', '28.375 in', '2 ft 4 1/2 in', '74 cm'.

    A bare figure is in the unit shown. Raises ValueError in words for what is no length.
    """
    text = " ".join(typed.replace("\N{MULTIPLICATION SIGN}", "x").replace("\N{RIGHT DOUBLE QUOTATION MARK}", '"')
                    .replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").replace("\N{DOUBLE PRIME}", '"')
                    .replace("\N{PRIME}", "'").strip().lower().split())
    sign, text = (-1.0, text[1:].strip()) if text.startswith("-") else (1.0, text)
    feet, mark, rest = _feet(text)
    if mark and not rest:
        return sign * feet
    match = re.fullmatch(rf"(?P<figure>[\d.,][\d\s./,-]*?)\s*{_UNIT}", rest)
    example = "28 3/8" if shown.inches else "740"
    if match is None:
        raise ValueError(f"{typed!r} is no length; give one such as {example}, or with its unit: 740 mm, 29 1/8 in, 2 ft 5 in.")
    unit = _plain_unit(match["unit"]) or ("in" if shown.inches or mark else "mm")
    return round(sign * (feet + _figure(match["figure"].strip(), typed, example, unit != "in") * IN_MM[unit]), 4)


def _feet(text: str) -> tuple[float, bool, str]:
    """Feet at the front of a length in mm, whether there were any, and what follows them."""
    found = re.match(r"^(\d+(?:\.\d+)?)\s*(?:ft\.?|feet|foot|')\s*-?\s*(.*)$", text)
    return (float(found[1]) * IN_MM["ft"], True, found[2]) if found else (0.0, False, text)


def _plain_unit(unit: str | None) -> str:
    if not unit:
        return ""
    return {'"': "in", "'": "ft"}.get(unit, "in" if unit.startswith("in") else "ft" if unit.startswith("f") else unit)


def _figure(text: str, typed: str, example: str, inch_less: bool) -> float:
    """A bare figure; ``inch_less``: not in inches, where 28.375 is nothing unusual."""
    parts = _INCHES.match(text)
    if parts:
        if int(parts["under"]) == 0:
            raise ValueError(f"{typed!r} divides by nothing; give a length such as {example}.")
        return int(parts["whole"] or 0) + int(parts["over"]) / int(parts["under"])
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", text) and (inch_less or "," in text):
        bare = int(text.replace(",", "").replace(".", ""))
        raise ValueError(f"Is {text} {bare}, or a little over {text[:-4]}? Write {bare}, or more or fewer decimals.")
    try:
        return float(text.replace(" ", "").replace(",", "."))
    except ValueError:
        raise ValueError(f"{typed!r} is no length; give one such as {example}.") from None


# ---------------------------------------------------------------- sentences

_NUMBER = r"\d+(?:\.\d+)?"
_FIGURE = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
_BETWEEN = r"(?:, | x | to | and | or | by | -> | -&gt; |-)"
_MORE = rf"(?:(?:, {_NUMBER})+(?: and | or ){_NUMBER}|(?: x | to | and | or | by | -> | -&gt; |-){_NUMBER})"
"""What may follow a figure before their one unit; a comma only in a list with its 'and', so that 'slat 1, 5 mm' is no run."""
_AHEAD = r"(?P<between>\bbetween )?"
_RUN = re.compile(rf"{_AHEAD}(?<![\w.,/])(?P<run>{_NUMBER}{_MORE}*) ?mm(?![\w/\u00b2\u00b3])")
_ON_AREA, _ON_LENGTH = ("/m2", " a m2", " a square metre"), ("/m", " a metre", " each metre", " on each metre")
_SQ_FT, _FT = "/sq ft", " a foot"
_IMPERIAL = {
    "kg": ("lb", KG_PER_LB), "N": ("lbf", N_PER_LBF), "kN": ("lbf", N_PER_LBF / 1e3), "N m": ("ft lbf", NM_PER_FT_LBF), "kN m": ("ft lbf", NM_PER_FT_LBF / 1e3),
    "N/mm2": ("psi", MPA_PER_PSI), "MPa": ("psi", MPA_PER_PSI), "GPa": ("million psi", MPA_PER_PSI * 1e3),
    "kg/m3": ("lb/ft3", KG_M3_PER_LB_FT3),
    "mm2": ("sq in", MM_PER_INCH**2), "cm2": ("sq in", (MM_PER_INCH / 10) ** 2), "cm3": ("cu in", (MM_PER_INCH / 10) ** 3), "dm3": ("cu ft", 0.3048**3 * 1e3),
    "litres of timber": ("board feet of timber", M3_PER_BOARD_FOOT * 1e3),
    **{one + on: (name + _SQ_FT, per / M2_PER_SQ_FT) for one, name, per in (("kg", "lb", KG_PER_LB), ("N", "lbf", N_PER_LBF), ("kN", "lbf", N_PER_LBF / 1e3)) for on in _ON_AREA},
    **{one + on: (name + _FT, per / 0.3048) for one, name, per in (("N", "lbf", N_PER_LBF), ("kN", "lbf", N_PER_LBF / 1e3)) for on in _ON_LENGTH},
    "metres": ("feet", 0.3048), "x metre": ("x foot", 0.3048), "km": ("miles", KM_PER_MILE), "km/h": ("mph", KM_PER_MILE), "m/s": ("mph", M_S["mph"]),
    "m": ("", 0.001),
}
"""What is said in a metric unit: the unit that goes with inches, and how much of the first is one of it.

Kilograms a metre of shelf stay: so they are typed.
"""
_FINE = ("lb/ft3", "million psi", "sq in", "cu in")
"""Units whose figures below a hundred keep three figures too."""
_UNITS = "|".join(sorted(map(re.escape, _IMPERIAL), key=len, reverse=True))
_METRIC = re.compile(rf"(?<![\w.,/])(?P<run>{_NUMBER}(?:(?: to | and | or | of |-){_NUMBER})*) (?P<unit>{_UNITS})(?![\w/\u00b2\u00b3]|(?: a| on each| each) metre)")
MINUS = "\u2212"
_SIGNED = rf"(?<![\w.,/])[-{MINUS}]?{_NUMBER}"
_CELSIUS = re.compile(rf"({_SIGNED}(?:(?: to | and | or ){_SIGNED})*) °C")
_VOLUME_PRICES = re.compile(rf"(?<![\w.,/])({_NUMBER})( [A-Z]{{3}})?( a| each) m3\b")
_VOLUMES = re.compile(rf"(?<![\w.,/])({_NUMBER})((?: to | and | or |-){_NUMBER})? (m3|m2)(?![\w/])")
_SHOWN_RUN = rf"(?<![\w.,/]){_FIGURE}(?:{_BETWEEN}{_FIGURE})* in(?!\w)"
_COUNTED = ("tail", "pin", "screw", "dowel", "bolt", "peg", "wedge", "plug", "hinge", "button", "cable", "hole")
_COUNTED_BEFORE = "".join(rf"(?<!\b{what}s )" for what in _COUNTED)
_LONE = (
    rf"(?<![\w.,/])(?<!\b1 in ){_COUNTED_BEFORE}{_NUMBER}(?![\w/%])"
    rf"(?!\.\d| of \d| boards? of| degrees| (?:N|lbf|ft|lb|m|kg)\b| in \d|(?: half)? (?:{'|'.join(_COUNTED)})s?\b)"
)
"""A bare length in a cell; no count ('2 of 8 x 40', '6 tails', 'screws 4, each 4 x 30'), angle, force or slope ('1 in 8')."""
_CELL = re.compile(rf"(?P<shown>{_SHOWN_RUN})|{_RUN.pattern}|(?P<lone>{_LONE})")
_PARTS = re.compile(f"({_BETWEEN})")
_HUNDREDS = re.compile(r"(?<![\w.,/-])(?<! to | and| or | by )(?<! x )(\d+00) mm(?![\w/\u00b2\u00b3])")
_ISO = re.compile(r"(?<![\w-])((?:19|20|21)\d\d)-(\d\d)-(\d\d)(?![\w-])")
_MONTHS = "January February March April May June July August September October November December".split()
_DAY = re.compile(
    r"\b(?:(?P<week>Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(?P<day>\d{1,2}) (?P<month>"
    + "|".join(_MONTHS) + "|" + "|".join(m[:3] for m in _MONTHS) + r")(?: (?P<year>(?:19|20|21)\d\d))?\b"
)
_TAG = re.compile(r"(<style.*?</style>|<script.*?</script>|<[^>]*>)", re.S)


def as_shown(text: str, shown: Shown) -> str:
    """A sentence with its lengths, amounts and days as the maker reads them; one shown already stays as it is.

    Only figures with their unit are lengths: '734 x 75 x 75 mm', '300, 450 and 600 mm', '4.6 to 7.7 mm'.
    """
    if shown.inches:
        text = _RUN.sub(lambda m: _run(m, shown), text)
        text = _CELSIUS.sub(lambda m: re.sub(_SIGNED, lambda n: f"{fahrenheit(float(n[0].replace(MINUS, '-'))):.0f}", m[1]) + " °F", text)
        text = _METRIC.sub(_imperial, text)
        text = _VOLUME_PRICES.sub(lambda m: f"{volume_price(float(m[1]), shown):.2f}{m[2] or ''}{m[3]} {volume_unit(shown)}", text)
        text = _VOLUMES.sub(_feet_of, text)
    if shown.locale:
        text = _money(text, shown)
        text = _ISO.sub(lambda m: _day(m, shown.locale), text)
        text = _DAY.sub(lambda m: _named_day(m, shown.locale), text)
    return text


def html_as_shown(html: str, shown: Shown) -> str:
    """``as_shown`` for what stands between the tags of HTML or SVG."""
    if shown.plain:
        return html
    parts = _TAG.split(html)
    return "".join(part if i % 2 else as_shown(part, shown) for i, part in enumerate(parts))


def column_as_shown(cell: str, shown: Shown) -> str:
    """A cell of a column whose heading carries the unit mm: every figure in it is a length, with a unit of its own or not."""
    if not shown.inches:
        return cell

    def figure(m: re.Match) -> str:
        return m["shown"] or (inches(float(m["lone"]), shown.finest) if m["lone"] else _run(m, shown))

    return "".join(part if i % 2 else _CELL.sub(figure, part) for i, part in enumerate(_TAG.split(cell)))


def thumb_as_shown(text: str, shown: Shown) -> str:
    """``as_shown`` for a rule of thumb: a round figure stays one, 300 mm is 12 in."""
    if shown.inches:
        text = _HUNDREDS.sub(lambda m: f"{round(int(m[1]) / MM_PER_INCH)} in", text)
    return as_shown(text, shown)


def heading_as_shown(heading: str, shown: Shown) -> str:
    """The heading of such a column: 'Width, mm' becomes 'Width, in'."""
    return re.sub(r"\bmm$", "in", heading) if shown.inches else heading


def data_as_shown(data, shown: Shown):
    """``as_shown`` for every string within lists and dictionaries (the keys stay)."""
    if shown.plain:
        return data
    if isinstance(data, str):
        return as_shown(data, shown)
    if isinstance(data, dict):
        return {k: data_as_shown(v, shown) for k, v in data.items()}
    if isinstance(data, list | tuple):
        return [data_as_shown(v, shown) for v in data]
    return data


def _run(m: re.Match, shown: Shown) -> str:
    """Figures before one unit, in inches with theirs; a range whose ends read alike is said as one figure."""
    first, *rest = _PARTS.split(m["run"])
    said = [last := _read(first, shown.finest)]
    for word, figure in zip(rest[::2], rest[1::2], strict=True):
        before, last, word = last, _read(figure, shown.finest), " to " if word == "-" else word
        if m["between"] and len(rest) == 2 and word == " and " and last == before:
            return f"about {last} in"
        if word != " to " or last != before:
            said += [word, last]
    return f"{m['between'] or ''}{''.join(said)} in"


ROUNDED_FROM_MM = 100.0
"""A length this long said in whole millimetres was rounded to them, and half of one is nobody's matter."""


def _read(figure: str, finest: int) -> str:
    """A figure in mm of a sentence, in inches: the plainest fraction that a long one in whole mm may have been rounded from."""
    value = float(figure)
    if value >= ROUNDED_FROM_MM and "." not in figure:
        for under in (1, 2, 4, *FINEST):
            near = round(value / MM_PER_INCH * under) / under
            if under <= finest and abs(near * MM_PER_INCH - value) <= 0.5:
                return inches(near * MM_PER_INCH, under if under in FINEST else FINEST[0])
    return inches(value, finest)


def volume_unit(shown: Shown) -> str:
    """What timber is bought by."""
    return "board foot" if shown.inches else "m3"


_MEASURES = {
    "m3": ("board foot", M3_PER_BOARD_FOOT), "m2": ("sq ft", M2_PER_SQ_FT), "m": ("foot", 0.3048), "metre": ("foot", 0.3048),
    "kg": ("lb", KG_PER_LB), "km": ("mile", KM_PER_MILE),
}


def measure(unit: str, shown: Shown) -> tuple[str, float]:
    """What is counted in its place where lengths are in inches, and how much of ``unit`` is one of it: of 'm2 a coat', 'sq ft a coat' and 0.0929."""
    of, a, each = unit.partition(" a ")
    name, one = _MEASURES.get(of, (of, 1.0)) if shown.inches else (of, 1.0)
    return f"{name}{a}{each}", one


def volume_price(per_m3: float, shown: Shown) -> float:
    """A price a cubic metre as a price of what timber is bought by."""
    return per_m3 * M3_PER_BOARD_FOOT if shown.inches else per_m3


def price_per_m3(typed: float, shown: Shown) -> float:
    """A price as typed, of what timber is bought by, a cubic metre."""
    return typed / M3_PER_BOARD_FOOT if shown.inches else typed


def _feet_of(m: re.Match) -> str:
    """Volumes and areas before their unit, in board feet and square feet."""
    one, unit = (M3_PER_BOARD_FOOT, "board feet") if m[3] == "m3" else (M2_PER_SQ_FT, "sq ft")

    def feet(figure: str) -> str:
        value = float(figure) / one
        return f"{value:.0f}" if value >= 20 else f"{value:.1f}"

    return f"{feet(m[1])}{re.sub(_NUMBER, lambda n: feet(n[0]), m[2] or '')} {unit}"


def _imperial(m: re.Match) -> str:
    """Figures before their metric unit, in the one that goes with inches; two that differ never read alike."""
    unit, one = _IMPERIAL[m["unit"]]
    if not unit:
        return re.sub(_NUMBER, lambda n: feet_and_inches(float(n[0]) / one), m["run"])
    given = re.findall(_NUMBER, m["run"])
    said = {n: _figures(float(n) / one, unit) for n in given}
    if len(set(said.values())) < len(set(map(float, given))):
        said = {n: f"{float(n) / one:.1f}" for n in given}
    return f"{re.sub(_NUMBER, lambda n: said[n[0]], m['run'])} {unit}"


def _figures(value: float, unit: str) -> str:
    """A figure of such a unit: three figures; pounds of weight whole from 20 on, others from 10 on where tenths are nobody's matter."""
    if unit == "lb":
        return f"{value:.0f}" if value >= 20 else f"{value:.1f}".removesuffix(".0")
    if value >= 1000 and unit in ("feet", "x foot", "board feet of timber"):
        return f"{value:.0f}"
    if value >= 100:
        return f"{round(value, 2 - floor(log10(value))):.0f}"
    if unit in _FINE:
        return f"{value:.3g}"
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}".removesuffix(".0")


def quantity(value: str, unit: str, shown: Shown) -> tuple[str, str]:
    """A figure and its unit for two cells of a table: ('773', 'kg/m3') is ('48.3', 'lb/ft3') where inches are shown."""
    if not shown.inches or unit not in _IMPERIAL or not re.fullmatch(_NUMBER, value):
        return value, unit
    said, _, unit = as_shown(f"{value} {unit}", shown).partition(" ")
    return said, unit


def unit_as_shown(words: str, shown: Shown) -> str:
    """The unit at the end of a heading or label: 'Tension, N' becomes 'Tension, lbf', 'kg/m3' 'lb/ft3'."""
    lead, comma, unit = words.rpartition(", ")
    return f"{lead}{comma}{_IMPERIAL[unit][0]}" if shown.inches and unit in _IMPERIAL and unit != "m" else words


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius * 9 / 5 + 32


_FIELDS = {
    "kg": ("lb", KG_PER_LB), "km": ("miles", KM_PER_MILE), "km/h": ("mph", KM_PER_MILE), "m/s": ("mph", M_S["mph"]), "m3": ("board feet", M3_PER_BOARD_FOOT),
}


def field_unit(unit: str, shown: Shown) -> str:
    """The unit that a field is shown and typed in where lengths are in inches: 'lb' for 'kg'; others as they are."""
    return ("°F" if unit == "°C" else _FIELDS.get(unit, (unit,))[0]) if shown.inches else unit


def field_shown(value: float, unit: str, shown: Shown) -> float:
    """A quantity in ``unit`` as such a field holds it, to a tenth where it is turned."""
    if field_unit(unit, shown) == unit:
        return value
    return round(fahrenheit(value) if unit == "°C" else value / _FIELDS[unit][1], 1)


def field_typed(typed: float, unit: str, shown: Shown) -> float:
    """What was typed into such a field, in ``unit``."""
    if field_unit(unit, shown) == unit:
        return typed
    return round((typed - 32) * 5 / 9, 2) if unit == "°C" else round(typed * _FIELDS[unit][1], 4)


def in_shown_unit(value: float, unit: str, shown: Shown) -> float:
    """A load in N or N/m2 as its field holds it: in pounds-force, to a tenth, where inches are shown."""
    return round(value / _IMPERIAL[unit][1], 1) if shown.inches else value


def from_shown_unit(typed: float, unit: str, shown: Shown) -> float:
    """What was typed into such a field, in N or N/m2."""
    return typed * _IMPERIAL[unit][1] if shown.inches else typed


def _money(text: str, shown: Shown) -> str:
    from babel.numbers import get_currency_symbol

    symbol = re.escape(get_currency_symbol(shown.currency, locale="en_GB"))
    text = re.sub(
        rf"(-?){symbol} ?(\d+(?:,\d{{3}})*(?:\.\d\d)?)(?!\d)", lambda m: _amount(m[1] + m[2].replace(",", ""), shown), text
    )
    amount = re.compile(rf"(?<![\w.,-])(-?{_NUMBER})(?: to ({_NUMBER}))? {shown.currency}\b")
    text = amount.sub(lambda m: " to ".join(_amount(a, shown) for a in m.groups() if a), text)
    return re.sub(r"\bkr\.\.(?!\.)", "kr.", text)  # what is abbreviated ends a sentence with its own point


def _amount(figure: str, shown: Shown) -> str:
    from babel.numbers import format_currency, get_currency_precision

    digits = len(figure.partition(".")[2])
    whole = digits == 0 or get_currency_precision(shown.currency) == 0
    return apart(format_currency(
        Decimal(figure), shown.currency, locale=shown.locale, currency_digits=not whole, decimal_quantization=not whole,
        **({"format": _whole_pattern(shown.locale)} if whole else {}),
    ).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " "))


def sum_as_shown(cell: str, shown: Shown) -> str:
    """A cell of a column of amounts, figures without their currency: '1.422,00' where the locale writes it so."""
    from babel.numbers import format_decimal

    if not shown.locale:
        return cell
    return re.sub(r"(?<![\w.,-])-?\d+(?:\.\d\d)?(?![\w.,%])", lambda m: format_decimal(
        Decimal(m[0]), locale=shown.locale, format="#,##0.00" if "." in m[0] else "#,##0"), cell)


def apart(amount: str) -> str:
    """An amount whose currency is written in letters, which stand apart from its figures: 'DKK 12.50' (Unicode CLDR, currency spacing)."""
    return re.sub(r"(?<=[A-Za-z])(?=\d)", " ", amount)


@lru_cache(maxsize=8)
def _whole_pattern(locale: str) -> str:
    """How a locale writes an amount, without its decimals."""
    from babel import Locale

    return re.sub(r"\.0+", "", Locale.parse(locale).currency_formats["standard"].pattern)


def _day(m: re.Match, locale: str) -> str:
    from babel.dates import format_date

    try:
        return format_date(date(int(m[1]), int(m[2]), int(m[3])), "medium", locale=locale)
    except ValueError:
        return m[0]


def _named_day(m: re.Match, locale: str) -> str:
    from babel.dates import format_date, format_skeleton

    month = next(i for i, name in enumerate(_MONTHS, 1) if name.startswith(m["month"]))
    full = m["month"] == _MONTHS[month - 1] and month != 5
    try:
        if m["year"]:
            day = date(int(m["year"]), month, int(m["day"]))
            words = format_date(day, "long" if full else "medium", locale=locale)
            return f"{m['week']} {words}" if m["week"] else words
        day = date(2024, month, int(m["day"]))
        return (f"{m['week']} " if m["week"] else "") + format_skeleton("MMMMd" if full else "MMMd", day, locale=locale)
    except ValueError:
        return m[0]
