//! A level made ready for a station: its file read and planned, or a plan taken as it was written; its findings told. Which
//! station gets the list is left to `run` and `load`.

use form::Source;
use form::stored::{self, LeftOut};
use planner::finding::{Finding, any_error};
use planner::saw_list::SawSheet;
use shared_model::Mark;

use crate::{check, say};

/// A list that can be given to a station.
pub struct Ready {
    /// Where it comes from.
    pub source: Source,
    /// The level's name.
    pub level: String,
    /// The list.
    pub list: SawSheet,
    /// What it holds, such as `96 pieces from 41 sticks; no findings`.
    pub summary: String,
}

/// What is refused while a plan has errors, and how that is said.
#[derive(Debug, Clone, Copy)]
pub struct Refusing {
    /// Nothing is refused.
    pub despite_errors: bool,
    /// What is not done with it: `shown` or `loaded`.
    pub done: &'static str,
}

/// Reads a file.
///
/// # Errors
/// A sentence why it cannot be.
pub fn read(file: &str) -> Result<Source, String> {
    Source::read(file).map_err(|sentence| format!("{sentence}\n"))
}

/// Plans a walk or a cut list, and tells what was found.
///
/// # Errors
/// A sentence: it is neither, or has errors.
pub fn plan(source: Source, refusing: Refusing) -> Result<Ready, String> {
    let sheet = form::read_source(&source).map_err(|refusal| refusal.told("nothing is planned"))?;
    let plan = planner::plan(&sheet);
    let left_out = plan.pieces.iter().filter(|piece| piece.cut.is_none());
    let left_out: Vec<LeftOut> = left_out
        .map(|piece| LeftOut {
            room: piece.room.clone(),
            wall: piece.wall,
            length: piece.length,
        })
        .collect();
    tell(&plan.findings, &left_out, plan.mark, refusing)?;
    Ok(Ready {
        list: SawSheet::of(&plan).map_err(|error| format!("{error}\n"))?,
        summary: check::summary(&plan),
        level: plan.level,
        source,
    })
}

/// Takes a plan as it was written where the file is one; else plans it.
///
/// # Errors
/// A sentence: it is no plan, walk or cut list, was changed, or has errors.
pub fn stored_or_planned(source: Source, refusing: Refusing) -> Result<Ready, String> {
    if !stored::is_plan(&source.text) {
        return plan(source, refusing);
    }
    let stored = stored::read(&source).map_err(|refusal| refusal.told("nothing is loaded"))?;
    let head = &stored.list.head;
    tell(&stored.findings, &stored.left_out, head.mark, refusing)?;
    Ok(Ready {
        summary: format!(
            "{} from {}; {}",
            check::plural(usize::from(head.pieces), "piece"),
            check::plural(usize::from(head.sticks), "stick"),
            check::count(&stored.findings)
        ),
        level: head.level.to_string(),
        list: stored.list,
        source,
    })
}

fn tell(
    findings: &[Finding],
    left_out: &[LeftOut],
    mark: Mark,
    refusing: Refusing,
) -> Result<(), String> {
    if !findings.is_empty() {
        say::tell(check::paragraphs(findings));
    }
    if any_error(findings) && !refusing.despite_errors {
        return Err(format!(
            "{}: nothing is {} while a plan has errors; put them right, or say --despite-errors\n",
            check::count(findings),
            refusing.done
        ));
    }
    for piece in left_out {
        let wall = piece.wall.map(|wall| format!(", wall {wall}"));
        say::tell(format_args!(
            "left out: {}{}, {}\n",
            piece.room,
            wall.unwrap_or_default(),
            piece.length.on_tape(mark)
        ));
    }
    Ok(())
}
