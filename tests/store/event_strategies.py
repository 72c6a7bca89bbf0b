"""Any value of a core type, built from the type itself: what the codec must be able to carry."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from decimal import Decimal
from fractions import Fraction
from typing import get_args

from hypothesis import strategies as st

from kiosk.core.preparation.events import Event
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.core.units import BASE_UNITS, Measure

_UNITS = st.sampled_from([*BASE_UNITS, "mg/mL", "mg/kg/day", "units/mL"])
_ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))

st.register_type_strategy(Fraction, st.fractions())
st.register_type_strategy(Measure, st.builds(Measure, st.fractions(), _UNITS))
st.register_type_strategy(Decimal, st.decimals(allow_nan=False, allow_infinity=False))
st.register_type_strategy(
    datetime,
    st.datetimes(datetime(1900, 1, 2), datetime(2199, 12, 30), timezones=_ZONES),  # noqa: DTZ001
)

EVENTS = get_args(Event)
HOUSE_EVENTS = get_args(HouseEvent)
KINDS = (*EVENTS, *HOUSE_EVENTS)
