"""Whatever is recorded in whatever order by whomever: the locks hold, and the record stays whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.core.preparation import events as e
from kiosk.core.units import Measure
from kiosk.store.connection import RuleBroken
from kiosk.store.verify import verify
from tests.store import samples as s

PEOPLE = st.sampled_from(["ines", "olu", "wim", "kay"])
FACTS = st.sampled_from(["a" * 64, "b" * 64])
COPIES = st.integers(1, 3)
LINE = Measure.of("1.5", "mL")

EVENTS = st.one_of(
    st.builds(e.CheckerCame, by=PEOPLE),
    st.builds(
        e.Stated, by=PEOPLE, matter=st.just("figure"), value=st.just("3/2 mL"), facts=FACTS, round=st.just(1)
    ),
    st.builds(e.Vouched, facts=FACTS, people=st.lists(PEOPLE, max_size=3).map(tuple), form=st.just("x")),
    st.builds(e.LabelRequested, by=PEOPLE, digest=FACTS, copy=COPIES),
    st.builds(
        e.LabelEnded, digest=FACTS, copy=COPIES, outcome=st.sampled_from(["printed", "failed", "unknown"])
    ),
    st.builds(
        e.RestAccounted,
        by=PEOPLE,
        container=st.just("v1"),
        volume=st.just(LINE),
        fate=st.just("wasted"),
        witness=PEOPLE,
    ),
    st.builds(e.Resumed, by=PEOPLE),
    st.builds(e.Discarded, by=PEOPLE, reason=st.just("x")),
    st.builds(e.Finished, by=PEOPLE),
)
WRONG = {
    "somebody holds two roles": """
        SELECT p.id FROM preparations p JOIN roles r ON r.preparation = p.id
        WHERE (r.person = p.checker AND r.role <> 'checker') OR (r.person = p.witness AND r.role <> 'witness')
           OR (r.person = p.preparer AND r.role <> 'preparer') OR p.checker = p.preparer""",
    "a label too few people vouch for": """
        SELECT l.preparation FROM labels l JOIN preparations p ON p.id = l.preparation
        WHERE (SELECT count(DISTINCT v.person) FROM vouchers v
               WHERE v.preparation = l.preparation AND v.facts = l.digest) < 1 + p.needs_second""",
    "a voucher of somebody who read nothing": """
        SELECT v.person FROM vouchers v WHERE NOT EXISTS (SELECT 1 FROM ledger l WHERE l.kind = 'Stated'
        AND l.preparation = v.preparation AND l.by = v.person
        AND json_extract(l.entry, '$.body.facts') = v.facts)""",
    "finished without a label": """
        SELECT p.id FROM preparations p WHERE p.outcome = 'finished' AND NOT EXISTS
        (SELECT 1 FROM labels l WHERE l.preparation = p.id AND l.outcome IN ('printed', 'on paper'))""",
}


def of_this_turn(event: e.Event, turn: int) -> e.Event:
    """The same event with people of this turn's own: everybody may have one open syringe alone."""
    names = {field: getattr(event, field) for field in ("by", "witness", "people") if hasattr(event, field)}
    mine = {f: tuple(f"{p}-{turn}" for p in v) if f == "people" else f"{v}-{turn}" for f, v in names.items()}
    return replace(event, **mine)


def record(store: s.Store, name: str, happened: Sequence[e.Event]) -> int:
    """Write each event as an action of its own; return how many the locks let through."""
    let_through = 0
    for number, event in enumerate(happened):
        try:
            store.ledger.append(name, [event], s.NOW, f"{name}-{number}")
        except RuleBroken:
            continue
        let_through += 1
    return let_through


def test_no_order_of_events_gets_past_the_locks(tmp_path: Path) -> None:
    turns = count()
    let_through = list[int]()
    with s.a_store(tmp_path) as store:
        store.database.raw.execute("PRAGMA synchronous = OFF")

        @settings(max_examples=150, deadline=None, database=None, suppress_health_check=list(HealthCheck))
        @given(second=st.booleans(), happened=st.lists(EVENTS, min_size=4, max_size=18))
        def try_it(second: bool, happened: list[e.Event]) -> None:
            turn = next(turns)
            opened = s.opened(s.an_order(f"o-{turn}"), by=f"ines-{turn}", code=f"C{turn}", second=second)
            mine = [of_this_turn(event, turn) for event in happened]
            let_through.append(record(store, f"prep-{turn}", [opened, *mine]))
            for what, sql in WRONG.items():
                assert store.database.rows(sql) == [], what

        try_it()
        assert verify(store.database.path, store.keys).whole
    assert max(let_through) > 6
