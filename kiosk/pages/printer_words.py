"""What a printer answered, as a sentence: the record keeps its code, the screen says it in its language."""

from __future__ import annotations

from kiosk.pages.words import Words


def printer_said(words: Words, detail: str) -> str:
    """Return the sentence for a failed print's detail: ``code``, ``code: text`` or ``code: a=b; c=d``."""
    code, _, told = detail.partition(": ")
    if f"printer.{code}" in words.entries:
        return words.say(f"printer.{code}", detail=told)
    pairs = (one.partition("=") for one in told.split("; "))
    facts = {name: value for name, is_fact, value in pairs if is_fact}
    try:
        return words.say(f"refusal.{code}.what", **facts)
    except KeyError:
        return words.say("printer.other", detail=detail)
