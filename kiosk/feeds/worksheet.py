"""The worksheet door: a description or a question comes in as text, an answer goes out as JSON or a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.feeds.spellings import Spellings, frequencies
from kiosk.feeds.worksheet_facts import FactNames, Vocabulary
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_plan import Planner
from kiosk.feeds.worksheet_question import answered, is_question
from kiosk.feeds.worksheet_read import BadInput, read_tree
from kiosk.feeds.worksheet_says import as_json
from kiosk.pages.words import Words
from kiosk.pages.worksheet import page
from kiosk.pages.worksheet_values import Outcome, Worksheet

DONE: Final = 0
BAD_INPUT: Final = 2
REFUSED: Final = 3
"""How the command ends: an answer, a plan or what follows; input that cannot be used; a refusal."""

Rows = Iterable[Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Said:
    """What the command says: its end, its text (one sentence when the input is bad), what it came from."""

    end: int
    text: str
    sheet: Worksheet | None = None


class WorksheetDoor:
    """Answers descriptions with the published tables. The rows are those of ``resources/tables``."""

    def __init__(
        self,
        units: Rows,
        often: Rows,
        facts: Rows,
        tables: DeviceTables,
        order_tables: OrderTables,
        words: Words,
    ) -> None:
        self._units = Spellings(units)
        self._often = frequencies(often)
        self._names = FactNames(facts)
        self._tables, self._order_tables, self._words = tables, order_tables, words

    def answer(self, data: bytes, now: datetime, *, name: str = "", as_page: bool = True) -> Said:
        """Return what is to be said about one description. Never raises for what a person may write."""
        try:
            sheet = self.sheet(data, now, name)
        except BadInput as trouble:
            return Said(BAD_INPUT, self.sentence(trouble))
        text = page(sheet, self._words) if as_page else as_json(sheet, self._words)
        return Said(REFUSED if sheet.outcome is Outcome.REFUSED else DONE, text, sheet)

    def sheet(self, data: bytes, now: datetime, name: str = "") -> Worksheet:
        """Return the worksheet of one description. Raises ``BadInput``."""
        tree = read_tree(data, name)
        vocabulary = Vocabulary(self._names, Figures(self._units, self._often))
        if is_question(tree):
            return answered(tree, vocabulary)
        return Planner(vocabulary, self._tables, self._order_tables).planned(tree, now)

    def sentence(self, trouble: BadInput) -> str:
        """Return one sentence that names the field by its path."""
        said = self._words
        facts = {
            name: ", ".join(map(str, value)) if isinstance(value, tuple) else value
            for name, value in trouble.facts.items()
        }
        if "wanted" in facts:
            facts["wanted"] = said.entries[str(facts["wanted"])]
        what = said.say(f"bad_input.{trouble.code}", **facts)
        where = trouble.path or said.entries["bad_input.whole"]
        return " ".join(f"{where}: {what}".split())
