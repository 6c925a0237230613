//! Patterns to begin with: the sticks of plans that fill one stick after another, the pieces as chance has them. Better
//! ones are found by `columns`.

use super::columns::Columns;
use super::dice::Dice;
use super::draft::Draft;
use super::effort::Effort;
use super::fill::Filler;
use super::grain::Coarse;
use super::stock::Lot;

/// Plans by chance from which patterns are learnt.
const LESSONS: usize = 40;

/// Teaches what plans by chance for these pieces have for sticks.
pub(super) fn teach(
    columns: &mut Columns<'_>,
    lot: &Lot,
    coarse: &Coarse,
    pieces: &[usize],
    effort: &mut Effort<'_>,
) {
    let mut dice = Dice::new(0);
    let mut filler = Filler::new(lot, coarse);
    for _ in 0..LESSONS {
        let mut pool = pieces.to_vec();
        dice.shuffle(&mut pool);
        let mut draft = Draft::new(lot);
        filler.place(&mut draft, pool);
        // the last ones get what nobody wanted
        draft.sticks.truncate(draft.sticks.len() * 3 / 4);
        columns.learn(&draft);
        if !effort.spend(filler.work()) {
            return;
        }
    }
}
