"""From bytes to a tree: every number exact, every key once, JSON and TOML alike."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kiosk.feeds.worksheet_read import BadInput, read_tree


def test_a_number_keeps_every_digit_it_was_written_with() -> None:
    tree = read_tree(b'{"a": 0.10, "b": 12345678901234567890.123456789, "c": 3}')
    assert tree == {"a": Decimal("0.10"), "b": Decimal("12345678901234567890.123456789"), "c": 3}
    assert str(tree["a"]) == "0.10"


def test_toml_is_read_as_exactly() -> None:
    tree = read_tree(b'[order]\ndose = "8 mg"\nvalue = 0.10\n')
    assert tree == {"order": {"dose": "8 mg", "value": Decimal("0.10")}}
    assert str(tree["order"]["value"]) == "0.10"


def test_nothing_in_a_tree_is_a_float() -> None:
    tree = read_tree(b'{"a": [1.5, {"b": 1e3}, NaN, Infinity, 1e999999]}')
    flat = [tree["a"][0], tree["a"][1]["b"], *tree["a"][2:]]
    assert all(isinstance(one, Decimal) for one in flat)


@pytest.mark.parametrize(("name", "code"), [("x.json", "not_json"), ("x.toml", "not_toml")])
def test_the_file_s_name_says_which_it_is(name: str, code: str) -> None:
    with pytest.raises(BadInput) as trouble:
        read_tree(b"order = {dose = ", name)
    assert trouble.value.code == code


def test_a_byte_order_mark_does_no_harm() -> None:
    assert read_tree(b'\xef\xbb\xbf{"a": 1}') == {"a": 1}


def test_a_key_that_stands_twice_is_named() -> None:
    with pytest.raises(BadInput) as trouble:
        read_tree(b'{"given": {"dose": "8 mg", "dose": "80 mg"}}')
    assert (trouble.value.code, trouble.value.facts) == ("stated_twice", {"field": "dose"})


def test_bad_json_says_where() -> None:
    with pytest.raises(BadInput) as trouble:
        read_tree(b'{"a": 1,\n "b": }')
    assert trouble.value.facts == {"line": 2, "column": 7}
