"""The facts of a description in the vocabulary of questions, so that both forms are followed alike."""

from __future__ import annotations

from typing import Any

from kiosk.feeds.worksheet_form import ContainerIn, Description, DrugIn, MakeUpIn


def given_of(described: Description) -> dict[str, Any]:
    """Return what a description states as the ``given`` of a question; only what is said."""
    order, patient = described.order, described.patient
    facts: dict[str, Any] = {
        "ordered_dose": order.dose if order.dose is not None else order.chosen_dose,
        "dose_rate": order.dose_rate,
        "divided_doses_per_day": order.divided_doses_per_day,
        "doses_per_day": order.doses_per_day,
        "max_single_dose": order.max_single_dose,
        "min_single_dose": order.min_single_dose,
        "max_daily_dose": order.max_daily_dose,
        "range_low": order.range_low,
        "range_high": order.range_high,
        "formula": order.surface_by,
        "patient_weight": patient.weight,
        "patient_height": patient.height,
        "sex": patient.sex or None,
        "max_injection_volume": described.policy.max_injection_volume,
        **_of_drug(order.drug),
        **(_of_container(described.containers[0]) if described.containers else {}),
    }
    return {name: value for name, value in facts.items() if value is not None}


def _of_drug(drug: str | DrugIn | None) -> dict[str, Any]:
    """Return what is said of the drug that bridges units."""
    if not isinstance(drug, DrugIn):
        return {}
    return {"valence": drug.valence, "molar_mass": drug.molar_mass, "allowed_error": drug.allowed_error}


def _of_container(container: ContainerIn) -> dict[str, Any]:
    """Return what the first container states; a liquid or a powder by the one line that holds."""
    if container.powder is not None:
        chosen = [line for line in container.make_ups if line.chosen] or container.make_ups
        return {"powder": container.powder, **(_of_line(chosen[0]) if len(chosen) == 1 else {})}
    return {
        "stock_strength": container.strength,
        "content_per_container": container.amount,
        "container_volume": container.contents,
    }


def _of_line(line: MakeUpIn) -> dict[str, Any]:
    """Return what one line of a powder label states."""
    return {
        "diluent_added": line.diluent,
        "displacement_volume": line.displacement,
        "final_volume": line.final_volume,
        "final_concentration": line.final_strength,
    }
