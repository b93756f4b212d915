"""Sets: half-filled lists, order, currencies, and how one work's answer hangs on another's."""

import random
from collections import Counter
from itertools import permutations

import msgspec
import pytest

from hangworthy.contract import Effect, Outcome, Stage, State

from .asking import asked, findings, rate

SET_RULES = (
    "edition-told-alike", "number-taken", "one-image-one-venue", "photographs-counted", "price-apart", "price-in-line", "price-order",
    "same-edition-same-price", "sizes-add-up", "unique-is-one",
)  # fmt: skip


def painting(ref: str, price: str | None = "900", **facts) -> dict:
    return {"ref": ref, "kind": "panel", "artist_ref": "a", "currency": "EUR", **({"price": price} if price else {}), **facts}


def print_of(ref: str, of: str, price: str | None = "100", **editions) -> dict:
    work = {"ref": ref, "kind": "original-print", "artist_ref": "a", "currency": "EUR", "editions": {"image_of": of, **editions}}
    return work | ({"price": price} if price else {})


def half_filled(count: int) -> list[dict]:
    """A list as it comes in: kinds and sizes mostly there, of the rest a third."""
    chance, works = random.Random(7), []
    kinds = ["panel", "stretched-canvas", "original-print", "photograph", "reproduction", "work-on-paper"]
    for place in range(count):
        work = {"ref": f"w{place:03}", "artist_ref": f"a{place % 20}", "editions": {}}
        if chance.random() < 0.95:
            work["kind"] = chance.choice(kinds)
        if chance.random() < 0.8:
            work |= {"width_mm": f"{chance.randrange(20, 120)} ± 0.5 cm", "height_mm": chance.randrange(200, 1200)}
        if chance.random() < 0.33:
            work |= {"price": str(chance.randrange(50, 3000)), "currency": "EUR"}
        if work.get("kind") in kinds[2:5] and chance.random() < 0.33:
            size = chance.randrange(5, 50)
            work["editions"] = {"edition_size": size, "number": chance.randrange(1, size)}
        works.append(work)
    return works


def test_a_half_filled_list_does_not_drown_in_waiting_for_others() -> None:
    answer = asked(half_filled(200), stage=Stage.HANGING)
    all_findings = [finding for work in answer.works for finding in work.findings]
    assert not [finding for finding in all_findings if finding.others]
    assert not [finding for finding in all_findings if finding.state is State.ERROR]
    open_ = Counter(finding.rule for finding in all_findings if finding.state is State.UNKNOWN)
    for rule in ("number-taken", "same-edition-same-price", "unique-is-one", "price-apart", "one-image-one-venue"):
        assert open_[f"editions.{rule}"] == 0
    asked_to = {question.fact for work in answer.works for question in work.questions if "editions.price-order" in question.settles}
    assert asked_to == {"/editions/image_of"}


def test_what_one_work_lacks_is_asked_of_that_work_alone() -> None:
    works = [painting("p", price=None), print_of("q", "p"), painting("s"), print_of("t", "s"), {"ref": "u"}]
    found = findings(asked(works), "price-order")
    assert {ref: finding.state for ref, finding in found.items()} == {
        "p": State.UNKNOWN, "q": State.MET, "s": State.MET, "t": State.MET, "u": State.MET,
    }  # fmt: skip
    assert found["p"].missing == ("/price",)


def test_a_kind_that_is_not_known_is_asked_where_the_image_is_there_twice() -> None:
    found = findings(asked([{"ref": "p", "price": "10", "currency": "EUR"}, print_of("q", "p")]), "price-order")
    assert found["p"].missing == ("/kind",)


def test_the_order_of_works_cannot_matter() -> None:
    works = [
        painting("p", "100"),
        print_of("q", "p", "100", number=1, edition_ref="e"),
        print_of("r", "p", "60", number=1, edition_ref="e"),
        print_of("s", "q", "200", fingerprint="00ff00ff00ff00ff"),
    ]
    seen = set()
    for order in permutations(works):
        answer = asked(order)
        seen.add(msgspec.json.encode(sorted(answer.works, key=lambda work: work.ref)))
    assert len(seen) == 1


def test_an_original_in_two_currencies_is_only_known_with_rates() -> None:
    works = [painting("p", "900"), painting("o", "700", currency="GBP", editions={"image_of": "p"}), print_of("q", "p", "800")]
    found = findings(asked(works), "price-order")["q"]
    assert (found.state, found.missing) == (State.UNKNOWN, ("/venue/rates",))
    found = findings(asked(works, rates=(rate("GBP", "1.1", "EUR"),)), "price-order")["q"]
    assert (found.state, found.measured) == (State.UNMET, pytest.approx(800 / 770))
    assert "“o” at 700 GBP" in found.artist
    works[2]["price"] = "900"
    found = findings(asked(works), "price-order")["q"]
    assert (found.state, found.measured) == (State.UNMET, 1.0), "what one original tells already needs no rate"


def test_every_copy_of_a_number_is_named() -> None:
    works = [print_of(ref, "p", number=3, edition_ref="e") for ref in "abc"]
    answer = asked(works)
    assert [work.outcome for work in answer.works] == [Outcome.REFUSE] * 3
    said = [finding.artist for finding in findings(answer, "number-taken").values()]
    assert ["“b”" in said[0], "“a”" in said[1], "“a”" in said[2]] == [True] * 3


