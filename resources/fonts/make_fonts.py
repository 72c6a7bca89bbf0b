"""Makes the three static faces of this folder from the variable Source Sans 3 (SIL Open Font License 1.1).

    python make_fonts.py SourceSans3[wght].ttf        (needs fontTools; not needed to run the kiosk)

What is changed, and why: the weight axis is fixed (the label printer's library reads static TrueType
only); capital I gets its serifs and zero its slash by default, so that 1 l I and 0 O cannot be confused
anywhere, on screen or paper; alternates that are never used are left out. A changed version may not carry
the reserved name, hence the family is called Prep Counter Sans.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

FACES = {"Regular": 400, "Semibold": 600, "Bold": 700}
BAKED = {"ss01", "zero"}  # serifed capital I, slashed zero
KEPT = ["kern", "mark", "mkmk", "ccmp", "locl"]
RANGES = [(0x20, 0x24F), (0x2B0, 0x2FF), (0x300, 0x36F), (0x370, 0x3FF), (0x400, 0x4FF), (0x1E00, 0x1EFF)]
RANGES += [(0x2000, 0x206F), (0x2070, 0x209F), (0x20A0, 0x20BF), (0x2100, 0x215F), (0x2190, 0x22FF)]
RANGES += [(0x25A0, 0x27BF)]


def alternates(font: TTFont) -> dict[str, str]:
    """Return glyph -> glyph for the features that become the default form."""
    swaps: dict[str, str] = {}
    table = font["GSUB"].table
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag not in BAKED:
            continue
        for index in record.Feature.LookupListIndex:
            for sub in table.LookupList.Lookup[index].SubTable:
                sub = getattr(sub, "ExtSubTable", sub)
                if sub.LookupType == 1:
                    swaps.update(sub.mapping)
    return swaps


def bake(font: TTFont) -> None:
    """Let every character point at its alternate form."""
    swaps = alternates(font)
    for table in font["cmap"].tables:
        for code, glyph in list(table.cmap.items()):
            table.cmap[code] = swaps.get(glyph, glyph)
    digits = [font.getBestCmap()[ord(digit)] for digit in "0123456789"]
    width = font["hmtx"][font.getBestCmap()[ord("1")]][0]
    for glyph in digits:  # fixing the weight rounds the slashed zero one unit wider than the others
        font["hmtx"][glyph] = (width, font["hmtx"][glyph][1])


def rename(font: TTFont, face: str) -> None:
    """Give each face its own family name: no program can then fake a weight."""
    family = "Prep Counter Sans" + ("" if face == "Regular" else f" {face}")
    names = {1: family, 2: "Regular", 3: f"1.0;{family}", 4: family, 6: family.replace(" ", "")}
    names[5] = "Version 1.0, made from Source Sans 3.052"
    names[10] = "Source Sans 3, weight fixed, serifed I and slashed zero by default."
    table = font["name"]
    table.names = [n for n in table.names if n.nameID in (0, 13, 14) and n.platformID == 3]
    for number, text in names.items():
        table.setName(text, number, 3, 1, 0x409)
    font["OS/2"].fsSelection = (font["OS/2"].fsSelection & ~0x21) | 0x40
    font["head"].macStyle = 0


def trim(font: TTFont) -> None:
    """Drop characters and features that are never used."""
    options = subset.Options(layout_features=KEPT, name_IDs=["*"], notdef_outline=True, hinting=False)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[code for low, high in RANGES for code in range(low, high + 1)])
    subsetter.subset(font)


def main(source: str) -> None:
    """Write the faces beside this file."""
    for face, weight in FACES.items():
        font = instancer.instantiateVariableFont(TTFont(source), {"wght": weight}, static=True)
        font.recalcTimestamp = False
        bake(font)
        trim(font)
        rename(font, face)
        font.save(Path(__file__).with_name(f"PrepCounterSans-{face}.ttf"))


if __name__ == "__main__":
    main(sys.argv[1])
