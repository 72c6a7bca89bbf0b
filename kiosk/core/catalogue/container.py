"""Products and the very containers of them that stand on the counter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum

from kiosk.core.catalogue.devices import InjectionNeedle, Tip
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.strength import MakeUp, Strength
from kiosk.core.units import Measure


class Form(StrEnum):
    """What kind of container it is: it decides the draw-up device, the air and what may be kept."""

    GLASS_AMPOULE = "glass ampoule"
    PLASTIC_AMPOULE = "plastic ampoule"
    SINGLE_DOSE_VIAL = "single-dose vial"
    MULTI_DOSE_VIAL = "multi-dose vial"
    POWDER_VIAL = "powder vial"
    PREFILLED = "prefilled syringe"


@dataclass(frozen=True, slots=True)
class PrefilledBarrel:
    """What a prefilled syringe is as a syringe: its tip, its lines if it has any, the needle fixed to it.

    Without a ``graduation`` (mL) it has no lines: only its whole content is a dose. ``bore`` is the inner
    width in mm; None means a typical one.
    """

    tip: Tip = Tip.LOCK
    graduation: Measure | None = None
    numbered_every: Measure | None = None
    bore: Measure | None = None
    needle: InjectionNeedle | None = None


@dataclass(frozen=True, slots=True)
class Product:
    """One product of a drug: ``gtin`` is its 14-digit trade item number, ``contents`` the labelled fill.

    ``in_use`` is how long a multi-dose vial may be used once opened (maker's figure); None means the
    published default of the in-use table applies. ``stated_as`` says whether the strength counts the
    ``base`` or the ``salt``, where the drug has both. ``overfill`` is what the maker puts in beyond the
    labelled contents; no dose counts on it. ``price`` is what one container costs, in ``currency`` (three
    letters by ISO 4217); None where nobody said. ``barrel`` is that of a prefilled syringe, where it is
    known.
    """

    id: str
    gtin: str
    drug: Drug
    label_name: str
    strength: Strength
    form: Form
    contents: Measure | None
    routes: frozenset[str]
    in_use: Measure | None = None
    stable_in_syringe: Measure | None = None
    store: str = ""
    stated_as: str = ""
    overfill: Measure | None = None
    price: Decimal | None = None
    barrel: PrefilledBarrel | None = None
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Container:
    """One physical container, or one lot's worth of identical unopened ones where no serial is kept.

    ``id`` is the kiosk's own key. ``left`` is what an opened container still holds; None is unopened.
    ``opened_at`` and ``discard_after`` are set once a multi-dose vial is opened. ``reserved_for`` is the
    id of the order somebody is preparing from it; empty means free. ``set_aside`` says why it is in
    quarantine; empty when it is not. ``made_up`` is the label line by which a powder was made up.
    """

    id: str
    product: Product
    lot: str
    expiry: date
    serial: str = ""
    drawer: str = ""
    left: Measure | None = None
    opened_at: datetime | None = None
    discard_after: datetime | None = None
    recalled: bool = False
    used_up: bool = False
    reserved_for: str = ""
    set_aside: str = ""
    made_up: MakeUp | None = None
