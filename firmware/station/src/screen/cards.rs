//! The words of the cards that stand before a list: who decides, hands, and what to measure on the test cuts. Which cards
//! there are is left to the work, the test cuts themselves to `scrap`.

use shared_model::Mark;

use crate::work::Card;

/// A card's words.
pub(super) struct CardWords {
    pub(super) head: &'static str,
    pub(super) rows: [&'static str; 4],
    /// The longer form and the shorter.
    pub(super) note: [&'static str; 2],
    /// The rows for a very small panel.
    pub(super) short: [&'static str; 3],
}

/// The words of a card on a tape.
///
/// The pair of miters: where the cuts are under 45 it meets at the back first and stands open at the toe, where the faces
/// meet; over 45 it stands open at the heel. Closed tight it is off the square by the error of both cuts: 1/16 in at
/// 12 in is 0.298 degrees, 1 mm at 300 mm 0.191 (computed).
///
/// Lying one way, the pair takes one cut to the left and one to the right, so that the gap shows their mean. Turned end
/// for end between its cuts, the scrap has both at one side of the saw and swung the same way.
pub(super) const fn card_words(card: Card, mark: Mark) -> CardWords {
    let metric = mark.is_metric();
    match card {
        Card::OldHouse => CardWords {
            head: "Old house",
            rows: [
                "Paint from before",
                "1978 may hold lead.",
                "Find out first, keep",
                "the dust down.",
            ],
            note: ["local rules first · done: go on", "done: go on"],
            short: [
                "Paint before 1978:",
                "lead? Find out first,",
                "keep the dust down.",
            ],
        },
        Card::Decide => CardWords {
            head: "You decide",
            rows: [
                "The saw's manual,",
                "local rules, licensed",
                "practice come first.",
                "Eyes! Ears! Dust!",
            ],
            note: ["this only shows · done: go on", "done: go on"],
            short: [
                "Saw's manual, local",
                "rules come first.",
                "Eyes! Ears! Dust!",
            ],
        },
        Card::Hands if metric => CardWords {
            rows: [
                "15 cm off the blade,",
                "never across its line.",
                "Under 20 cm: clamp.",
                "Blade still: lift.",
            ],
            short: ["15 cm off the blade.", "Under 20 cm: clamp.", LIFT],
            ..HANDS
        },
        Card::Hands => HANDS,
        // a test cut has a picture of its own
        Card::TestCut(_) => CardWords {
            head: "",
            rows: [""; 4],
            note: [""; 2],
            short: [""; 3],
        },
        Card::MiterLook => CardWords {
            head: "Is the saw at 45?",
            rows: [
                "Close the pair on a",
                "square. Open at the",
                "toe: cut under 45,",
                "at the heel: over 45.",
            ],
            note: [
                "toe: at the faces · heel: at the backs",
                "toe: face · heel: back",
            ],
            short: [
                "Pair on a square: open",
                "at toe: under 45,",
                "at heel: over.",
            ],
        },
        Card::MiterFigure if metric => CardWords {
            rows: [
                "Close the pair tight.",
                "Gap to the square",
                "300 mm out: each",
                "1 mm is 0.1° mean.",
            ],
            short: [
                "Pair closed, gap to",
                "square 300 mm out:",
                "1 mm is 0.1° a cut.",
            ],
            ..FIGURE
        },
        Card::MiterFigure => FIGURE,
        Card::Kerf if metric => CardWords {
            rows: [
                "Cut a 1.2 m scrap in",
                "4 parts. Length lost",
                "divided by 3 is the",
                "kerf.",
            ],
            short: ["1.2 m of scrap in 4:", LOST, COMMAND],
            ..KERF
        },
        Card::Kerf => KERF,
    }
}

const LIFT: &str = "Blade still: lift.";
const LOST: &str = "loss divided by 3.";
const COMMAND: &str = "→ baserun measured";

const HANDS: CardWords = CardWords {
    head: "Hands",
    rows: [
        "6 in off the blade,",
        "never across its line.",
        "Under 8 in: clamp it.",
        LIFT,
    ],
    note: ["both feet planted · done: go on", "done: go on"],
    short: ["6 in off the blade.", "Under 8 in: clamp it.", LIFT],
};

const FIGURE: CardWords = CardWords {
    head: "How far from 45?",
    rows: [
        "Close the pair tight.",
        "Gap to the square",
        "12 in out: 1/16 is",
        "0.15°, mean of two.",
    ],
    note: [
        "mean of left and right · for one: turn end for end",
        "one side: turn it end for end",
    ],
    short: [
        "Pair closed, gap to",
        "square 12 in out: each",
        "1/16 is 0.15° a cut.",
    ],
};

const KERF: CardWords = CardWords {
    head: "The kerf",
    rows: [
        "Cut a 4 ft scrap in",
        "4 parts. Length lost",
        "divided by 3 is the",
        "kerf.",
    ],
    note: [
        "what you measured goes into the file by: baserun measured",
        "to the file: baserun measured",
    ],
    short: ["Cut 4 ft of scrap in 4:", LOST, COMMAND],
};
