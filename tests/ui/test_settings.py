"""Settings of the screen: read, refused when odd, written whole."""

from __future__ import annotations

import pytest

from kiosk.ui.settings import BadSettings, Settings, read_settings, write_settings


def test_what_is_written_is_read_again(tmp_path):
    path = tmp_path / "deep" / "screen.json"
    wanted = Settings(theme="night", dots_per_mm=5.56, motion=False, sound=False, full_screen=False)
    write_settings(path, wanted)
    assert read_settings(path) == wanted
    assert [p.name for p in path.parent.iterdir()] == ["screen.json"]


def test_no_file_means_the_defaults(tmp_path):
    assert read_settings(tmp_path / "none.json") == Settings()


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("{", "Expecting"),
        ("[]", "not a table"),
        ('{"colour": "red"}', "unknown setting 'colour'"),
        ('{"theme": "dusk"}', "neither day nor night"),
        ('{"motion": 1}', "motion is not bool"),
        ('{"dots_per_mm": "4"}', "dots_per_mm is not float"),
    ],
)
def test_an_odd_file_is_refused_with_what_is_wrong(tmp_path, text, what):
    path = tmp_path / "screen.json"
    path.write_text(text, encoding="utf-8")
    answer = read_settings(path)
    assert isinstance(answer, BadSettings)
    assert what in answer.what


def test_whole_dots_are_taken_for_a_number(tmp_path):
    path = tmp_path / "screen.json"
    path.write_text('{"dots_per_mm": 4}', encoding="utf-8")
    assert read_settings(path) == Settings(dots_per_mm=4)
