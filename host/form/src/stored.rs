//! A plan read back to be loaded: its saw list, its findings and what it leaves out. It is taken as it was written or not at
//! all; nothing is planned anew.

use base64::prelude::{BASE64_STANDARD, Engine};
use planner::finding::{Finding, Severity};
use planner::saw_list::SawSheet;
use serde::Deserialize;
use shared_model::{DigestText, Length, Piece, PieceId, Unit};

use crate::number::Written;
use crate::source::Source;
use crate::{Refusal, syntax};

/// A plan as it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredPlan {
    /// The list that a station is given.
    pub list: SawSheet,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
    /// The pieces that no stick can give.
    pub left_out: Vec<LeftOut>,
    /// The pieces that were cut before it was planned.
    pub finished: Vec<PieceId>,
    /// So many things had been said at the saw by then.
    pub after: usize,
}

/// A piece that is not on the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The room's name.
    pub room: String,
    /// The wall's number, where there is one.
    pub wall: Option<u32>,
    /// Along the back.
    pub length: Length,
}

/// What is read of a plan; the other keys are for other programs.
#[derive(Debug, Deserialize)]
struct PlanIn {
    plan: u32,
    level: String,
    unit: String,
    digest: Option<String>,
    saw_list: Option<String>,
    #[serde(default)]
    after: usize,
    pieces: Vec<PieceIn>,
    findings: Vec<FindingIn>,
}

#[derive(Debug, Deserialize)]
struct PieceIn {
    id: String,
    room: String,
    wall: Option<u32>,
    length: Written,
    stick: Option<u32>,
    order: Option<usize>,
    #[serde(default)]
    finished: bool,
}

#[derive(Debug, Deserialize)]
struct FindingIn {
    severity: String,
    room: Option<String>,
    walls: Vec<u32>,
    message: String,
}

/// Whether a text is a plan rather than a walk or a cut list.
pub fn is_plan(text: &str) -> bool {
    #[derive(Deserialize)]
    struct Kind {
        plan: Option<serde::de::IgnoredAny>,
    }
    let kind = syntax::read::<Kind>(text);
    text.trim_start().starts_with('{') && kind.is_ok_and(|kind| kind.plan.is_some())
}

/// Reads a plan that this program wrote.
///
/// # Errors
/// It is not in the form, carries no list, or its list and its pieces are not what they were when it was written.
pub fn read(source: &Source) -> Result<StoredPlan, Refusal> {
    let plan: PlanIn = syntax::read(&source.text).map_err(|refused| Refusal::Content {
        file: source.name.clone(),
        refused,
    })?;
    let refuse = |sentence: &str| Refusal::Unreadable(format!("{}: {sentence}", source.name));
    let (Some(digest), Some(list)) = (&plan.digest, &plan.saw_list) else {
        return Err(refuse(
            "this plan carries no saw list: the level is too large for one station, or an older program wrote the plan",
        ));
    };
    let bytes = BASE64_STANDARD.decode(list).unwrap_or_default();
    let list = SawSheet::of_bytes(&bytes)
        .filter(|list| *digest == DigestText(list.head.digest).to_string())
        .filter(|list| plan.plan == 1 && is_of(list, &plan));
    let list = list.ok_or_else(|| {
        refuse(
            "this plan was changed after it was written, or another version of this program wrote it: plan its file again",
        )
    })?;
    let finished = plan.pieces.iter().filter(|piece| piece.finished);
    let finished = finished.filter_map(|piece| u32::from_str_radix(&piece.id, 16).ok());
    let left_out = plan.pieces.iter();
    let left_out = left_out.filter(|piece| piece.order.is_none() && !piece.finished);
    let unit = unit(&plan);
    let left_out = left_out.map(|piece| LeftOut {
        room: piece.room.clone(),
        wall: piece.wall,
        length: unit
            .and_then(|unit| piece.length.length(unit).ok())
            .unwrap_or(Length::ZERO),
    });
    Ok(StoredPlan {
        list,
        finished: finished.map(PieceId).collect(),
        after: plan.after,
        left_out: left_out.collect(),
        findings: plan.findings.into_iter().map(finding).collect(),
    })
}

/// Whether the pieces that a person reads in the plan are the list's.
fn is_of(list: &SawSheet, plan: &PlanIn) -> bool {
    let Some(unit) = unit(plan) else {
        return false;
    };
    let mut listed: Vec<&PieceIn> = plan.pieces.iter().filter(|p| p.order.is_some()).collect();
    listed.sort_by_key(|piece| piece.order);
    let same = |(read, piece): (&&PieceIn, &Piece)| {
        let room = list.head.rooms.get(usize::from(piece.room));
        read.id == piece.id.to_string()
            && room.is_some_and(|room| room.as_str() == read.room)
            && read.wall.unwrap_or(0) == u32::from(piece.wall)
            && read.stick == Some(u32::from(piece.stick))
            && read.length.length(unit) == Ok(piece.length)
    };
    plan.level == list.head.level.as_str()
        && listed.len() == list.pieces.len()
        && listed.iter().zip(&list.pieces).all(same)
}

