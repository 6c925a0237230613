//! What the pieces of a cut list mean. The shape in which they are written is `cut_list`.

use planner::walk::{CutList, ListedPiece};
use shared_model::{Angle, End, Joint};

use super::setup::{SetupForm, leave_out_unused, moulding_place, setup};
use super::{Judge, Least, MOST_STRETCHES, Refused, Spot};
use crate::cut_list::{CutListForm, EndForm, PieceForm};
use crate::places::Sources;
use crate::setup::MouldingForm;
use crate::words::{FACES, JOINTS};

const PIECE: &str = "{ \"room\": \"Bed 2\", \"wall\": 3, \"moulding\": \"base\", \"length\": 124.375, \"left\": { \"joint\": \"cope\" }, \"right\": { \"joint\": \"square\" } }";

/// The cut list that a file means.
///
/// # Errors
/// Everything that cannot be, in the file's order.
pub fn cut_list(form: &CutListForm, sources: &Sources) -> Result<CutList, Vec<Refused>> {
    let mut judge = Judge::of(sources);
    let root = Spot::default();
    if form.cut_list != 1 {
        let expected = "1: the version of the form that this program reads";
        judge.tell(root.key("cut_list"), expected, "\"cut_list\": 1");
    }
    let mut setup = setup(
        &mut judge,
        &SetupForm {
            level: &form.level,
            unit: &form.unit,
            mark: form.mark.as_deref(),
            old_house: form.old_house,
            saw: &form.saw,
            mouldings: &form.mouldings,
        },
    );
    if form.pieces.is_empty() {
        judge.tell(root.key("pieces"), "at least one piece", PIECE);
    }
    judge.at_most(
        root.key("pieces"),
        form.pieces.len(),
        MOST_STRETCHES,
        "pieces",
    );
    let pieces = form.pieces.iter().enumerate().map(|(index, piece)| {
        let spot = root.element("pieces", index).named(&piece.room);
        piece_of(&mut judge, &spot, piece, &form.mouldings)
    });
    let mut pieces: Vec<ListedPiece> = pieces.collect();
    let used = pieces.iter_mut().map(|piece| &mut piece.moulding).collect();
    leave_out_unused(&judge, &mut setup.mouldings, used);
    judge.verdict(CutList { setup, pieces })
}

fn piece_of(
    judge: &mut Judge,
    spot: &Spot,
    form: &PieceForm,
    mouldings: &[MouldingForm],
) -> ListedPiece {
    judge.name(spot.key("room"), &form.room, "\"room\": \"Bed 2\"");
    if form.wall == Some(0) {
        let expected = "1 or more; nothing where the wall has no number";
        judge.tell(spot.key("wall"), expected, "\"wall\": 3");
    }
    ListedPiece {
        room: form.room.trim().to_owned(),
        wall: form.wall,
        moulding: moulding_place(judge, spot.key("moulding"), &form.moulding, mouldings),
        length: judge.length(
            spot.key("length"),
            &form.length,
            Least::MoreThanZero,
            "\"length\": 124.375",
        ),
        left: end_of(judge, &spot.key("left"), &form.left),
        right: end_of(judge, &spot.key("right"), &form.right),
    }
}

fn end_of(judge: &mut Judge, spot: &Spot, form: &EndForm) -> End {
    let joint = judge.choice(spot.key("joint"), &form.joint, &JOINTS);
    let gauge = judge.gauge(spot.key("gauge"), form.gauge);
    let bevel = form.degrees.map_or(Angle::degrees(45), |degrees| {
        judge.angle(
            spot.key("degrees"),
            degrees,
            1..6001,
            "more than 0 and at most 60 degrees from square",
            "\"degrees\": 45",
        )
    });
    let longer = form
        .face
        .as_ref()
        .and_then(|face| judge.choice(spot.key("face"), face, &FACES));
    let Some(joint) = joint else {
        return End::Square;
    };
    if joint != Joint::Scarf {
        for (key, given) in [
            ("degrees", form.degrees.is_some()),
            ("face", form.face.is_some()),
        ] {
            if given {
                let expected = "nothing: only a scarf takes this";
                judge.tell(
                    spot.key(key),
                    expected,
                    format!("{{ \"joint\": \"{joint}\" }}"),
                );
            }
        }
    }
    if matches!(joint, Joint::Scarf | Joint::Return) && form.gauge.is_some() {
        let expected = format!("nothing: a {joint} stands in no corner");
        judge.tell(spot.key("gauge"), expected, scarf_or_return(joint));
    }
    match joint {
        Joint::Square => End::Square,
        Joint::Butt => End::Butt { gauge },
        Joint::Cope => End::Cope { gauge },
        Joint::InsideMiter => End::InsideMiter { gauge },
        Joint::OutsideMiter => End::OutsideMiter { gauge },
        Joint::Return => End::Return,
        Joint::Scarf => {
            if form.face.is_none() {
                let expected = "the scarf's face against its back: \"longer\" laps over the mate, \"shorter\" goes on the wall first";
                judge.tell(spot.key("face"), expected, scarf_or_return(joint));
            }
            match longer {
                Some(false) => End::ScarfUnder { bevel },
                Some(true) | None => End::ScarfOver { bevel },
            }
        }
    }
}

fn scarf_or_return(joint: Joint) -> &'static str {
    match joint {
        Joint::Scarf => "{ \"joint\": \"scarf\", \"degrees\": 45, \"face\": \"longer\" }",
        _ => "{ \"joint\": \"return\" }",
    }
}
