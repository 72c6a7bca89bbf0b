"""One page for every control and the main states, in English and French. All names are invented."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from kiosk.pages.parts import (
    Choice,
    Choices,
    Comparison,
    DueList,
    DueRow,
    FindingCard,
    Foot,
    Ground,
    InHand,
    Key,
    LetterEntry,
    Line,
    Lines,
    Mark,
    NumberEntry,
    Page,
    PinEntry,
    PlungerSetter,
    ScanWanted,
    Slip,
    StageMark,
    Statement,
    StepCard,
    Weight,
    Working,
)
from tests.ui.sample_pictures import ampoule, syringe

D = Decimal
HALF_WAY = D("19.80")
Pick = Callable[[str, str], str]

DECIDED = (
    "checked",
    "12.5 mg in 1 mL",
    "0.5 mL",
    "3 mL lock tip",
    "25 G 16 mm",
    "done",
    "0.5 mL",
    "agreed",
    "",
    "",
)
EN_STAGES = (
    "Order",
    "Stock",
    "Volume",
    "Syringe",
    "Needles",
    "Draw-up",
    "Reading",
    "Second check",
    "Label",
    "Rest",
)
FR_STAGES = (
    "Prescription",
    "Produit",
    "Volume",
    "Seringue",
    "Aiguilles",
    "Prélèvement",
    "Lecture",
    "Double contrôle",
    "Étiquette",
    "Reste",
)


def english(en: str, fr: str) -> str:
    """Pick the English words."""
    return en


def french(en: str, fr: str) -> str:
    """Pick the French words."""
    return fr


def stages(t: Pick, now: int) -> tuple[StageMark, ...]:
    """The ten stages, the ``now``-th being worked on."""
    names = FR_STAGES if t("en", "fr") == "fr" else EN_STAGES
    states = ["done" if n < now else "now" if n == now else "ahead" for n in range(10)]
    return tuple(StageMark(names[n], DECIDED[n] if n < now else "", states[n]) for n in range(10))


def slip(t: Pick, marks: int = 3) -> Slip:
    """An order of ordinary length."""
    seen = (
        Mark(t("wristband", "bracelet"), "14:06"),
        Mark(t("ampoule, lot K7704", "ampoule, lot K7704"), "14:09"),
        Mark(t("expiry Aug 2027", "péremption août 2027"), "14:09"),
    )
    return Slip(
        heading=t("Order 2117", "Prescription 2117"),
        due=t("due 14:30", "prévu 14 h 30"),
        patient="Ines Halvard",
        patient_lines=(
            t("born 3 Apr 1961, 64 years", "née le 3 avril 1961, 64 ans"),
            t("no. 40 118", "n° 40 118"),
            t("Bay 3, bed 2", "Salle 3, lit 2"),
            t("71.5 kg (today)", "71,5 kg (aujourd’hui)"),
        ),
        drug="prochlorPERazine",
        dose="12.5 mg",
        lines=(
            t("into muscle, outer thigh", "intramusculaire, face externe de la cuisse"),
            t("once, now", "une fois"),
        ),
        allergies_heading=t("Allergies", "Allergies"),
        allergies=(t("penicillin (rash, 2009)", "pénicilline (éruption, 2009)"),),
        confirmed_heading=t("Confirmed against", "Confirmé d’après"),
        marks=seen[:marks],
    )


def long_slip(t: Pick) -> Slip:
    """An order with everything said at length."""
    return replace(
        slip(t),
        patient="Maximiliane-Philippa van Oosterhuis-Wetterberg",
        drug="hydroxyprogesterone caproate",
        dose=t("100 mcg per kg = 7.15 mg", "100 mcg par kg = 7,15 mg"),
        lines=(
            t(
                "deep into muscle, upper outer buttock, left",
                "intramusculaire profonde, quadrant supéro-externe, gauche",
            ),
            t(
                "every 12 hours, 3rd of 5 doses, last at 02:30",
                "toutes les 12 heures, 3e dose sur 5, dernière à 2 h 30",
            ),
            t("spoken order, read back to Dr T. Lindqvane", "ordre oral, relu au Dr T. Lindqvane"),
        ),
        allergies=(
            t("penicillin (rash, 2009)", "pénicilline (éruption, 2009)"),
            t("natural rubber latex (swelling)", "latex naturel (gonflement)"),
            t("benzyl alcohol (as an infant)", "alcool benzylique (nourrisson)"),
        ),
    )


def foot(
    t: Pick, who: str = "R. Okonjo", role: tuple[str, str] = ("Preparing", "Préparation"), stop: bool = True
) -> Foot:
    """The foot of a working page."""
    key = Key("stop", t("Stop this syringe", "Arrêter cette seringue"), weight=Weight.GRAVE)
    return Foot(
        t(*role),
        who,
        "14:11",
        (t("Scanner ready", "Lecteur prêt"), t("Label printer ready", "Imprimante prête")),
        key if stop else None,
    )


def digits() -> tuple[Key, ...]:
    """Ten digit keys."""
    return tuple(Key(f"digit:{n}", str(n)) for n in range(10))


def number(t: Pick, typed: str, words: str) -> NumberEntry:
    """A number pad."""
    return NumberEntry(
        typed,
        "mL",
        words,
        digits(),
        Key("point", t(".", ","), spoken=t("point", "virgule")),
        Key("erase", "", spoken=t("Erase", "Effacer")),
        Key(
            "commit",
            t("Commit", "Valider"),
            t("then compare", "puis comparer"),
            Weight.PRIMARY,
            enabled=bool(typed),
        ),
    )


def hand(t: Pick) -> InHand:
    """A syringe in the hand, with the line to reach."""
    return InHand(
        t("In your hand", "Dans votre main"),
        t("life size", "taille réelle"),
        syringe(D("7.333"), line_at=D("7.333"), line_text="0.5 mL"),
        t("3 mL, lock tip, lines every 0.1 mL", "3 mL, embout à vis, traits tous les 0,1 mL"),
        (
            t("Published tolerance at 0.5 mL:", "Tolérance publiée à 0,5 mL :"),
            t("0.45 to 0.55 mL, so 5.6 to 6.9 mg", "0,45 à 0,55 mL, soit 5,6 à 6,9 mg"),
        ),
        t("drawn smaller", "dessin réduit"),
    )


def container(t: Pick) -> InHand:
    """An ampoule in the hand."""
    return InHand(
        t("In your hand", "Dans votre main"),
        t("life size", "taille réelle"),
        ampoule(),
        t("Glass ampoule, 12.5 mg in 1 mL", "Ampoule de verre, 12,5 mg dans 1 mL"),
        (t("lot K7704, expires Aug 2027", "lot K7704, péremption août 2027"),),
        t("drawn smaller", "dessin réduit"),
    )


def volume(t: Pick, typed: str = "0.5") -> Page:
    """The preparer commits a volume."""
    said = t("nought point five millilitres", "zéro virgule cinq millilitre")
    return Page(
        "volume",
        Ground.BENCH,
        t("How much do you draw up?", "Quel volume prélevez-vous ?"),
        t(
            "Work it out first. The kiosk shows its own figure after yours.",
            "Calculez d’abord. La borne montre son résultat après le vôtre.",
        ),
        number(t, typed, said if typed else ""),
        slip(t),
        stages(t, 2),
        in_hand=container(t),
        foot=foot(t),
    )


def volume_with_caution(t: Pick) -> Page:
    """A number entry with a caution above it: the tightest page."""
    return replace(volume(t), id="volume_caution", findings=(caution(t),), slip=long_slip(t))


def pin(t: Pick, busy: bool = False) -> Page:
    """Sign-on: the badge is seen, the PIN is being typed."""
    return Page(
        "pin",
        Ground.DOOR,
        t("Your PIN", "Votre code"),
        t("Badge read. Nobody else should see this.", "Badge lu. Personne d’autre ne doit voir ce code."),
        PinEntry(
            "R. Okonjo",
            3,
            digits(),
            Key("erase", "", spoken=t("Erase", "Effacer"), enabled=not busy),
            Key("commit", t("Sign on", "Entrer"), weight=Weight.PRIMARY, enabled=not busy),
            busy,
        ),
        foot=foot(t, who="", role=("", ""), stop=False),
    )


def door(t: Pick) -> Page:
    """Nobody is signed on."""
    return Page(
        "door",
        Ground.DOOR,
        t("Prep Counter", "Prep Counter"),
        t("One syringe at a time.", "Une seringue à la fois."),
        ScanWanted(
            t("Hold your badge before the scanner", "Présentez votre badge au lecteur"),
            t("Then your PIN.", "Puis votre code."),
            (
                Key("badge:by_hand", t("Type the badge number", "Saisir le numéro du badge")),
                Key("language", t("Français", "English")),
            ),
        ),
        foot=foot(t, who="", role=("", ""), stop=False),
    )


def due(t: Pick, rows: int = 5) -> Page:
    """The orders due."""
    data = (
        ("14:30", "Ines Halvard", "3 / 2", "prochlorPERazine", "12.5 mg", ""),
        (
            "14:30",
            "Tomas Brandelev",
            "1 / 4",
            "insulin glarvine",
            t("20 units", "20 unités"),
            t("co-sign", "à deux"),
        ),
        ("14:45", "Aurélie Montferrand-Duquesnoy", "2 / 1", "haloperidol decanoate", "50 mg", ""),
        ("15:00", "Odile Ferrant", "5 / 3", "morphine sulfate", "2.5 mg", t("controlled", "stupéfiant")),
        ("15:00", "Bertil Sandemose", "5 / 1", "cefTRIAXone", "1 g", ""),
        ("15:30", "Wanda Lisowiecka", "4 / 2", "enoxaparin", "40 mg", ""),
        ("16:00", "Per Ulvestad", "4 / 3", "hydroxocobalamin", "1 mg", ""),
    )
    made = tuple(
        DueRow(
            Key(f"order:{n}", row[1]), row[0], row[1], t("Bay ", "Salle ") + row[2], row[3], row[4], row[5]
        )
        for n, row in enumerate(data[:rows])
    )
    return Page(
        "due",
        Ground.BENCH,
        t("Which order now?", "Quelle prescription maintenant ?"),
        t(
            "Touch one, or scan the wristband or the order.",
            "Touchez-en une, ou lisez le bracelet ou la prescription.",
        ),
        DueList(
            made,
            None,
            Key("due:later", t("Later", "Plus tard")),
            t("1 to 5 of 30", "1 à 5 sur 30"),
            t("Nothing is due before 20:00.", "Rien n’est prévu avant 20 h."),
        ),
        foot=foot(t, stop=False),
        keys=(),
    )


def nothing_due(t: Pick) -> Page:
    """The empty list."""
    page = due(t, 0)
    return replace(page, id="nothing_due", control=replace(page.control, later=None, position=""))  # type: ignore[arg-type]


def stock(t: Pick) -> Page:
    """A container is to be scanned."""
    return Page(
        "stock",
        Ground.BENCH,
        t("Which ampoule is in your hand?", "Quelle ampoule avez-vous en main ?"),
        t(
            "Drawer 4, left. Earliest expiry first: August 2027.",
            "Tiroir 4, à gauche. Péremption la plus proche : août 2027.",
        ),
        ScanWanted(
            t("Scan the code on the ampoule or its tray", "Lisez le code de l’ampoule ou de sa barquette"),
            t("A scan is taken on any page.", "Une lecture est acceptée sur toute page."),
            (Key("by_hand", t("Read it by hand", "Saisir à la main")),),
        ),
        slip(t, 1),
        stages(t, 1),
        foot=foot(t),
        heard=t("Wristband of Ines Halvard", "Bracelet d’Ines Halvard"),
        in_hand=InHand(t("In your hand", "Dans votre main"), "", None, t("Nothing yet", "Rien encore")),
    )


def wrong_strength(t: Pick) -> Page:
    """A stop: the wrong strength was scanned."""
    card = FindingCard(
        "stop",
        t("Stop", "Arrêt"),
        t(
            "This ampoule is 50 mg in 2 mL; the order needs 12.5 mg in 1 mL.",
            "Cette ampoule est à 50 mg dans 2 mL ; il faut 12,5 mg dans 1 mL.",
        ),
        t(
            "Drawn up by the usual volume it would give twice the dose.",
            "Prélevée au volume habituel, elle donnerait le double de la dose.",
        ),
        t(
            "Put it back in drawer 5 and take the other from drawer 4.",
            "Remettez-la au tiroir 5 et prenez l’autre au tiroir 4.",
        ),
        t("Drug list, entry 118", "Liste des médicaments, entrée 118"),
    )
    return replace(
        stock(t), id="wrong_strength", ground=Ground.TROUBLE, findings=(card,), heard="", in_hand=container(t)
    )


def caution(t: Pick) -> FindingCard:
    """A caution card."""
    return FindingCard(
        "caution",
        t("Caution", "Attention"),
        t(
            "The last dose was 5 hours ago; the order says every 6.",
            "Dernière dose il y a 5 heures ; toutes les 6 prescrites.",
        ),
        t("Sooner than ordered adds up.", "Trop tôt, les doses s’additionnent."),
        t("Wait until 14:30, or ask the prescriber.", "Attendez 14 h 30 ou appelez le prescripteur."),
    )


def all_findings(t: Pick) -> Page:
    """Every level at once, with a statement."""
    second = FindingCard(
        "second person",
        t("Second person", "Deuxième personne"),
        t("Insulin is prepared by two.", "L’insuline se prépare à deux."),
        t("A slip of the scale is ten times the dose.", "Une erreur de lecture, et la dose est décuplée."),
        t("Call a colleague now, before drawing up.", "Appelez un collègue avant de prélever."),
    )
    note = FindingCard(
        "note",
        t("Note", "Note"),
        t("The vial was opened on 21 November.", "Le flacon a été ouvert le 21 novembre."),
        "",
        t("Use it first.", "À utiliser en premier."),
    )
    keys = (
        Key("take", t("Take this order", "Prendre cette prescription"), weight=Weight.PRIMARY),
        Key("back", t("Back to the list", "Retour à la liste")),
    )
    return Page(
        "all_findings",
        Ground.BENCH,
        t("Is this the order?", "Est-ce la bonne prescription ?"),
        "",
        Statement(
            (
                t(
                    "Twenty units of insulin glarvine under the skin.",
                    "Vingt unités d’insuline glarvine sous la peau.",
                ),
            ),
            keys,
        ),
        slip(t, 0),
        stages(t, 0),
        (second, caution(t), note),
        in_hand=container(t),
        foot=foot(t),
    )


def syringes(t: Pick) -> Page:
    """Ranked syringes, two of them refused."""
    fits = Choice(
        Key(
            "syringe:1",
            t("1 mL, slip tip", "1 mL, embout simple"),
            t("a line every 0.01 mL", "un trait tous les 0,01 mL"),
        ),
        (t("dose 5.9 to 6.6 mg", "dose 5,9 à 6,6 mg"),),
        badge=t("closest", "la plus juste"),
    )
    lock = Choice(
        Key(
            "syringe:3",
            t("3 mL, lock tip", "3 mL, embout à vis"),
            t("a line every 0.1 mL", "un trait tous les 0,1 mL"),
        ),
        (t("dose 5.6 to 6.9 mg", "dose 5,6 à 6,9 mg"),),
    )
    big = Choice(
        Key("syringe:20", t("20 mL, lock tip", "20 mL, embout à vis")),
        refused=t("0.5 mL lies below its first line", "0,5 mL est sous son premier trait"),
    )
    insulin = Choice(
        Key("syringe:u", t("1 mL insulin, in units", "1 mL à insuline, en unités")),
        refused=t("for insulin alone", "réservée à l’insuline"),
    )
    return Page(
        "syringes",
        Ground.BENCH,
        t("Which syringe do you take?", "Quelle seringue prenez-vous ?"),
        "",
        Choices((fits, lock, big, insulin)),
        slip(t),
        stages(t, 3),
        in_hand=hand(t),
        foot=foot(t),
    )


def step(t: Pick, left: int = 21) -> Page:
    """A timed step."""
    return Page(
        "step",
        Ground.BENCH,
        t("Draw up", "Prélever"),
        "",
        StepCard(
            t("2 of 9", "2 sur 9"),
            t("Wipe the stopper and let it dry", "Désinfectez le bouchon et laissez sécher"),
            t(
                "Rub for 30 seconds; wet is not clean yet.",
                "Frottez 30 secondes ; humide, il n’est pas encore propre.",
            ),
            Key("done", t("Done", "Fait"), weight=Weight.PRIMARY, enabled=left == 0),
            30,
            left,
        ),
        slip(t),
        stages(t, 5),
        in_hand=hand(t),
        foot=foot(t),
    )


def plunger(t: Pick, at: Decimal = HALF_WAY) -> Page:
    """The plunger is set on a blank syringe."""
    steps = (
        Key(
            "plunger:-10",
            "",
            t("five lines", "cinq traits"),
            spoken=t("Up by five lines", "Monter de cinq traits"),
        ),
        Key(
            "plunger:-1",
            "",
            t("half a line", "un demi-trait"),
            spoken=t("Up by half a line", "Monter d’un demi-trait"),
        ),
        Key(
            "plunger:1",
            "",
            t("half a line", "un demi-trait"),
            spoken=t("Down by half a line", "Descendre d’un demi-trait"),
        ),
        Key(
            "plunger:10",
            "",
            t("five lines", "cinq traits"),
            spoken=t("Down by five lines", "Descendre de cinq traits"),
        ),
    )
    return Page(
        "plunger",
        Ground.BENCH,
        t("Where does the plunger stand?", "Où se trouve le piston ?"),
        t("Read at the top edge of the stopper.", "Lisez au bord supérieur du joint."),
        PlungerSetter(
            syringe(at),
            "y",
            D(10),
            D(44),
            steps,
            Key("by_number", t("By number", "En chiffres")),
            Key("commit", t("Commit", "Valider"), weight=Weight.PRIMARY),
            at,
            "1.35 mL",
            t("one point three five millilitres", "un virgule trente-cinq millilitre"),
        ),
        slip(t),
        stages(t, 6),
        foot=foot(t),
    )


def working(t: Pick, agrees: bool = True) -> Page:
    """Both forms of the working."""
    verdict = t("Your figure and the kiosk’s agree", "Votre résultat et celui de la borne concordent")
    if not agrees:
        verdict = t("The figures differ", "Les résultats diffèrent")
    return Page(
        "working" if agrees else "working_differs",
        Ground.BENCH if agrees else Ground.TROUBLE,
        t("How it is worked out", "Le calcul"),
        "",
        Working(
            verdict,
            agrees,
            t(
                "yours: 0.5 mL" if agrees else "yours: 5 mL",
                "le vôtre : 0,5 mL" if agrees else "le vôtre : 5 mL",
            ),
            t("kiosk: 0.5 mL", "borne : 0,5 mL"),
            (
                (
                    t("By units", "Par les unités"),
                    ("12.5 mg × (1 mL ÷ 25 mg)", "= (12.5 ÷ 25) mL", "= 0.5 mL"),
                ),
                (
                    t("Desired over have", "Voulu sur disponible"),
                    ("12.5 mg ÷ 25 mg × 1 mL", "= 0.5 × 1 mL", "= 0.5 mL"),
                ),
            ),
            Key("go_on", t("Go on to the syringe", "Passer à la seringue"), weight=Weight.PRIMARY),
        ),
        slip(t),
        stages(t, 2),
        in_hand=container(t),
        foot=foot(t),
    )


def comparison(t: Pick) -> Page:
    """Where two people's readings differ."""
    return Page(
        "comparison",
        Ground.CHECKER,
        t("One thing differs", "Un point diffère"),
        t("Both read the plunger again, each alone.", "Chacun relit le piston, seul."),
        Comparison(
            (
                (t("Container", "Contenant"), t("agree", "concordent"), True),
                (t("Volume", "Volume"), t("agree", "concordent"), True),
                (t("Needle", "Aiguille"), t("agree", "concordent"), True),
                (t("Plunger", "Piston"), t("differ", "diffèrent"), False),
            ),
            Key("go_on", t("Read again", "Relire"), weight=Weight.PRIMARY),
        ),
        slip(t),
        stages(t, 7),
        foot=foot(t, "M. Castellane", ("Second checker", "Deuxième contrôle")),
    )


