"""From a vouched syringe to a print job: the label's fields, then one job for the printer.

The job runs after the request is durable and outside the interface thread. It touches no state: what came
of it goes back to the desk as an action.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from kiosk.core.findings import Refusal
from kiosk.core.label.fields import LabelFacts, label_fields
from kiosk.core.label.says import LabelFields
from kiosk.core.preparation.checking import label_code, proof
from kiosk.core.preparation.plans import Rules, sure_plan
from kiosk.core.preparation.state import Preparation
from kiosk.flow.ports import LabelPrinter, Printed

Job: TypeAlias = Callable[[], Printed]
