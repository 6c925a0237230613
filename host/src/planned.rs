//! A level made ready for a station: its file read and planned, or what is left of it by the job record, or a plan taken as
//! it was written; its findings told. Which station gets the list is left to `run` and `load`.

use form::Source;
use form::stored::{self, LeftOut};
use job_record::{JobRecord, LevelName, Making};
use planner::finding::{Finding, any_error};
use planner::plan::Plan;
use planner::saw_list::SawSheet;
use planner::sticks::{Effort, Wishes};
use planner::walk::Sheet;
use planner::{History, Rest};
use shared_model::messages::StationId;
use shared_model::{Event, Mark, PieceId, What};

use crate::{check, say};

/// A list that can be given to a station.
pub struct Ready {
    /// Where it comes from.
    pub source: Source,
    /// The level's name.
    pub level: String,
    /// The list.
    pub list: SawSheet,
    /// The pieces that it leaves out because they are cut.
    finished: Vec<PieceId>,
    /// What it holds, such as `96 pieces from 41 sticks; no findings`.
    pub summary: String,
}

/// What comes of a file.
pub enum Planned {
    /// A list, and where it comes from.
    Ready(Box<Ready>),
    /// Every piece of the level of this name is cut.
    AllCut(String),
}

/// What the job record knows, and for which station it is asked.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    /// The record.
    pub record: &'a JobRecord,
    /// The level is the one that the program brings along.
    pub demo: bool,
    /// The station; none: one that knows everything that was said.
    pub station: Option<StationId>,
}

/// What is refused while a plan has errors, and how that is said.
#[derive(Debug, Clone, Copy)]
pub struct Refusing {
    /// Nothing is refused.
    pub despite_errors: bool,
    /// What is not done with it: `shown` or `loaded`.
    pub done: &'static str,
}

impl Ready {
    /// For the record.
    pub fn making(&self) -> Making<'_> {
        Making {
            source: job_record::Source {
                file: &self.source.name,
                text: &self.source.text,
            },
            list: &self.list,
            finished: &self.finished,
        }
    }
}

impl Known<'_> {
    /// What happened to a level, as far as the record knows it.
    ///
    /// # Errors
    /// A sentence: what is the matter with the record.
    pub fn history(&self, level: &str) -> Result<History, String> {
        let told = |error: job_record::RecordError| format!("{error}\n");
        let name = level_name(level, self.demo);
        match self.record.level(name).map_err(told)? {
            Some(level) => self.record.history(level, self.station).map_err(told),
            None => Ok(History::default()),
        }
    }
}

/// What a level is known by in the record.
pub fn level_name(level: &str, demo: bool) -> LevelName<'_> {
    match demo {
        true => LevelName::OfDemo(level),
        false => LevelName::OfFile(level),
    }
}

/// Reads a file.
///
/// # Errors
/// A sentence why it cannot be.
pub fn read(file: &str) -> Result<Source, String> {
    Source::read(file).map_err(|sentence| format!("{sentence}\n"))
}

/// Sees that a file can be read as a walk, a cut list or a plan.
///
/// # Errors
/// A sentence why it cannot.
pub fn looked_at(source: &Source) -> Result<(), String> {
    match stored::is_plan(&source.text) {
        true => stored::read(source).map(drop),
        false => form::read_source(source).map(drop),
    }
    .map_err(|refusal| refusal.told("nothing is loaded"))
}

/// The name of the level of a walk or a cut list.
///
/// # Errors
/// A sentence: it is neither.
pub fn level_of(source: &Source) -> Result<String, String> {
    let sheet = form::read_source(source).map_err(|refusal| refusal.told("nothing is planned"))?;
    Ok(sheet.setup().level.clone())
}

/// Plans a walk or a cut list, or what is left of it by the record, and tells what was found.
///
/// # Errors
/// A sentence: it is neither, or has errors, or the record cannot be read.
pub fn plan(
    source: Source,
    known: Option<Known<'_>>,
    refusing: Refusing,
) -> Result<Planned, String> {
    let sheet = form::read_source(&source).map_err(|refusal| refusal.told("nothing is planned"))?;
    let level = sheet.setup().level.clone();
    let history = known.map(|known| known.history(&level)).transpose()?;
    let plan = match rest(&sheet, &history.unwrap_or_default()) {
        Rest::AllCut => return Ok(Planned::AllCut(level)),
        Rest::Serves(list) => {
            let list = *list;
            let words = "nothing is wrong with the list, so it stays as it is";
            return Ok(Planned::Ready(Box::new(Ready {
                summary: format!("{}; {words}", holds(&list)),
                finished: Vec::new(),
                level,
                list,
                source,
            })));
        }
        Rest::Anew(plan) => plan,
    };
    tell(&plan.findings, &left_out(&plan), plan.mark, refusing)?;
    Ok(Planned::Ready(Box::new(Ready {
        list: SawSheet::of(&plan).map_err(|error| format!("{error}\n"))?,
        finished: plan.finished().map(|piece| piece.id).collect(),
        summary: check::summary(&plan),
        level,
        source,
    })))
}