def check_volume(t: Pick) -> Page:
    """The second checker commits a volume, blind."""
    return replace(
        volume(t, ""),
        id="check_volume",
        ground=Ground.CHECKER,
        stages=stages(t, 7),
        question=t("What volume is right for this order?", "Quel volume convient à cette prescription ?"),
        help=t(
            "Work it out from the slip and the ampoule alone.",
            "Calculez d’après la fiche et l’ampoule seulement.",
        ),
        foot=foot(t, "M. Castellane", ("Second checker", "Deuxième contrôle")),
    )


def trouble(t: Pick) -> Page:
    """The record cannot be written."""
    keys = (
        Key("again", t("Try again", "Réessayer"), weight=Weight.PRIMARY),
        Key("discard", t("Discard the syringe", "Jeter la seringue"), weight=Weight.GRAVE),
    )
    return Page(
        "trouble",
        Ground.TROUBLE,
        t("The record cannot be written", "L’enregistrement est impossible"),
        t("Nothing was printed and nothing is lost.", "Rien n’a été imprimé, rien n’est perdu."),
        Statement(
            (
                t("The disk of this counter is full.", "Le disque de ce poste est plein."),
                t("Without a record there is no label.", "Sans enregistrement, pas d’étiquette."),
                t(
                    "Call the keeper on duty; then try again.",
                    "Appelez le responsable de garde, puis réessayez.",
                ),
            ),
            keys,
        ),
        slip(t),
        stages(t, 8),
        foot=foot(t),
        banner=t("LAB: TRAINING, NOT FOR USE", "LABORATOIRE : EXERCICE, NE PAS UTILISER"),
    )


