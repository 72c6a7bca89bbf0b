"""Finding products of the demo ward's list, and of a list of our own, while typing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.core.stock.near_names import folded
from kiosk.flow.stock_keeping import Match
from tests.counter import ward
from tests.store import samples as s

NAMES = {one.id: one.label_name for one in ward().products}


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[s.Store]:
    with s.a_store(tmp_path_factory.mktemp("search")) as opened:
        with opened.importing(s.KEEPER, s.NOW) as lists:
            lists.products(ward().products)
            lists.stock(((line.container, line.count) for line in ward().stock), s.WITNESS)
        yield opened


def names(matches: tuple[Match, ...]) -> list[str]:
    return [match.name for match in matches]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("proc", ["prochlorPERazine 12.5 mg in 1 mL"]),
        ("PROCHLORPER", ["prochlorPERazine 12.5 mg in 1 mL"]),
        ("morphine 3", ["morphine 30 mg in 1 mL"]),
        ("30 mor", ["morphine 30 mg in 1 mL"]),
        ("units 500", ["insulin human soluble 500 units/mL, 20 mL"]),
        (
            "decanoate",
            ["haloperidol decanoate 100 mg in 1 mL, oily", "zuclopenthixol decanoate 200 mg in 1 mL, oily"],
        ),
        ("soluble 40", ["insulin human soluble 40 units/mL, 10 mL"]),
    ],
)
def test_a_product_is_found_by_its_beginning_by_any_word_and_by_several(
    store: s.Store, typed: str, first: list[str]
) -> None:
    assert names(store.stock.find(typed).matches)[: len(first)] == first


def test_names_that_begin_as_typed_stand_first_by_the_alphabet(store: s.Store) -> None:
    assert names(store.stock.find("hal").matches) == [
        "haloperidol 5 mg in 1 mL",
        "haloperidol decanoate 100 mg in 1 mL, oily",
    ]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("mrophine", "morphine 10 mg in 1 mL"),  # two letters exchanged
        ("mophine", "morphine 10 mg in 1 mL"),  # one left out
        ("morrphine", "morphine 10 mg in 1 mL"),  # one too many
        ("haloperodol", "haloperidol 5 mg in 1 mL"),  # a wrong one
        ("prochlorperazien", "prochlorPERazine 12.5 mg in 1 mL"),  # far into a long word
        ("insulin solubel 40", "insulin human soluble 40 units/mL, 10 mL"),  # in the second word
    ],
)
def test_a_slip_of_the_finger_is_offered_apart_and_never_taken(
    store: s.Store, typed: str, meant: str
) -> None:
    found = store.stock.find(typed)
    assert meant in names(found.meant)
    assert meant not in names(found.matches)


@pytest.mark.parametrize("typed", ["morphine", "mrop", "", "  ", "%", "'", '"', "a*", "NOT", "mor AND"])
def test_what_fits_or_is_too_short_or_is_no_word_offers_nothing_else(store: s.Store, typed: str) -> None:
    assert store.stock.find(typed).meant == ()


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.text(alphabet="abcdehilmnoprs 1025", min_size=1, max_size=8))
def test_against_a_plain_look_at_every_name(store: s.Store, typed: str) -> None:
    """What is found fits by a plain look at the list, and all that begins as typed is found, up to twenty."""
    found, text = store.stock.find(typed), folded(typed)
    beginning = [name for name in NAMES.values() if text and folded(name).startswith(text)]
    assert set(names(found.matches)) >= set(sorted(beginning, key=folded)[:20])
    for match in found.matches:
        assert NAMES[match.product] == match.name
        whole = (
            f" {folded(match.name)}".replace("(", " ").replace("/", " ").replace(",", " ").replace("-", " ")
        )
        words = text.split()
        assert folded(match.name).startswith(text) or all(f" {word}" in whole for word in words)
    assert len(found.matches) <= 20


def test_a_list_that_changed_is_searched_as_it_now_is(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.products([s.a_product()])
        assert store.stock.ready_to_find() == 1
        assert names(store.stock.find("gent").matches) == ["gentamicin 80 mg in 2 mL"]
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.products([replace(s.a_product(), label_name="renamed 1 mg"), s.a_controlled()])
        assert store.stock.ready_to_find() == 2
        assert names(store.stock.find("gent").matches) == []
        assert names(store.stock.find("ren").matches) == ["renamed 1 mg"]


def test_a_look_alike_is_named_only_while_it_is_here(store: s.Store, tmp_path: Path) -> None:
    product = next(one for one in ward().products if one.drug.id == "hydromorphone")
    assert store.stock.mistaken_for(product) == ("morphine",)
    with s.a_store(tmp_path) as empty:
        with empty.importing(s.KEEPER, s.NOW) as lists:
            lists.products(ward().products)
        assert empty.stock.mistaken_for(product) == ()