def test_copies_that_contradict_each_other_about_their_edition_are_told_of_each_other() -> None:
    works = [print_of("e1", "p", edition_size=20, edition_ref="e"), print_of("e2", "p", edition_size=25, edition_ref="e")]
    said = findings(asked(works), "edition-told-alike")
    assert said["e2"].artist == "“e1” says an edition of 20, this one an edition of 25; both must match the certificate."
    assert said["e1"].coordinator == "One edition is stated as an edition of 20 here and as an edition of 25 for e2."
    del works[0]["editions"]["edition_size"]
    said = findings(asked(works), "edition-told-alike")
    assert (said["e1"].missing, said["e2"].state) == (("/editions/edition_size",), State.MET)


def test_the_share_of_a_price_is_told_in_percent() -> None:
    works = [painting("o", "800"), print_of("q", "o", "800")]
    answer = asked(works)
    assert findings(answer, "price-order")["q"].coordinator == "100 % of the price of o; below 100 % is right."
    assert findings(answer, "price-apart")["q"].coordinator == "100 % of the price of o; at most 50 % is right."


def test_uncertain_sizes_do_not_split_an_edition_and_are_fast_enough() -> None:
    works = []
    for n in range(60):
        copy = print_of(f"w{n:03}", "p", edition_size=200, number=n + 1, edition_ref="e")
        works.append(copy | {"width_mm": f"{300 + n % 3} ± 1", "height_mm": "40 ± 0.1 cm"})
    answer = asked(works)
    for rule in ("sizes-add-up", "same-edition-same-price"):
        assert {finding.state for finding in findings(answer, rule).values()} == {State.MET}


def test_sizes_of_one_photograph_that_share_their_edition_are_one_run() -> None:
    def photograph(ref: str, width: float) -> dict:
        return {"ref": ref, "kind": "photograph", "artist_ref": "a", "width_mm": width, "height_mm": 400,
                "editions": {"basis": "eu-vat-annex-ix", "edition_size": 20, "edition_ref": "e"}}  # fmt: skip

    found = findings(asked([photograph("a", 300), photograph("b", 600)]), "photographs-counted")
    assert {finding.measured for finding in found.values()} == {20.0}


def test_dates_decide_what_hangs_together() -> None:
    def hung(ref: str, kind: str, start: str, end: str) -> dict:
        return {"ref": ref, "kind": kind, "artist_ref": "a", "hang_from": start, "hang_until": end, "editions": {"image_of": "quay"}}

    works = [
        hung("c", "photograph", "2026-01-01", "2026-02-28"), hung("b", "photograph", "2026-02-01", "2026-03-31"),
        hung("a", "photograph", "2026-03-01", "2026-04-30"), hung("d", "reproduction", "2026-05-01", "2026-05-31"),
    ]  # fmt: skip
    found = findings(asked(works), "one-image-one-venue")
    assert {ref: finding.state for ref, finding in found.items()} == {
        "a": State.MET, "b": State.UNMET, "c": State.UNMET, "d": State.MET,
    }  # fmt: skip


def test_fingerprints_that_tell_nothing_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    import hangworthy_editions.images as module
    from hangworthy_editions.formulas import near_pairs

    monkeypatch.setattr(module, "near_pairs", lambda values, distance: near_pairs(values, distance, most=1))
    module.images.cache_clear()
    days = {"hang_from": "2026-01-01", "hang_until": "2026-02-01"}
    works = [painting(f"w{n}", **days, editions={"fingerprint": f"00ff00ff00ff00f{n}"}) for n in range(4)] + [painting("x", **days)]
    answer = asked(works, stage=Stage.HANGING)
    module.images.cache_clear()
    for rule in ("price-order", "price-apart", "one-image-one-venue"):
        found = findings(answer, rule)
        assert {finding.missing for ref, finding in found.items() if ref != "x"} == {("/editions/fingerprint",)}
        assert found["x"].state is State.MET


def test_each_set_rule_answers_for_a_list_of_one() -> None:
    editions = {"edition_ref": "e", "edition_size": 3, "number": 1}
    answer = asked([{"ref": "a", "kind": "photograph", "price": "1", "hang_from": "2026-01-01", "editions": editions}])
    for rule in SET_RULES:
        assert findings(answer, rule)["a"].state is State.MET, rule


def test_a_print_that_costs_as_much_as_its_original_waits_for_its_price_to_be_put_right() -> None:
    found = findings(asked([painting("p", "400"), print_of("q", "p", "400")]), "price-order")["q"]
    assert found.effect is Effect.PREPARE
    assert found.artist == "This print at 400 EUR costs as much as the original “p” at 400 EUR."
    assert found.remedy.startswith("Set its price below 400 EUR")


def test_of_three_ranks_whose_prices_are_unknown_each_is_asked() -> None:
    works = [print_of("q", "p"), {"ref": "r", "editions": {"image_of": "q"}}]
    found = findings(asked(works), "price-apart")
    assert (found["q"].state, found["r"].missing) == (State.MET, ("/kind", "/price", "/currency"))


def test_copies_of_one_number_at_two_prices_are_left_to_the_rule_on_numbers() -> None:
    works = [print_of("q", "p", "100", number=3, edition_ref="e"), print_of("r", "p", "90", number=3, edition_ref="e")]
    answer = asked(works)
    assert {finding.state for finding in findings(answer, "same-edition-same-price").values()} == {State.MET}
    assert {finding.state for finding in findings(answer, "number-taken").values()} == {State.UNMET}
