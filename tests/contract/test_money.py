"""Amounts of money: the decimals that ISO 4217 gives a currency, and what is not guessed."""

import pytest

from hangworthy.contract.money import decimals_of, money_fault

# (as written, currency, a piece of the sentence; nothing where it is plain)
AMOUNTS = [
    ("1250", "EUR", ""),
    ("1250.5", "EUR", ""),
    ("1250.00", None, ""),
    ("1200.5000", "EUR", ""),  # noughts lose nothing, and no thousands stand behind four digits
    ("1200.00", "JPY", ""),
    ("1.200", "BHD", ""),  # a dinar has thousandths
    ("1.2345", "CLF", ""),
    ("€ 12", "EUR", ""),  # no digits alone: another sentence says so
    ("1,2,3", "EUR", ""),
    ("1.200", "EUR", "can be read as 1200 or as 1.20: please write 1200.00, without separators for thousands."),
    ("1,200", None, "can be read as 1200 or as 1.20: please write 1200.00, without separators for thousands."),
    ("12.345", "EUR", "can be read as 12345 or as 12.345: please write 12345.00"),
    ("1.200", "JPY", "please write 1200, without"),
    ("1,200", "BHD", "can be read as 1200 or as 1.200: please write 1200.000"),
    ("1200,50", "EUR", "has a comma: please write 1200.50."),
    ("1.200,50", "EUR", "has separators for thousands: please write 1200.50, without them."),
    ("1,200.50", "EUR", "has separators for thousands: please write 1200.50, without them."),
    ("1.234.567", "EUR", "please write 1234567.00, without them."),
    ("1'200", "CHF", "please write 1200.00, without them."),
    ("1 200,50", "EUR", "please write 1200.50, without them."),
    ("0.125", "EUR", "has more decimals than an amount in EUR: please write 0.13."),
    ("12.3456", None, "has more decimals than a price: please write 12.35."),
    ("12.5", "JPY", "has more decimals than an amount in JPY: please write 13."),
    ("0." + "3" * 60, "EUR", "33…” has more decimals"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "currency", "said"), AMOUNTS, ids=[f"{text[:12]} {currency}" for text, currency, _ in AMOUNTS])
def test_an_amount_is_plain_or_it_is_said_what_would_be(text: str, currency: str | None, said: str) -> None:
    found = money_fault(text, currency)
    assert (found is None) == (not said)
    assert said in (found or "")


def test_decimals_of_iso_4217() -> None:
    assert [decimals_of(code) for code in ("EUR", "USD", "JPY", "KWD", "UYW", None, "???")] == [2, 2, 0, 3, 4, 2, 2]
