"""A published pattern made by hand: the layouts' sitter. The maker, the yarn and the hat are invented."""

from __future__ import annotations

from turnchain.compiler.document import Controls, Document, Headings, Prose, RowText, Section, Term

HEADINGS = Headings(
    sizes="Sizes",
    measurements="Finished measurements",
    materials="Materials",
    gauge="Gauge",
    abbreviations="Abbreviations",
    special_stitches="Special stitches",
    notes="Notes",
    cautions="Cautions",
    finishing="Finishing",
    charts="Charts",
    making_up="Assembly",
)
CONTROLS = Controls(show="Show the numbers of", all_sizes="all sizes", done="done")

BRIM = Section(
    title="Brim",
    anchor="brim",
    entries=(
        Prose("start", "Worked sideways in turned rows. With the smaller hook, chain 9."),
        RowText(
            "Row 1",
            "brim-row-1",
            "Work 1 single crochet in the second chain from the hook and 1 single crochet in each of the "
            "next 7 chains, turn.",
            "8 stitches",
        ),
        RowText(
            "Rows 2-60 (72)",
            "brim-row-2",
            "Chain 1, work 1 single crochet in the back loop only of each of the 8 stitches, turn.",
            "8 stitches",
        ),
        Prose("finish", "Fold the band and join row 60 (72) to the starting chain with 8 slip stitches."),
    ),
)

CROWN = Section(
    title="Crown",
    anchor="crown",
    entries=(
        Prose("start", "Worked upwards from the brim in joined rounds, with the right side out."),
        RowText(
            "Round 1",
            "crown-round-1",
            "With the larger hook, chain 1, work 1 single crochet in the end of each row of the brim, join "
            "with a slip stitch.",
            "60 (72) stitches",
        ),
        RowText(
            "Rounds 2-3",
            "crown-round-2",
            "Chain 2 (not counted), work 1 double crochet in each of the 60 (72) stitches, join with a "
            "slip stitch.",
            "60 (72) stitches",
        ),
        RowText(
            "Round 4",
            "crown-round-4",
            "Chain 2 (not counted), *work 1 double crochet in each of the next 2 stitches, 1 lantern stitch "
            "in the next stitch; repeat from * 19 (23) more times, join with a slip stitch.",
            "60 (72) stitches",
        ),
        RowText(
            "Next 4 (5) rounds",
            "crown-round-5",
            "Chain 2 (not counted), work 1 double crochet in each of the 60 (72) stitches, join with a "
            "slip stitch.",
            "60 (72) stitches",
        ),
        Prose("note", "Try the hat on: it should reach the top of the ears before the crown is closed."),
        RowText(
            "Round 9 (10)",
            "crown-round-9",
            "Chain 2 (not counted), [1 double crochet in each of the next 4 stitches, 1 double crochet two "
            "together] 10 (12) times, join with a slip stitch.",
            "50 (60) stitches",
        ),
        RowText(
            "Round 10 (11)",
            "crown-round-10",
            "Chain 2 (not counted), [1 double crochet in each of the next 3 stitches, 1 double crochet two "
            "together] 10 (12) times, join with a slip stitch.",
            "40 (48) stitches",
        ),
        RowText(
            "Round 11 (12)",
            "crown-round-11",
            "Chain 2 (not counted), [1 double crochet two together] 20 (24) times, join with a slip stitch.",
            "20 (24) stitches",
        ),
        Prose("caution", "Leave no loose end inside a hat for a baby: fingers and toes catch in it."),
        Prose(
            "finish",
            "Cut the yarn with a tail of 8 in (20 cm), draw it through the last round and pull tight.",
        ),
    ),
)

HAT = Document(
    language="en-US",
    slug="harbor-lamp-hat",
    title="Harbor Lamp Hat",
    by="Odile Marrack",
    by_line="by Odile Marrack",
    about=("Skill level: easy.", "Written in US terms."),
    headings=HEADINGS,
    sizes=("Child", "Adult"),
    sizes_note="Figures for the adult size stand in brackets; a single figure is for both sizes.",
    measurements=("Around the brim: 18 1/2 (22) in, 47 (56) cm", "Height: 8 (8 1/2) in, 20 (22) cm"),
    materials=(
        Term("Yarn", "Quayside Wool & Linen, worsted weight (4), 150 (190) yd, 137 (174) m", kind="supply"),
        Term("Hooks", "US G-6 (4 mm) for the brim and US H-8 (5 mm) for the crown", kind="tool"),
        Term("Also", "a yarn needle and 1 stitch marker"),
    ),
    gauge=("13 stitches and 7 rounds = 4 in (10 cm) in double crochet with the larger hook.",),
    abbreviations=(
        Term("ch", "chain"),
        Term("sl st", "slip stitch"),
        Term("sc", "single crochet"),
        Term("dc", "double crochet"),
        Term("dc2tog", "double crochet two together"),
        Term("BLO", "back loop only"),
    ),
    special_stitches=(
        Term(
            "Lantern",
            "lantern stitch, in 1 stitch",
            "Yarn over and draw up a loop to the height of the row 3 times in the same stitch; yarn over, "
            "draw through all 7 loops on the hook; close with 1 chain.",
        ),
    ),
    notes=(
        "The brim is worked first, as a ribbed band; the crown grows from its edge.",
        "The 2 chains that begin a round are never counted as a stitch.",
    ),
    cautions=(
        "Sew the tuft on through the crown and knot it inside. Leave it off a hat for a child under 3.",
    ),
    sections=(BRIM, CROWN),
    finishing=("Close the crown and weave in the ends. Wash the hat by hand and dry it over a bowl.",),
    charts=(),
    pictures=(),
    controls=CONTROLS,
)
