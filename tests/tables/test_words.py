"""The words door: flat keys, one home for a sentence, every language complete."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.tables.words import BadWords, languages, read, words


def folder(tmp_path: Path, **files: str) -> Path:
    for name, text in files.items():
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return tmp_path


def test_a_sentence_is_found_by_its_dotted_key(tmp_path: Path) -> None:
    found = read(folder(tmp_path, one='[finding.too_small]\nwhat = "The barrel is too small."\n'))
    assert dict(found) == {"finding.too_small.what": "The barrel is too small."}


@pytest.mark.parametrize(
    ("one", "two", "why"),
    [
        ('[a]\nb = "x"', '[a]\nb = "y"', "two.toml: a.b already stands in one.toml"),
        ("[a]\nb = 1", "", "one.toml: a.b is not a sentence"),
        ('[a]\nb = " "', "", "one.toml: a.b is not a sentence"),
        ("[a", "", "one.toml: "),
    ],
)
def test_words_that_cannot_be_used_are_refused(tmp_path: Path, one: str, two: str, why: str) -> None:
    with pytest.raises(BadWords) as trouble:
        read(folder(tmp_path, one=one, two=two))
    assert str(trouble.value).startswith(why)


def test_a_language_without_words_is_refused() -> None:
    with pytest.raises(BadWords, match="no words for the language 'xx'"):
        words("xx")


def test_english_and_french_have_the_same_keys() -> None:
    assert {"en", "fr"} <= set(languages())
    assert words("en").keys() == words("fr").keys()
