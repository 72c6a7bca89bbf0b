"""Which doses need an independent check by another person, and why. Site policy can only add reasons."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.check_tables import CheckFigures, CheckPolicy, Figure, SecondRule
from kiosk.core.catalogue.people import Person
from kiosk.core.checks.amounts import ONE_DOSE, Amounts, in_unit, ordered_amounts
from kiosk.core.checks.order_checks_dose import furthest_above
from kiosk.core.dose.order import DosePerBody, Order
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


def second_reasons(
    order: Order, preparer: Person, dose: Measure | None, policy: CheckPolicy
) -> tuple[str, ...]:
    """Return why this dose needs an independent check, as words keys under ``second``.

    ``dose`` is the dose worked out, or None to go by what the order says. The age is that of the day
    the dose is due. A dose whose size cannot be judged counts as large.
    """
    held = _held(order, preparer, dose, policy)
    return tuple(dict.fromkeys(rule.reason for rule in held if rule.form is CheckForm.INDEPENDENT))


def other_form(order: Order, preparer: Person, dose: Measure | None, policy: CheckPolicy) -> CheckForm:
    """Return the weightiest form that a site asks for beside the independent check: ``ONE`` for none.

    It counts only where nothing calls for an independent second person.
    """
    held = _held(order, preparer, dose, policy)
    forms = [rule.form for rule in held if rule.form is not CheckForm.INDEPENDENT]
    return max(forms, key=lambda form: form.weight, default=CheckForm.ONE)


def _held(
    order: Order, preparer: Person, dose: Measure | None, policy: CheckPolicy
) -> tuple[SecondRule, ...]:
    """Return the rules whose every condition is met."""
    amounts = Amounts(dose, dose) if dose is not None else ordered_amounts(order)
    return tuple(rule for rule in policy.second if _holds(rule, order, preparer, amounts))


def _holds(rule: SecondRule, order: Order, preparer: Person, amounts: Amounts | None) -> bool:
    """Say whether every condition that a rule sets is met."""
    return (
        _is_about(rule, order)
        and (not rule.spoken or order.spoken)
        and (not rule.trainee or preparer.trainee)
        and (not rule.by_body or isinstance(order.dose, DosePerBody))
        and (not rule.above_limit or _above_limit(order, amounts))
        and (rule.at_least is None or _reaches(rule.at_least, order, amounts))
    )


def _is_about(rule: SecondRule, order: Order) -> bool:
    """Say whether a rule is about this drug, route and age."""
    drug, age = order.drug, (order.due.date() - order.patient.born).days
    return (
        (not rule.drug or rule.drug == drug.id)
        and (not rule.drug_class or rule.drug_class in drug.classes)
        and (not rule.routes or order.route.value in rule.routes)
        and (rule.ages is None or rule.ages.holds(age))
        and (not rule.controlled or drug.controlled)
        and (not rule.high_alert or drug.high_alert)
    )


def _reaches(least: Measure, order: Order, amounts: Amounts | None) -> bool:
    """Say whether the dose is, or may be, as large as a rule names."""
    if amounts is None:
        return True
    dose = in_unit(amounts.most, least.unit, order.drug)
    return dose is None or dose >= least


def _above_limit(order: Order, amounts: Amounts | None) -> bool:
    """Say whether one dose is above a bound of the drug list."""
    if amounts is None:
        return False
    return furthest_above(amounts.most, order, order.due.date(), ONE_DOSE) is not None


def made_stricter(
    policy: CheckPolicy, figures: Iterable[Figure], rules: Iterable[SecondRule]
) -> CheckPolicy | Refusal:
    """Return the policy with a site's own figures and further rules.

    Refuses ``policy_unknown_figure``, ``policy_looser`` (facts ``figure``, ``published``, ``site``), and
    ``policy_form_too_weak`` (``reason``, ``form``) for a weaker form under a reason that a published list,
    or the site itself, ties to an independent second person.
    """
    made = policy.figures
    names = {field.name for field in fields(CheckFigures)}
    for figure in figures:
        if figure.name not in names:
            return Refusal("policy_unknown_figure", {"figure": figure.name})
        published: Figure = getattr(policy.figures, figure.name)
        if not published.allows(figure.value):
            facts = {"published": published.value, "site": figure.value}
            return Refusal("policy_looser", {"figure": figure.name, **facts})
        made = replace(made, **{figure.name: replace(figure, stricter=published.stricter)})
    own = tuple(rules)
    demanded = {rule.reason for rule in (*policy.second, *own) if rule.form is CheckForm.INDEPENDENT}
    weak = next((r for r in own if r.form is not CheckForm.INDEPENDENT and r.reason in demanded), None)
    if weak is not None:
        return Refusal("policy_form_too_weak", {"reason": weak.reason, "form": weak.form.value})
    return CheckPolicy(made, (*policy.second, *own))