def letters(t: Pick, typed: str = "Maximiliane van Oo") -> Page:
    """A name is typed on the letter keyboard."""
    shown = "abcdefghijklmnopqrstuvwxyz" + t("'-", "éèêàâçîïôûùëü'-")
    return Page(
        "letters",
        Ground.BENCH,
        t("What is the person called?", "Comment s’appelle la personne ?"),
        t("As it stands on the badge.", "Comme sur le badge."),
        LetterEntry(
            t("Name", "Nom"),
            typed,
            tuple(Key(f"letter:{c}", c, spoken=c) for c in shown),
            (Key("turn-case", t("Capitals", "Majuscules")), Key("layer:marks", t("Figures", "Chiffres"))),
            Key("letter: ", t("space", "espace"), enabled=bool(typed)),
            Key("erase", "", spoken=t("Erase", "Effacer"), enabled=bool(typed)),
            Key("commit", t("Commit", "Valider"), weight=Weight.PRIMARY, enabled=bool(typed)),
        ),
        foot=foot(t, stop=False),
        keys=(Key("back", t("Back", "Retour")),),
    )


def record(t: Pick, count: int = 14) -> Page:
    """What happened, to be read."""
    what = (
        (
            t("Container taken", "Contenant pris"),
            t("glass ampoule, lot K7704", "ampoule de verre, lot K7704"),
        ),
        (t("Volume committed by R. Okonjo", "Volume validé par R. Okonjo"), ""),
        (
            t(
                "Label printed, then scanned back from the barrel",
                "Étiquette imprimée, puis relue sur le corps",
            ),
            t("code 7Q4M-22, first copy", "code 7Q4M-22, premier exemplaire"),
        ),
    )
    lines = tuple(
        Line(t(f"25 Nov, 14:{n:02}", f"25 nov., 14 h {n:02}"), *what[n % len(what)]) for n in range(count)
    )
    return Page(
        "record",
        Ground.BENCH,
        t("What was recorded", "Ce qui a été enregistré"),
        "",
        Lines(lines, t("Nothing was recorded today.", "Rien n’a été enregistré aujourd’hui.")),
        foot=foot(t, stop=False),
        keys=(Key("back", t("Back", "Retour")),),
    )


SAMPLES: dict[str, Callable[[Pick], Page]] = {
    "door": door,
    "pin": pin,
    "due": due,
    "nothing_due": nothing_due,
    "all_findings": all_findings,
    "stock": stock,
    "wrong_strength": wrong_strength,
    "volume": volume,
    "volume_caution": volume_with_caution,
    "working": working,
    "working_differs": lambda t: working(t, agrees=False),
    "syringes": syringes,
    "step": step,
    "plunger": plunger,
    "check_volume": check_volume,
    "comparison": comparison,
    "trouble": trouble,
    "letters": letters,
    "record": record,
    "record_empty": lambda t: replace(record(t, 0), id="record_empty"),
}
