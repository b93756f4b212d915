"""Amounts of money as people write them: how many decimals a currency has, and what to say of an amount that is not plain.

Decimals are those of ISO 4217 (the minor unit of each currency). What can be read in two ways is not guessed, as with quantities: “1.200”
is twelve hundred to one reader and one and a bit to the next.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Final

from .quantities import quote

__all__ = ["decimals_of", "money_fault", "no_money"]

_USUAL: Final = 2
_DECIMALS: Final = {
    code: decimals
    for decimals, codes in {
        0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
        3: "BHD IQD JOD KWD LYD OMR TND",
        4: "CLF UYW",
    }.items()
    for code in codes.split()
}
_GROUPED: Final = re.compile(r"[1-9][0-9]{0,2}(?:[.,' ’][0-9]{3})+")  # thousands, if the last group is no decimals
_MARKED: Final = re.compile(
    r"(?P<whole>[0-9]{1,10}|[1-9][0-9]{0,2}(?:(?P<mark>[.,' ’])[0-9]{3})(?:(?P=mark)[0-9]{3})*)[.,](?P<rest>[0-9]{1,2})"
)
_SIGNS: Final = re.compile(r"[^0-9]")
_EXACTLY: Final = Context(prec=60)


def decimals_of(currency: str | None) -> int:
    """How many decimals an amount in a currency has; two where it is not known which one it is."""
    return _DECIMALS.get(currency or "", _USUAL)


def no_money(title: str) -> str:
    """The sentence for what is no amount of money at all."""
    return f"{title} must be an ordinary amount of money such as 1250.00, without a currency sign."


def money_fault(text: str, currency: str | None = None) -> str | None:
    """What is wrong with an amount that is written in digits, points and commas; None where nothing is, or where it is no such text.

    Three digits behind a point may be thousands or decimals, unless the currency has three decimals. Others may be noughts, but may
    not be lost.
    """
    decimals = decimals_of(currency)
    if _GROUPED.fullmatch(text):
        return _thousands(text, decimals)
    marked = _MARKED.fullmatch(text)
    if marked is not None and (marked["mark"] or "," in text):
        amount = _shown(Decimal(f"{_SIGNS.sub('', marked['whole'])}.{marked['rest']}"), decimals)
        return f"{quote(text)} has a comma: please write {amount}." if not marked["mark"] else _grouped(text, amount)
    if re.fullmatch(r"[0-9]+\.[0-9]+", text) and (amount := _shown(Decimal(text), decimals)) and Decimal(amount) != Decimal(text):
        return f"{quote(text)} has more decimals than {f'an amount in {currency}' if currency else 'a price'}: please write {amount}."
    return None


def _thousands(text: str, decimals: int) -> str | None:
    """What to say of “1.200” and “1.234.567”: only one group behind a point or a comma could be decimals as well."""
    whole = _shown(Decimal(_SIGNS.sub("", text)), decimals)
    groups = re.split(r"[.,' ’]", text)
    if len(groups) > 2 or not {".", ","} & set(text):
        return _grouped(text, whole)
    if "." in text and decimals > 2:
        return None
    large, small = "".join(groups), ".".join(groups)
    small = small if decimals > 2 else small.removesuffix("0")
    return f"{quote(text)} can be read as {large} or as {small}: please write {whole}, without separators for thousands."


def _grouped(text: str, amount: str) -> str:
    return f"{quote(text)} has separators for thousands: please write {amount}, without them."


def _shown(amount: Decimal, decimals: int) -> str:
    return f"{amount.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP, _EXACTLY):f}"
