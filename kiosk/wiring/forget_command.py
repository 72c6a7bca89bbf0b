"""``kiosk record erase`` and ``retain``: shown first, done only once a keeper confirms what was shown."""

from __future__ import annotations

import sys
from argparse import Namespace
from getpass import getpass
from hashlib import sha256
from typing import TYPE_CHECKING

from kiosk.core.catalogue.people import Person, Role
from kiosk.core.findings import Refusal
from kiosk.flow.keeping_forgetting import DueToGo, KnownPatient
from kiosk.hardware.clock import SystemClock
from kiosk.wiring.forgetting import Forgetting
from kiosk.wiring.policies import SitePolicies

if TYPE_CHECKING:
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store
    from kiosk.wiring.record_office import RecordDesk

DONE, BAD_INPUT, NOTHING = 0, 2, 3


def erase(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """Show whom the number names; erase them once the code shown is given back."""
    office = Forgetting(store, desk.home)
    found = [one for one in office.patients(arguments.patient) if one.number == arguments.patient.strip()]
    if not found:
        return _refused(spoken, Refusal("unknown_patient"))
    (one,) = found[:1]
    token = _token(one)
    if arguments.confirm.upper() != token:
        print(
            _patient_said(spoken, one),
            spoken.say("forgetting.what_goes"),
            spoken.say("forgetting.backups"),
            sep="\n",
        )
        return _shown(spoken, token, arguments.confirm)
    keeper = _keeper(desk, store, spoken, arguments.badge)
    if keeper is None:
        return BAD_INPUT
    answer = office.erase(keeper.id, one.id, arguments.reason, SystemClock().now())
    if isinstance(answer, Refusal):
        return _refused(spoken, answer)
    print(spoken.say("forgetting.erased", papers=answer.papers), spoken.say("forgetting.backups"), sep="\n")
    return DONE


def retain(desk: RecordDesk, store: Store, spoken: Words, arguments: Namespace) -> int:
    """Show what was kept long enough; let it go once the code shown is given back."""
    office, now = Forgetting(store, desk.home), SystemClock().now()
    due = office.due(now)
    print(*_due_said(spoken, due), sep="\n")
    if due.nothing:
        return DONE
    if arguments.confirm.upper() != due.token:
        return _shown(spoken, due.token, arguments.confirm)
    keeper = _keeper(desk, store, spoken, arguments.badge)
    if keeper is None:
        return BAD_INPUT
    answer = office.let_go(keeper.id, due, now)
    if isinstance(answer, Refusal):
        return _refused(spoken, answer)
    print(spoken.say("forgetting.gone"), spoken.say("forgetting.backups"), sep="\n")
    return DONE


def _due_said(spoken: Words, due: DueToGo) -> list[str]:
    """Return what is due, line by line."""
    say = spoken.say
    lines = [_patient_said(spoken, one) for one in due.patients]
    lines += [say("forgetting.paper", name=name) for name in due.papers]
    lines.append(say("forgetting.due", patients=len(due.patients), tries=due.tries, papers=len(due.papers)))
    if due.record_until is not None:
        lines.append(say("forgetting.record_until", day=due.record_until))
    return lines


def _patient_said(spoken: Words, one: KnownPatient) -> str:
    """Return one patient in one line."""
    return spoken.say(
        "forgetting.patient",
        name=one.name,
        number=one.number,
        born=one.born,
        syringes=one.syringes,
        last=one.last.astimezone().date(),
    )


def _token(one: KnownPatient) -> str:
    """Return the code that stands for exactly this patient as shown."""
    return sha256(repr(one).encode()).hexdigest()[:8].upper()


def _shown(spoken: Words, token: str, given: str) -> int:
    """Say how to go on; a wrong code does nothing."""
    if given:
        print(spoken.say("forgetting.other_code"), file=sys.stderr)
    print(spoken.say("forgetting.confirm", code=token))
    return BAD_INPUT if given else DONE


def _keeper(desk: RecordDesk, store: Store, spoken: Words, badge: str) -> Person | None:
    """Return the keeper whose badge and PIN these are; say why not on standard error."""
    if not badge:
        print(spoken.say("forgetting.badge_wanted"), file=sys.stderr)
        return None
    SitePolicies(store, desk.home).judge()
    pin = getpass(spoken.say("forgetting.pin")) if sys.stdin.isatty() else sys.stdin.readline().strip()
    answer = store.people.sign_on(badge, pin, SystemClock().now())
    if isinstance(answer, Person) and Role.KEEPER not in answer.roles:
        answer = Refusal("keeper_only")
    if isinstance(answer, Refusal):
        print(spoken.refusal(answer).what, file=sys.stderr)
        return None
    return answer


def _refused(spoken: Words, why: Refusal) -> int:
    """Say why it was not done."""
    card = spoken.refusal(why)
    print(card.what, card.now, file=sys.stderr)
    return NOTHING
