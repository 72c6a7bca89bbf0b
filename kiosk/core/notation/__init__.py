"""Safe writing and reading of quantities: leading zero, no trailing zero, grouped, in words."""

from kiosk.core.notation.figures import read_figure
from kiosk.core.notation.spoken import in_words, whole_in_words
from kiosk.core.notation.unsafe import UnsafeForm, unsafe_forms
from kiosk.core.notation.writing import number, unit_text, write

__all__ = [
    "UnsafeForm",
    "in_words",
    "number",
    "read_figure",
    "unit_text",
    "unsafe_forms",
    "whole_in_words",
    "write",
]
