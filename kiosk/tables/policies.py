"""The site's policies by name: what is published for each, and what the site's own files say."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.catalogue.policy import Policy, policy_of
from kiosk.core.units import Measure
from kiosk.tables.check_tables import check_policy
from kiosk.tables.csv_rows import BadTable, Row, read, rows
from kiosk.tables.sign_on import sign_on_figures

SIGN_ON: Final = "sign_on"
CHECK: Final = "check"
RETENTION: Final = "retention"
FORMS: Final = "check_forms"
# Files of a site that hold figures, and the kind of policy that each row of them is.
_FIGURES: Final = {"sign_on": SIGN_ON, "check_policy": CHECK, "retention": RETENTION}
_SAYS_HOW: Final = frozenset({"source", "known"})


def published_policies() -> tuple[Policy, ...]:
    """Return every figure that a site may set, as published. Raises ``BadTable``."""
    sign_on = [policy_of(SIGN_ON, figure) for figure in _figures_of(sign_on_figures())]
    check = [policy_of(CHECK, figure) for figure in _figures_of(check_policy().figures)]
    return (*sign_on, *check, _pause(), *(_retention(row) for row in rows("retention")))


def _figures_of(bundle: object) -> list[Figure]:
    """Return the figures of a bundle, in its order."""
    found = (getattr(bundle, name) for name in type(bundle).__dataclass_fields__)  # type: ignore[attr-defined]
    return [figure for figure in found if isinstance(figure, Figure)]


def _pause() -> Policy:
    """Return how long a person who checks alone steps back: a site may make it longer."""
    row = next((row for row in rows("independence") if row["id"] == "self_check_pause"), None)
    if row is None:
        raise BadTable("independence.csv: missing: self_check_pause")
    return Policy(f"{CHECK}.self_check_pause", row.measure("value"), row["source"], "higher")


def _retention(row: Row) -> Policy:
    """Return how long something is kept."""
    least, value = row.measure("least"), row.measure("value")
    if value < least:
        raise row.refused("value is below the least that any site may keep")
    return Policy(f"{RETENTION}.{row.text('id')}", value, row["source"], "neither", least)


def filed_figures(site: Path | None) -> dict[str, Measure]:
    """Return what a site's files say of figures, by the policy's name. Raises ``BadTable``."""
    published = {policy.name: policy for policy in published_policies()}
    found: dict[str, Measure] = {}
    for file, kind in _FIGURES.items():
        for row in _rows_of(site, file):
            name, value = f"{kind}.{row.text('id')}", row.measure("value")
            if name not in published:
                raise row.refused("no such policy")
            if not published[name].allows(value):
                raise row.refused("looser than a site may be")
            found[name] = value
    return found


def filed_rows(site: Path | None) -> dict[str, str]:
    """Return every other row of a site's files, by table and key, as text; and the weaker forms it asks for.

    Device tables, rules of who must look twice: what a site lays over the shipped rows. Raises ``BadTable``.
    """
    found: dict[str, str] = {}
    for path in sorted(site.glob("*.csv")) if site is not None else ():
        if path.stem not in _FIGURES:
            for place, row in enumerate(read(path), start=1):
                key = row.get("id") or row.get("reason") or str(place)
                name = f"site.{path.stem}.{key}"
                found[name if name not in found else f"{name}.{place}"] = _said(row)
    return found | {FORMS: ", ".join(check_forms(site))}


def check_forms(site: Path | None) -> tuple[str, ...]:
    """Return the weaker forms of check that a site asks for somewhere, in order."""
    forms = {rule.form for rule in check_policy(site).second}
    return tuple(form.value for form in CheckForm if form in forms and form is not CheckForm.INDEPENDENT)


def _rows_of(site: Path | None, file: str) -> list[Row]:
    """Return the rows of one of a site's files; one that is not there has none."""
    path = site / f"{file}.csv" if site is not None else None
    return read(path) if path is not None and path.is_file() else []


def _said(row: Row) -> str:
    """Return a row as text: every cell that is filled, with its column."""
    return "; ".join(f"{column} {cell}" for column, cell in row.items() if cell and column not in _SAYS_HOW)
