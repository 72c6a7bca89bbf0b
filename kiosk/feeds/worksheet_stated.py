"""The facts of a description in the vocabulary of questions, so that both forms are followed alike."""

from __future__ import annotations

from typing import Any, TypeAlias

from kiosk.core.dose.follow import Stated
from kiosk.feeds.worksheet_facts import Vocabulary, stated
from kiosk.feeds.worksheet_form import ContainerIn, Description, DrugIn, MakeUpIn
from kiosk.feeds.worksheet_read import BadInput

Fields: TypeAlias = dict[str, tuple[str, Any]]
"""By the name a question uses: the description's own path, and what stands there."""


def stated_in(described: Description, vocabulary: Vocabulary) -> Stated:
    """Return what a description states as facts. Raises ``BadInput`` with the description's own path."""
    fields = {name: field for name, field in _fields(described).items() if field[1] is not None}
    try:
        return stated(vocabulary.read({name: node for name, (_, node) in fields.items()}))
    except BadInput as trouble:
        raise _at_home(trouble, fields) from trouble


def _at_home(trouble: BadInput, fields: Fields) -> BadInput:
    """Return a complaint about ``given.dose_rate.unit`` as one about ``order.dose_rate.unit``."""
    for name, (path, _) in fields.items():
        under = f"given.{name}"
        if trouble.path == under or trouble.path.startswith((f"{under}.", f"{under}[")):
            return BadInput(path + trouble.path.removeprefix(under), trouble.code, **trouble.facts)
    return trouble


def _fields(described: Description) -> Fields:
    """Return the fields of a description that state facts, said or not."""
    order, patient, policy = described.order, described.patient, described.policy
    chosen = "dose" if order.dose is not None else "chosen_dose"
    return {
        "ordered_dose": (f"order.{chosen}", getattr(order, chosen)),
        "dose_rate": ("order.dose_rate", order.dose_rate),
        "divided_doses_per_day": ("order.divided_doses_per_day", order.divided_doses_per_day),
        "doses_per_day": ("order.doses_per_day", order.doses_per_day),
        "max_single_dose": ("order.max_single_dose", order.max_single_dose),
        "min_single_dose": ("order.min_single_dose", order.min_single_dose),
        "max_daily_dose": ("order.max_daily_dose", order.max_daily_dose),
        "range_low": ("order.range_low", order.range_low),
        "range_high": ("order.range_high", order.range_high),
        "formula": ("order.surface_by", order.surface_by),
        "patient_weight": ("patient.weight", patient.weight),
        "patient_height": ("patient.height", patient.height),
        "sex": ("patient.sex", patient.sex or None),
        "max_injection_volume": ("policy.max_injection_volume", policy.max_injection_volume),
        **_of_drug(order.drug),
        **(_of_container(described.containers[0]) if described.containers else {}),
    }


def _of_drug(drug: str | DrugIn | None) -> Fields:
    """Return what is said of the drug that bridges units."""
    if not isinstance(drug, DrugIn):
        return {}
    names = ("valence", "molar_mass", "allowed_error")
    return {name: (f"order.drug.{name}", getattr(drug, name)) for name in names}


def _of_container(container: ContainerIn) -> Fields:
    """Return what the first container states; a liquid, or a powder by the one line that holds."""
    path = "containers[0]"
    if container.powder is not None:
        chosen = [at for at, line in enumerate(container.make_ups) if line.chosen]
        only = chosen or list(range(len(container.make_ups)))
        line = _of_line(container.make_ups[only[0]], f"{path}.make_ups[{only[0]}]") if len(only) == 1 else {}
        return {"powder": (f"{path}.powder", container.powder), **line}
    return {
        "stock_strength": (f"{path}.strength", container.strength),
        "content_per_container": (f"{path}.amount", container.amount),
        "container_volume": (f"{path}.contents", container.contents),
    }


def _of_line(line: MakeUpIn, path: str) -> Fields:
    """Return what one line of a powder label states."""
    return {
        "diluent_added": (f"{path}.diluent", line.diluent),
        "displacement_volume": (f"{path}.displacement", line.displacement),
        "final_volume": (f"{path}.final_volume", line.final_volume),
        "final_concentration": (f"{path}.final_strength", line.final_strength),
    }
