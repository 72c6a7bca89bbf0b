"""``kiosk record``: prove, seal, search, export and recall from the command line, on the counter's own file.

Proving reads the file alone and needs no working counter; the rest opens the store as the kiosk does.
"""

from __future__ import annotations

import json
import os
import sys
from argparse import Namespace
from collections.abc import Callable, Sequence
from datetime import datetime, time, timedelta
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.keeping import Asked, Found
from kiosk.flow.ports import RecordTrouble
from kiosk.hardware.clock import SystemClock
from kiosk.wiring.counter import words
from kiosk.wiring.forget_command import erase, retain
from kiosk.wiring.home import Home
from kiosk.wiring.record_office import RecordDesk

if TYPE_CHECKING:
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store
    from kiosk.store.verify import Verdict

HOLDS, BROKEN, BAD_INPUT, NOTHING, CLOSED = range(5)


def run(arguments: Namespace) -> int:
    """Run one of the record's commands and return its exit code (see ``kiosk record --help``)."""
    home, spoken = Home(arguments.home), words(arguments.language)
    if not home.database.is_file():
        return _fail(f"{arguments.home}: there is no counter's record here", BAD_INPUT)
    try:
        return ACTS[arguments.act](home, spoken, arguments)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nobody reads any more
        return HOLDS
    except RecordTrouble as trouble:
        return _fail(f"{spoken.say('closed.question')}: {trouble}", CLOSED)


def _fail(sentence: str, code: int) -> int:
    """Say one sentence on standard error and return a code."""
    print(sentence, file=sys.stderr)
    return code


# -- proving ---------------------------------------------------------------------------------------


def _verify(home: Home, spoken: Words, arguments: Namespace) -> int:
    """Read the whole record and say whether it holds; else the first place that breaks, and how."""
    from kiosk.store.keys import read_keys
    from kiosk.store.seals import read_seal
    from kiosk.wiring.policies import proved

    keys = read_keys(home.keys)
    slips = [read_seal(_text_of(seal), keys) for seal in arguments.seal]
    verdict = proved(home, keys, slips)
    print(_verdict_json(verdict) if arguments.json else _verdict_said(verdict, spoken))
    return HOLDS if verdict.whole else BROKEN


def _text_of(seal: str) -> str:
    """Return the line of a seal, given itself or in a file."""
    path = Path(seal)
    return path.read_text(encoding="utf-8", errors="replace") if path.is_file() else seal


def _verdict_said(verdict: Verdict, spoken: Words) -> str:
    """Return a verdict in words, the first break first."""
    say = spoken.say
    lines = [say("keeping.verify.whole" if verdict.whole else "keeping.verify.broken") + "."]
    for broken in verdict.breaks:
        at = f"{say('keeping.verify.entry', entry=broken.seq)}: " if broken.seq else ""
        lines.append(f"  {at}{say(f'record.how.{broken.how.value}')} ({broken.detail})")
    lines.append(say("keeping.verify.entries", count=verdict.entries))
    sealed = say("keeping.verify.sealed", entry=verdict.sealed) if verdict.sealed else ""
    lines.append(sealed or say("keeping.verify.not_sealed"))
    return "\n".join(lines)


def _verdict_json(verdict: Verdict) -> str:
    """Return a verdict for machines."""
    breaks = [{"entry": one.seq, "how": one.how.value, "detail": one.detail} for one in verdict.breaks]
    said = {
        "holds": verdict.whole,
        "entries": verdict.entries,
        "sealed_to": verdict.sealed,
        "breaks": breaks,
    }
    return json.dumps(said, ensure_ascii=False)


# -- what needs the open record --------------------------------------------------------------------


def _opened(act: Callable[[RecordDesk, Store, Words, Namespace], int]) -> Callable[..., int]:
    """Return an act that opens the store, does its work and closes it."""

    def done(home: Home, spoken: Words, arguments: Namespace) -> int:
        from kiosk.store.opening import open_store

        store = open_store(home.database, home.keys)
        try:
            return act(RecordDesk(store, home, spoken), store, spoken, arguments)
        finally:
            store.close()

    return done


