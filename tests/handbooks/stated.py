"""What the books state, and what follows from their words by hand."""

from __future__ import annotations

TAM, JACKET, GRAMMAR, COAT, BODY = (
    "handbook-1918-tam-o-shanter",
    "handbook-1918-hug-me-tight",
    "handbook-1918-grammar",
    "handbook-1918-coat-sweater",
    "handbook-1918-jacket-body",
)

STATED: list[tuple[str, str, int, dict[str, int]]] = [
    # -- Handbook of Wool Knitting and Crochet, 1918
    *(
        (TAM, "Tam", number, {"st": count})
        for number, count in {1: 7, 2: 14, 3: 21, 5: 35, 32: 224, 33: 196, 34: 168, 35: 112, 45: 112}.items()
    ),
    (JACKET, "Jacket", 1, {"st": 143, "sp": 1}),
    (JACKET, "Jacket", 23, {"st": 275, "back": 1}),
    (GRAMMAR, "Bracket", 1, {"tr": 4, "sp": 3}),
    (COAT, "Body", 3, {"star": 80}),
    (COAT, "Body", 12, {"star": 80}),
    (COAT, "Body", 15, {"star": 39}),
    (COAT, "Body", 21, {"star": 39}),
    (COAT, "Sleeve", 3, {"star": 40}),
    (COAT, "Sleeve", 30, {"star": 40}),
    *(
        (example, of, number, {"cross": count})
        for example, of, crosses in (
            ("handbook-1918-jacket-yoke", "Yoke", {2: 32, 4: 38, 6: 48}),
            (BODY, "Jacket", {2: 32, 8: 58, 10: 36, 12: 40, 14: 42, 16: 44, 18: 46}),
        )
        for number, count in crosses.items()
    ),
    *(
        (BODY, "Jacket", number, {"tr": count})
        for number, count in {
            1: 96,
            3: 114,
            5: 144,
            7: 174,
            9: 108,
            11: 120,
            13: 126,
            15: 132,
            17: 138,
        }.items()
    ),
    *(
        ("handbook-1918-baby-shoe-sole", "Sole", number, {"dc": count})
        for number, count in ((1, 68), (2, 76), (3, 83))
    ),
    *(
        ("handbook-1918-ribbed-slipper", "Vamp", number, {"dc": count})
        for number, count in {1: 9 + 3 + 9, 2: 10 + 3 + 10, 3: 25, 5: 29, 6: 29, 7: 31, 50: 73}.items()
    ),
    ("handbook-1918-raised-trebles", "Sample", 1, {"st": 3 * 4 - 1}),
    ("handbook-1918-raised-trebles", "Sample", 3, {"st": 11, "tr": 3}),
    ("handbook-1918-lancaster-stitch", "Sample", 1, {"st": 2 * 10 - 1}),
    ("handbook-1918-lancaster-stitch", "Sample", 2, {"st": 10 - 1}),
    ("handbook-1918-hood-crown", "Crown", 1, {"tr": 20}),
    *(
        ("handbook-1918-hood-crown", "Crown", number, {"sp": count})
        for number, count in {2: 19, 3: 25, 4: 30, 5: 30, 6: 40}.items()
    ),
    # -- Beeton's Book of Needlework, 1870
    *(("beeton-1870-brioche-cushion", "Cushion", number, {"st": 7 * 22}) for number in range(3, 14)),
    ("beeton-1870-brioche-cushion", "Cushion", 3, {"tr5bobble": 7 * 11, "dc": 7 * 11}),
    ("beeton-1870-brioche-cushion", "Cushion", 4, {"tr5bobble": 7 * 10, "dc": 7 * (9 + 3)}),
    ("beeton-1870-brioche-cushion", "Cushion", 13, {"tr5bobble": 7, "dc": 7 * 21}),
    ("beeton-1870-rayed-star", "Wheel", 1, {"tr": 6, "sp": 6}),
    ("beeton-1870-rayed-star", "Branch", 1, {"tr": 4, "ss": 1}),
    ("beeton-1870-rayed-star", "Leaf", 1, {"dc": 10 + 2 + 10, "ss": 1}),
    ("beeton-1870-border", "Border", 2, {"sp": 68 // 4}),
    ("beeton-1870-border", "Border", 6, {"st": 68}),
    ("beeton-1870-border", "Border", 7, {"tr": 4 * 8, "sp": 4 * 3}),
    *(
        ("beeton-1870-couvrette", "Couvrette", number, {"st": count})
        for number, count in {1: 12, 3: 12, 4: 48, 9: 72, 14: 108, 19: 162, 20: 164, 24: 246, 29: 369}.items()
    ),
    ("beeton-1870-remainder-ring", "Ring", 2, {"st": 24}),
    ("beeton-1870-remainder-ring", "Ring", 4, {"sp": 8}),
    ("beeton-1870-ribbed-stitch", "Sample", 10, {"st": 20}),
    ("beeton-1870-scalloped-star", "Ring", 1, {"dc": 14}),
    ("beeton-1870-scalloped-star", "Centre", 2, {"dc": 6 * (12 + 1 + 1 + 12 + 1)}),
    ("beeton-1870-picot-lace", "Lace", 1, {"st": 10 * 4 + 5}),
    ("beeton-1870-picot-lace", "Lace", 3, {"dtr": 2 * 5, "dc": 3 * 4}),
    ("beeton-1870-picot-lace", "Lace", 4, {"dtr": 2 * 4, "dc": 3 * 5}),
    ("beeton-1870-picot-lace", "Lace", 5, {"dtr": 2 * 5, "dc": 3 * 4}),
    *(
        ("beeton-1870-raised-rose", "Rose", number, {"dc": 12, "tr": 6 * (number + 2)})
        for number in range(2, 13, 2)
    ),
    *(
        ("beeton-1870-raised-rose", "Rose", number, {"dc": 6, "chains": 6 * (number + 3)})
        for number in range(1, 12, 2)
    ),
    ("beeton-1870-raised-rose", "Rose", 13, {"dc": 6, "chains": 6 * 14}),
    *(
        ("beeton-1870-growing-loops", "Doyley", number, {"dc": count})
        for number, count in enumerate((8, 16, 24, 24, 8, 72, 72, 8, 120, 120, 8, 168), 1)
    ),
    ("beeton-1870-growing-loops", "Doyley", 11, {"sp": 8, "chains": 8 * 17}),
    ("beeton-1870-stalked-leaves", "Ring", 1, {"dc": 30}),
    ("beeton-1870-stalked-leaves", "Ring", 2, {"ss": 3 * 9, "tip": 3}),
    ("beeton-1870-stalked-leaves", "Leaf", 1, {"dc": 2, "tr": 12, "chains": 3 + 5 + 7 + 5 + 3}),
    ("beeton-1870-stalked-leaves", "Leaf", 2, {"dc": 4 + 6 + 4 + 4 + 6 + 4}),
    # -- Encyclopedia of Needlework, 1886
    *(("dillmont-1886-hexagon", "Hexagon", number, {"st": 12 * number}) for number in (1, 2, 3, 8)),
    ("dillmont-1886-coloured-star", "Star", 1, {"st": 6}),
    *(("dillmont-1886-coloured-star", "Star", number, {"st": 6 * number}) for number in range(2, 13)),
    *(
        ("dillmont-1886-coloured-star", "Star", number, {"yarn Dark": 6 * dark})
        for number, dark in {2: 1, 3: 2, 4: 3, 7: 6, 8: 5, 12: 1}.items()
    ),
    *(("dillmont-1886-filet", "Filet", n, {"tr": 6 + 2 * n, "sp": 5 - n}) for n in (1, 2, 3)),
    *(
        ("dillmont-1886-lace-square", "Square", number, {"dc": 4 * number, "corner": 4})
        for number in range(1, 13)
    ),
    ("dillmont-1886-lace-square", "Joined", 12, {"dc": 4 * 12, "corner": 2}),
    ("dillmont-1886-close-shell", "Sample", 1, {"tr": 7 * 6, "sp": 5}),
    ("dillmont-1886-close-shell", "Sample", 2, {"tr": 7 * 5, "dc": 6}),
    ("dillmont-1886-guipure-oblong", "Oblong", 6, {"dc": 13}),
    ("dillmont-1886-guipure-oblong", "Edging", 1, {"dc": 4 * 9, "leaf": 4}),
    ("dillmont-1886-lace-with-stars", "Star", 1, {"dc": 30}),
    ("dillmont-1886-lace-with-stars", "Star", 2, {"petal": 6}),
    ("dillmont-1886-lace-with-stars", "Star", 3, {"dc": 6, "chains": 6 * 17}),
    ("dillmont-1886-lace-with-stars", "Star", 5, {"dc": 121}),
    # -- The Ladies' Work-Book
    *(("work-book-half-diamond", "Diamond", number, {"st": number + 1}) for number in (1, 2, 3, 30)),
    ("work-book-half-diamond", "Diamond", 31, {"dc": 3 * 11}),
    *(
        ("work-book-counterpane-corners", "CornerD", number, {"st": 4 * number - 1})
        for number in (1, 2, 3, 16)
    ),
    ("work-book-counterpane-corners", "CornerG", 15, {"st": 31}),
    ("work-book-counterpane-corners", "CornerG", 16, {"dc": 3 * 11}),
    ("work-book-motto-borders", "Short", 55, {"sp": 241}),
    ("work-book-motto-borders", "Long", 55, {"sp": 397}),
    ("work-book-motto-borders", "Corner", 55, {"sp": 55}),
    *(
        ("work-book-bead-border", "Border", number, {"st": 277, "bead": 11 * beads})
        for number, beads in enumerate((4, 7, 5, 8, 5, 5, 11, 12), 1)
    ),
    ("work-book-collar-flower", "Flower", 2, {"st": 16}),
    ("work-book-collar-flower", "Flower", 3, {"st": 32}),
    ("work-book-collar-flower", "Flower", 4, {"tr": 2 * 8, "dc": 8}),
    ("work-book-rose-collar", "Large", 2, {"sp": 5}),
    ("work-book-rose-collar", "Small", 2, {"sp": 7}),
    ("work-book-grammar", "Repeats", 1, {"st": 2 * (2 + 3 * 5 + 5), "chains": 2 * (4 + 3)}),
    ("work-book-grammar", "Mirror", 1, {"st": 27}),
    *(
        ("work-book-pine-couvrette", "Couvrette", number, {"st": 8 * (side + 3)})
        for number, side in enumerate((17, 19, 21, 24, 26, 29, 31, 34), 1)
    ),
    *(
        ("work-book-lamp-mat", "Mat", number, {"st": 6 * sixth})
        for number, sixth in {
            2: 4,
            3: 6,
            4: 8,
            5: 12,
            6: 16,
            7: 18,
            8: 20,
            15: 34,
            16: 38,
            17: 40,
            22: 50,
            23: 52,
        }.items()
    ),
    *(
        ("work-book-lamp-mat", "Mat", number, {"yarn White": 6 * white})
        for number, white in {2: 1, 3: 3, 4: 5, 5: 7, 6: 11, 7: 13, 8: 15, 23: 3 + 8 * 4 + 3}.items()
    ),
    ("work-book-lamp-mat", "Mat", 24, {"yarn White": 0}),
    ("work-book-lounging-cap", "Band", 6, {"st": 5 * 48, "yarn Scarlet": 5 * 44, "yarn Green": 5 * 4}),
    ("work-book-lounging-cap", "Band", 8, {"st": 5 * 48}),
    *(
        ("work-book-lounging-cap", "Crown", number, {"st": count})
        for number, count in {
            **{1: 12, 2: 24, 3: 40, 4: 13 * 4, 5: 13 * 5, 6: 13 * 6, 10: 8 * 15, 12: 8 * 19},
            **{14: 8 * 20, 15: 8 * 22, 16: 8 * 22, 17: 8 * 24, 18: 208, 20: 240},
        }.items()
    ),
    ("work-book-lounging-cap", "Crown", 12, {"yarn Green": 8 * (4 + 1), "yarn White": 8 * (2 + 1)}),
    # -- The New Guide to Knitting & Crochet, 1847
    ("cooper-1847-round-bag", "Bag", 18, {"st": 108}),
    *(
        ("cooper-1847-slipper-and-collar", "Toe", number, {"st": 12 + 3 * number})
        for number in (1, 2, 4, 6, 16)
    ),
    *(("cooper-1847-slipper-and-collar", "Toe", number, {"yarn Black": 0}) for number in (5, 6, 11, 12)),
    *(("cooper-1847-slipper-and-collar", "Toe", number, {"yarn Red": 0}) for number in (1, 4, 8, 10, 14, 16)),
    ("cooper-1847-slipper-and-collar", "Toe", 17, {"st": 12}),
    ("cooper-1847-slipper-and-collar", "Collar", 2, {"tr": 3 * 18, "dc": 17, "sp": 34}),
    # -- My Crochet Sampler, 1847
    *(
        ("lambert-1847-star-with-beads", "Bottom", number, {"st": 7 * (number + 1), "bead": 7 * beads})
        for number, beads in {2: 1, 3: 2, 9: 8, 10: 8, 11: 7, 17: 1}.items()
    ),
    *(
        ("lambert-1847-two-coloured-doyley", "Doyley", number, {"st": count})
        for number, count in enumerate(
            (12, 6 * (1 + 2), 6 * (3 + 2), 6 * (5 + 2), 6 * (5 + 3), 6 * (3 + 6), 6 * (1 + 8)), 1
        )
    ),
    *(
        (
            "lambert-1847-two-coloured-doyley",
            "Doyley",
            number,
            {"yarn Scarlet": 6 * red, "yarn Blue": 6 * blue},
        )
        for number, (red, blue) in enumerate(((1, 2), (3, 2), (5, 2), (5, 3), (3, 6), (1, 8)), 2)
    ),
    *(
        ("lambert-1847-pen-wiper", "Wiper", number, {"yarn Scarlet": 6 * red, "yarn Green": 6 * green})
        for number, (red, green) in enumerate(
            ((1, 1), (2, 2), *((2, many) for many in range(3, 8)), (4, 5), (7, 3), (10, 1)), 4
        )
    ),
    *(
        ("lambert-1847-pen-wiper", "Wiper", number, {"st": 6 * count})
        for number, count in enumerate((2, 4, 5, 6, 7, 8, 9, 4 + 5, 7 + 3, 10 + 1), 4)
    ),
]
"""Example, piece, row, and what it makes: `st` all stitches, `yarn A` those in a yarn, else kinds, marks."""

STARTS: list[tuple[str, str, int]] = [
    (JACKET, "Jacket", 138),
    (GRAMMAR, "Bracket", 13),
    (COAT, "Sleeve", 80),
    ("beeton-1870-border", "Border", 68),
    ("work-book-motto-borders", "Short", 724),
    ("work-book-motto-borders", "Long", 1192),
    ("work-book-motto-borders", "Corner", 166),
    ("work-book-bead-border", "Border", 277),
    ("work-book-grammar", "Repeats", 58),
    ("work-book-grammar", "Mirror", 23),
    ("beeton-1870-scalloped-star", "Ring", 70),
    ("cooper-1847-slipper-and-collar", "Toe", 12),
    ("work-book-lounging-cap", "Band", 5 * 48),
]
"""Example, piece, and the stitches that the chain gives row 1, its turning chain taken out."""

ROWS: list[tuple[str, str, int]] = [
    (TAM, "Tam", 45),
    (COAT, "Body", 21),
    (COAT, "Sleeve", 11 * 2 + 10),
    ("handbook-1918-ribbed-slipper", "Vamp", 25 * 2),
    ("dillmont-1886-guipure-oblong", "Oblong", 6),
    ("work-book-half-diamond", "Diamond", 15 * 2 + 1),
    ("work-book-motto-borders", "Short", 55),
    ("work-book-motto-borders", "Long", 55),
    ("work-book-motto-borders", "Corner", 55),
    ("cooper-1847-slipper-and-collar", "Toe", 3 * 4 + 2 * 2 + 1),
]
"""Example, piece, and how many rows it has."""

MULTIPLES: list[tuple[str, str, str]] = [
    ("handbook-1918-raised-trebles", "thirds", "3*thirds"),
    ("handbook-1918-lancaster-stitch", "pairs", "2*pairs"),
    ("beeton-1870-border", "repeats", "68*repeats"),
    ("beeton-1870-picot-lace", "groups", "10*groups + 5"),
    ("dillmont-1886-close-shell", "shells", "5*shells - 1"),
]
"""Example, the number that it may be worked with, and the start for that: "chain a number of stitches
divisible by 3", "a chain of an even number of stitches"; of the others it follows from their rows."""

PRINTED: list[tuple[str, list[tuple[str, str, dict[str, int | str]]]]] = [
    (
        "beeton-1870-border",
        [("uneven-repeat", "round 7", {"found": 80, "unit": 17, "fewer": 68, "more": 85})],
    ),
    (
        "beeton-1870-brioche-cushion",
        [
            ("unworked-places", "round 2", {"expected": 196, "found": 168, "left": 28}),
            ("unworked-places", "round 3", {"expected": 168, "found": 154, "left": 14}),
        ],
    ),
    (
        "beeton-1870-couvrette",
        [("rows-do-not-fit", "rounds 8-12", {"found": 243, "unit": 2, "fewer": 242, "more": 244})],
    ),
    ("beeton-1870-rayed-star", [("stated-total", "round 1", {"expected": 8, "found": 6})]),
    (
        "beeton-1870-remainder-ring",
        [
            ("uneven-repeat", "round 2", {"found": 20, "unit": 3, "fewer": 18, "more": 21}),
            ("uneven-repeat", "round 4", {"found": 26, "unit": 3, "fewer": 24, "more": 27}),
        ],
    ),
    (
        "beeton-1870-scalloped-star",
        [
            ("unworked-places", "round 1", {"expected": 70, "found": 66, "left": 4}),
            ("too-few-places", "round 1", {"expected": 72, "found": 70, "short": 2}),
        ],
    ),
    (
        "dillmont-1886-lace-with-stars",
        [
            ("uneven-repeat", "round 2 chains count", {"found": 108, "unit": 8, "fewer": 104, "more": 112}),
            ("unworked-places", "round 1", {"expected": 121, "found": 114, "left": 7}),
        ],
    ),
    (
        "handbook-1918-hood-crown",
        [
            ("stated-total", "round 2", {"expected": 19, "found": 20}),
            ("uneven-repeat", "round 2", {"turns": 6}),
        ],
    ),
    ("work-book-lamp-mat", [("too-few-places", "round 2", {"expected": 12, "found": 8, "short": 4})]),
    (
        "work-book-lounging-cap",
        [
            ("too-few-places", "round 1 with Scarlet", {"expected": 260, "found": 240, "short": 20}),
            ("row-number", "round 14 with Scarlet", {"expected": 13, "found": 14}),
        ],
    ),
    ("cooper-1847-round-bag", [("uneven-repeat", "round 2", {"found": 3, "unit": 2, "fewer": 2, "more": 4})]),
    (
        "cooper-1847-slipper-and-collar",
        [("uneven-repeat", "row 2", {"found": 140, "unit": 8, "fewer": 136, "more": 144})],
    ),
    ("lambert-1847-star-with-beads", [("stated-total", "round 17", {"expected": 7, "found": 0})]),
    ("lambert-1847-two-coloured-doyley", [("stated-total", "round 2", {"expected": 54, "found": 60})]),
    (
        "work-book-counterpane-corners",
        [
            ("until-missed", "next rows", {"expected": 61, "found": 63}),
            ("until-missed", "next rows", {"expected": 3, "found": 7}),
        ],
    ),
    (
        "work-book-pine-couvrette",
        [("unworked-places", "round 2", {"expected": 272, "found": 240, "left": 32})],
    ),
]
"""Example, and what is told of it: the diagnostic, the row it is in, and its numbers."""