fn unit(plan: &PlanIn) -> Option<Unit> {
    match plan.unit.as_str() {
        "in" => Some(Unit::Inch),
        "mm" => Some(Unit::Millimetre),
        _ => None,
    }
}

fn finding(read: FindingIn) -> Finding {
    Finding {
        severity: match read.severity.as_str() {
            "warning" => Severity::Warning,
            _ => Severity::Error,
        },
        room: read.room,
        walls: read.walls,
        message: read.message,
        // told in the message
        readings: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;
    use crate::plan::PlanOut;

    /// A wall is longer than a stick, so that it has two parts; another stands without a stick.
    const LEVEL: &str = "\
level Upper floor
moulding base
high 5 1/4, thick 9/16, profile 3/4
stick 192 at 21.50
moulding plinth
high 5 1/4, thick 9/16, profile 3/4
stick 60 have 1
room Den
open
31 1/2
door 37 1/2
250
room Hall
with plinth
open
50 corner 92
50
";

    fn planned() -> (SawSheet, Value) {
        let sheet = crate::read_text("level.txt", LEVEL, &[]).expect("a level");
        let plan = planner::plan(&sheet);
        let list = SawSheet::of(&plan).expect("it fits");
        let value = serde_json::to_value(PlanOut::of(&plan)).expect("a plan");
        (list, value)
    }

    fn read_back(plan: &Value) -> Result<StoredPlan, String> {
        let source = Source {
            name: "plan.json".to_owned(),
            text: serde_json::to_string_pretty(plan).expect("text"),
            path: None,
        };
        assert!(is_plan(&source.text));
        read(&source).map_err(|refusal| refusal.told("nothing is loaded"))
    }

    #[test]
    fn a_plan_is_read_back_as_it_was_written() {
        let (list, plan) = planned();
        let stored = read_back(&plan).expect("a plan");
        assert_eq!(stored.list, list);
        assert_eq!(
            stored.left_out.len() + list.pieces.len(),
            plan["pieces"].as_array().expect("pieces").len()
        );
        let left_out = &stored.left_out[0];
        assert_eq!(left_out.room, "Hall");
        let words =
            |finding: &Finding| (finding.severity.word().to_owned(), finding.message.clone());
        let read: Vec<_> = stored.findings.iter().map(words).collect();
        let written = plan["findings"].as_array().expect("findings").iter();
        let text = |value: &Value| value.as_str().expect("a text").to_owned();
        let written: Vec<_> = written
            .map(|finding| (text(&finding["severity"]), text(&finding["message"])))
            .collect();
        assert!(!read.is_empty());
        assert_eq!(read, written);
    }

    #[test]
    fn a_plan_in_which_anything_was_changed_is_not_loaded() {
        let (_, plan) = planned();
        let changed = |pointer: &str, value: Value| {
            let mut plan = plan.clone();
            *plan.pointer_mut(pointer).expect("a key") = value;
            read_back(&plan).expect_err(pointer)
        };
        let list = plan["saw_list"].as_str().expect("a list");
        let turned = list.replacen(['A', 'B'], "C", 1);
        for (pointer, value) in [
            ("/pieces/0/length", json!(31.75)),
            ("/pieces/0/room", json!("Hall")),
            ("/pieces/0/wall", json!(2)),
            ("/pieces/0/stick", json!(99)),
            ("/pieces/0/order", json!(null)),
            ("/level", json!("Lot 13")),
            ("/digest", json!("0000-0000")),
            ("/saw_list", json!(turned)),
            ("/saw_list", json!("")),
            ("/plan", json!(2)),
        ] {
            let told = changed(pointer, value);
            let expected = "plan.json: this plan was changed after it was written, or another version of this program \
                wrote it: plan its file again\n";
            assert_eq!(told, expected, "{pointer}");
        }
        let told = changed("/saw_list", json!(null));
        assert!(
            told.starts_with("plan.json: this plan carries no saw list"),
            "{told}"
        );
    }

    #[test]
    fn other_files_are_no_plans() {
        for text in [LEVEL, "{ \"walk\": 1 }", "[]", "{", ""] {
            assert!(!is_plan(text), "{text}");
        }
    }
}
