"""The worksheet as a page a nurse can read: plain text, the answer first, then how it came about."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Final

from kiosk.core.findings import Level
from kiosk.core.notation import number
from kiosk.pages.parts import FindingCard
from kiosk.pages.words import Words
from kiosk.pages.worksheet_cards import finding_card, name_of, refusal_card
from kiosk.pages.worksheet_lines import figure, follows_line, is_worth_showing
from kiosk.pages.worksheet_plan import plan_sections
from kiosk.pages.worksheet_text import Section, pair, wrapped
from kiosk.pages.worksheet_values import Answered, InUnit, Worksheet

WIDTH: Final = 78
SHOWN_DIGITS: Final = 6
YES_NO: Final = "in_range"
"""The fact whose number, 1 or 0, is a yes or a no."""


def page(sheet: Worksheet, words: Words) -> str:
    """Return a worksheet as text that ends with a line end."""
    head = f"{words.entries['worksheet.title']} – {words.entries[f'worksheet.outcome.{sheet.outcome.value}']}"
    parts = [head, "=" * len(head)]
    for section in _sections(sheet, words):
        if section.lines:
            parts += ["", section.heading, *(f"  {line}" for line in section.lines)]
    parts += ["", *textwrap.wrap(words.entries["worksheet.footer"], WIDTH)]
    return "\n".join(parts) + "\n"


def _sections(sheet: Worksheet, words: Words) -> Iterator[Section]:
    """Yield the sections: why refused, the answer or the plan, findings, what was stated, the working."""
    said = words.entries
    if sheet.refusal is not None:
        yield Section(said["worksheet.refusal"], tuple(_card(refusal_card(sheet.refusal, words))))
    if sheet.answered is not None:
        yield Section(said["worksheet.asked"], tuple(_answer(sheet.answered, words)))
    if sheet.missing:
        yield Section(said["worksheet.missing"], tuple(f"- {name_of(one, words)}" for one in sheet.missing))
    if sheet.planned is not None:
        yield from plan_sections(sheet.planned, words)
    yield Section(said["worksheet.findings"], tuple(_findings(sheet, words)))
    if sheet.planned is None:
        yield Section(said["worksheet.stated"], tuple(_stated(sheet, words)))
        yield Section(said["worksheet.working"], tuple(_steps(sheet, words)))
    yield Section(said["worksheet.remarks"], tuple(_remarks(sheet)))


def _answer(answered: Answered, words: Words) -> Iterator[str]:
    """Yield the answer, what it was before rounding, and how it compares with a stated one."""
    said = words.entries
    yield words.entries[f"fact.{answered.fact}"]
    if answered.fact == YES_NO:
        yield pair(
            said["worksheet.answer"], said["worksheet.yes" if answered.rounded.number else "worksheet.no"]
        )
    else:
        yield pair(said["worksheet.answer"], _shown(answered.rounded, words))
    if answered.exact.number != answered.rounded.number:
        yield pair(said["worksheet.exactly"], _shown(answered.exact, words))
    if answered.rule:
        yield pair(said["worksheet.rule"], answered.rule)
    if answered.published is not None:
        verdict = said[f"worksheet.verdict.{answered.verdict.value}".replace(" ", "_")]
        stated = InUnit(answered.published, answered.rounded.unit, answered.rounded.measure)
        yield pair(said["worksheet.published"], f"{_shown(stated, words)}: {verdict}")


def _shown(asked: InUnit, words: Words) -> str:
    """Return a figure as it was asked for: the number in safe writing, the unit in the asker's own words."""
    return f"{number(asked.number, words.language, SHOWN_DIGITS)} {asked.unit}".strip()


def _stated(sheet: Worksheet, words: Words) -> Iterator[str]:
    """Yield what the description states."""
    for fact, value in sheet.followed.stated.measures.items():
        yield pair(words.entries[f"fact.{fact}"], figure(value, words))


def _steps(sheet: Worksheet, words: Words) -> Iterator[str]:
    """Yield the working: for an answer what it rests on, else everything that follows."""
    for one in sheet.shown:
        if is_worth_showing(one):
            yield pair(words.entries[f"fact.{one.fact}"], follows_line(one, words))


def _findings(sheet: Worksheet, words: Words) -> Iterator[str]:
    """Yield the findings, heaviest first."""
    heaviest_first = list(Level)
    ranked = sorted(sheet.findings, key=lambda finding: heaviest_first.index(finding.level))
    told = (sheet.refusal.code, sheet.refusal.facts) if sheet.refusal else None
    for finding in ranked:
        if (finding.id, finding.facts) == told:
            continue  # it stands on top of the page already
        yield from _card(finding_card(finding, words))


def _card(card: FindingCard) -> Iterable[str]:
    """Return a card as lines: its level, what, why, what now."""
    return wrapped(f"{card.level_word.upper()}: {card.what} {card.why} {card.now}", WIDTH - 2)


def _remarks(sheet: Worksheet) -> Iterator[str]:
    """Yield remarks that came along, as they came."""
    for name, value in sheet.carried.items():
        if isinstance(value, str):
            yield from wrapped(f"{name}: {value}", WIDTH - 2)