/// What is to be cut of a sheet after what happened.
pub fn rest(sheet: &Sheet, history: &History) -> Rest {
    let mut go_on = |_| true;
    let mut effort = Effort::new(Effort::USUAL, &mut go_on);
    planner::rest(sheet, &Wishes::USUAL, history, &mut effort)
}

/// Takes a plan as it was written where the file is one; else plans it.
///
/// # Errors
/// A sentence: it is no plan, walk or cut list, was changed, or has errors; or it is a plan and more was said at the saw
/// since it was made.
pub fn stored_or_planned(
    source: Source,
    known: Known<'_>,
    refusing: Refusing,
) -> Result<Planned, String> {
    if !stored::is_plan(&source.text) {
        return plan(source, Some(known), refusing);
    }
    let stored = stored::read(&source).map_err(|refusal| refusal.told("nothing is loaded"))?;
    let head = &stored.list.head;
    let history = known.history(&head.level)?;
    if history.in_use != Some(head.digest) && history.events.len() != stored.after {
        return Err(format!(
            "{}: {}",
            source.name,
            missed(&history, stored.after)
        ));
    }
    tell(&stored.findings, &stored.left_out, head.mark, refusing)?;
    Ok(Planned::Ready(Box::new(Ready {
        summary: format!(
            "{}; {}",
            holds(&stored.list),
            check::count(&stored.findings)
        ),
        level: head.level.to_string(),
        list: stored.list,
        finished: stored.finished,
        source,
    })))
}

/// What was said at the saw since a plan was made that does not know of it.
fn missed(history: &History, after: usize) -> String {
    let again = "plan its file again: baserun plan FILE --rest --format json\n";
    let since = history.events.get(after..).unwrap_or_default();
    match said(since.iter().map(|heard| &heard.event)) {
        Some(said) => format!(
            "this plan was made before all that was said at the saw was known, and misses {said}: nothing is loaded; {again}"
        ),
        None => format!(
            "this plan was made after things that were said at the saw and that this computer does not know: nothing is loaded; {again}"
        ),
    }
}

/// Events in words, such as `2 pieces cut, 1 stick bad`; none where there are none.
pub fn said<'a>(events: impl Iterator<Item = &'a Event>) -> Option<String> {
    let mut counts = [0; 6];
    for event in events {
        counts[match event.what {
            What::Done { .. } => 0,
            What::TakenBack { .. } => 1,
            What::SetAside { .. } => 2,
            What::CutAgain { .. } => 3,
            What::BadStick { .. } => 4,
            What::StickKept { .. } => 5,
        }] += 1;
    }
    let words = [
        ("piece", "cut"),
        ("press", "taken back"),
        ("piece", "set aside"),
        ("piece", "to be cut again"),
        ("stick", "bad"),
        ("stick", "good after all"),
    ];
    let some = counts
        .into_iter()
        .zip(words)
        .filter(|(count, _)| *count > 0);
    let some: Vec<String> = some
        .map(|(count, (noun, words))| match (noun, count) {
            ("press", 2..) => format!("{count} presses {words}"),
            _ => format!("{} {words}", check::plural(count, noun)),
        })
        .collect();
    (!some.is_empty()).then(|| some.join(", "))
}

/// Such as `96 pieces from 41 sticks`.
fn holds(list: &SawSheet) -> String {
    format!(
        "{} from {}",
        check::plural(usize::from(list.head.pieces), "piece"),
        check::plural(usize::from(list.head.sticks), "stick"),
    )
}

fn left_out(plan: &Plan) -> Vec<LeftOut> {
    let left_out = plan.left_out().map(|piece| LeftOut {
        room: piece.room.clone(),
        wall: piece.wall,
        length: piece.length,
    });
    left_out.collect()
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