def _seal(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """Seal the record as it stands; print the seal, and where slip and text lie."""
    made = desk.seal(SystemClock().now())
    if made is None:
        return _fail(spoken.say("keeping.seal.nothing"), NOTHING)
    print(made.text)
    outbox = arguments.home / "outbox"
    print(outbox / made.file, outbox / f"{Path(made.file).stem}.pdf", sep="\n", file=sys.stderr)
    return HOLDS if made.printed.outcome == "printed" else _fail(made.printed.detail, CLOSED)


def _search(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """List the syringes asked for, latest first."""
    asked = _asked(arguments)
    if isinstance(asked, str):
        return _fail(asked, BAD_INPUT)
    return _listed(desk.search(asked), desk, spoken, arguments)


def _recall(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """List every syringe a lot went into, earliest first, however many."""
    from kiosk.store.search import recall

    return _listed(recall(store.database, arguments.lot), desk, spoken, arguments)


def _listed(found: Sequence[Found], desk: RecordDesk, spoken: Words, arguments: Namespace) -> int:
    """Print syringes, as JSON or one a line for people."""
    from kiosk.store.export import to_json

    if not found:
        return _fail(spoken.say("keeping.found.nothing"), NOTHING)
    if arguments.json:
        print(to_json(found))
        return HOLDS
    for one in found:
        people = "/".join(person for person in (one.preparer, one.checker, one.witness) if person)
        outcome = spoken.say(f"keeping.found.{one.outcome or 'open'}")
        parts = (
            f"{one.opened_at.astimezone():%Y-%m-%d %H:%M}",
            one.code,
            desk.drug_name(one.drug),
            f"{one.patient} ({one.patient_number})",
            " ".join(one.lots),
            people,
            outcome,
        )
        print("  ".join(part for part in parts if part))
    return HOLDS


def _asked(arguments: Namespace) -> Asked | str:
    """Return what is looked for, or what is wrong with it."""
    try:
        since = _start_of(arguments.since or arguments.day)
        until = _start_of(arguments.until or arguments.day)
    except ValueError:
        return "a day is written like 2026-03-16"
    if until is not None:
        until += timedelta(days=1)
    return Asked(arguments.patient, arguments.drug, arguments.lot, arguments.person, since, until)


def _start_of(day: str) -> datetime | None:
    """Return when a day begins on this machine; None where no day is given. Raises ``ValueError``."""
    return datetime.combine(datetime.fromisoformat(day).date(), time()).astimezone() if day else None


def _export(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """Write syringes as CSV or JSON, the ledger line by line, or one syringe whole as JSON or PDF."""
    made = _exported(desk, store, arguments)
    if isinstance(made, str):
        return _fail(made, BAD_INPUT)
    if isinstance(made, Refusal):
        return _fail(spoken.refusal(made).what, NOTHING)
    if arguments.out == "-":
        sys.stdout.buffer.write(made)
        sys.stdout.flush()
    else:
        Path(arguments.out).write_bytes(made)
    return HOLDS


def _exported(desk: RecordDesk, store: Store, arguments: Namespace) -> bytes | Refusal | str:
    """Return the bytes of an export, a refusal, or what is wrong with what was asked."""
    from kiosk.store import export

    if arguments.format == "ledger":
        lines = StringIO()
        export.ledger_lines(store.database.path, lines)
        return lines.getvalue().encode()
    if arguments.syringe:
        return _one(desk, arguments)
    if arguments.format == "pdf":
        return "a PDF is of one syringe: name it with --syringe"
    asked = _asked(arguments)
    if isinstance(asked, str):
        return asked
    found, out = desk.search(asked), StringIO()
    if arguments.format == "json":
        return (export.to_json(found) + "\n").encode()
    export.to_csv(found, out)
    return out.getvalue().encode()


def _one(desk: RecordDesk, arguments: Namespace) -> bytes | Refusal | str:
    """Return one syringe whole, by its code or its id."""
    from kiosk.store import export

    found = desk.by_code(arguments.syringe.upper())
    preparation = found.preparation if found else arguments.syringe
    if arguments.format == "pdf":
        return desk.sheet_pdf(preparation)
    entries = desk.entries(preparation)
    if not entries:
        return Refusal("no_such_syringe", {"syringe": arguments.syringe})
    if arguments.format == "csv":
        return "one syringe whole is exported as JSON or PDF"
    return (export.syringe_to_json(preparation, entries) + "\n").encode()


ACTS: Final[dict[str, Callable[[Home, Words, Namespace], int]]] = {
    "verify": _verify,
    "seal": _opened(_seal),
    "search": _opened(_search),
    "recall": _opened(_recall),
    "export": _opened(_export),
    "erase": _opened(erase),
    "retain": _opened(retain),
}
