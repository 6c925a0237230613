//! Which cautions belong to a piece. The figures are common practice where no source stands beside them; the saw's own
//! manual comes first. Their wording is in `shared_model::Caution`.

use shared_model::{Angle, By, Caution, Cautions, Length, SawCut, Side, SmallPiece};

use crate::plan::PlannedPiece;
use crate::walk::{MouldingStock, Saw};

/// Pieces shorter than this are never held by hand: common practice on site, no source.
pub const SHORT_PIECE: Length = Length::inches(8);
/// Boards longer than this want support at both ends: common practice, no source.
pub const LONG_PIECE: Length = Length::inches(96);
/// A setting this near to the end of the saw's range is pointed out.
const NEAR_LIMIT: Angle = Angle::degrees(2);
/// A swing wider than this, and any tilt, can bring the blade to the fence: common practice, no source.
const WIDE_SWING: Angle = Angle::degrees(45);

/// The cautions of a piece; `short_hold` where little board is left in the hand as it comes off.
pub fn cautions(
    piece: &PlannedPiece,
    moulding: &MouldingStock,
    saw: &Saw,
    short_hold: bool,
) -> Cautions {
    let figure = piece.figure(moulding);
    let cuts = [Side::Left, Side::Right].map(|side| piece.saw_cut(side, moulding, saw));
    let any = |wanted: fn(&SawCut, &Saw, &MouldingStock) -> bool| {
        cuts.iter().any(|cut| wanted(cut, saw, moulding))
    };
    // a person's own rule can make more pieces short, never fewer
    let short = saw.hold.short_piece.max(SHORT_PIECE);
    let checks = [
        (Caution::ShortPiece, figure.overall < short),
        (Caution::LongPiece, figure.overall > LONG_PIECE),
        (Caution::ShortHold, short_hold),
        (Caution::PartDepth, any(|cut, _, _| cut.plain.is_some())),
        (Caution::FenceClear, any(|cut, _, _| clears_fence(cut))),
        (
            Caution::NearSawLimit,
            any(|cut, saw, _| near_limit(cut, saw)),
        ),
        (Caution::TallBoard, any(tall)),
        (
            Caution::ReturnWedge,
            piece.small() == Some(SmallPiece::Wedge),
        ),
    ];
    checks
        .into_iter()
        .filter(|(_, applies)| *applies)
        .fold(Cautions::NONE, |set, (caution, _)| set.with(caution))
}

fn clears_fence(cut: &SawCut) -> bool {
    match cut.by {
        By::Swing => cut.degrees > WIDE_SWING,
        By::Tilt => cut.degrees > Angle::ZERO,
    }
}

fn near_limit(cut: &SawCut, saw: &Saw) -> bool {
    let range = saw.head().range(cut.by, cut.way).in_hundredths();
    let set = cut.scale.in_hundredths();
    set > 0 && set + NEAR_LIMIT.in_hundredths() > range
}

/// Within a tenth of the tallest board that the saw takes on edge.
fn tall(cut: &SawCut, saw: &Saw, moulding: &MouldingStock) -> bool {
    let (height, limit) = (moulding.height.units(), saw.standing_height.units());
    cut.posture.stands() && i64::from(height) * 10 > i64::from(limit) * 9
}
