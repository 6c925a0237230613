//! Findings as a person reads them: one a paragraph, the gravest first, lines of at most 80 columns. What is found is the
//! planner's.

mod drawing;

use planner::closure::report::RoomReport;
use planner::finding::{Finding, Severity};
use planner::plan::Plan;
use planner::walk::{Room, Sheet, Walk};

const COLUMNS: usize = 80;

/// Every finding, each followed by an empty line; nothing where there is none.
pub fn paragraphs(findings: &[Finding]) -> String {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|finding| finding.rank());
    sorted.into_iter().map(paragraph).collect()
}

/// The same, with the rooms drawn whose readings are doubted.
pub fn drawn(findings: &[Finding], sheet: &Sheet) -> String {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|finding| finding.rank());
    let told = sorted.into_iter().map(|finding| {
        let drawing = match sheet {
            Sheet::Walk(walk) => drawing::drawing(walk, finding),
            Sheet::CutList(_) => None,
        };
        let drawing = drawing.map(|drawing| format!("{drawing}\n"));
        paragraph(finding) + &drawing.unwrap_or_default()
    });
    told.collect()
}

/// What each room's readings can show, one room a paragraph; a cut list has no rooms that could close.
pub fn detail(sheet: &Sheet) -> String {
    let Sheet::Walk(walk) = sheet else {
        return String::new();
    };
    walk.rooms
        .iter()
        .map(|room| room_detail(walk, room))
        .collect()
}

fn room_detail(walk: &Walk, room: &Room) -> String {
    let report = RoomReport::of(walk, room);
    let lines = report.lines(walk, room);
    let lines = lines.iter().map(|line| indented(line));
    format!("{}\n{}\n", room.name, lines.collect::<String>())
}

fn paragraph(finding: &Finding) -> String {
    format!("{}\n{}\n", heading(finding), indented(&finding.message))
}

/// A sentence or two, broken to the width and indented by two.
fn indented(message: &str) -> String {
    let mut text = String::new();
    let mut line = String::new();
    for word in message.split_whitespace() {
        if !line.is_empty() && 2 + line.chars().count() + 1 + word.chars().count() > COLUMNS {
            text.push_str(&format!("  {line}\n"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    text.push_str(&format!("  {line}\n"));
    text
}

/// Such as `error: Bed 2, walls 3 and 5`.
pub fn heading(finding: &Finding) -> String {
    let mut text = finding.severity.word().to_owned();
    if let Some(room) = &finding.room {
        text.push_str(&format!(": {room}"));
    }
    let numbers: Vec<String> = finding.walls.iter().map(u32::to_string).collect();
    match numbers.as_slice() {
        [] => {}
        [wall] => text.push_str(&format!(", wall {wall}")),
        [walls @ .., last] => {
            text.push_str(&format!(", walls {} and {last}", walls.join(", ")));
        }
    }
    text
}

/// Such as `1 error, 2 warnings`, or `no findings`.
pub fn count(findings: &[Finding]) -> String {
    let of = |severity| {
        let count = findings.iter().filter(|f| f.severity == severity).count();
        (count > 0).then(|| plural(count, severity.word()))
    };
    match (of(Severity::Error), of(Severity::Warning)) {
        (None, None) => "no findings".to_owned(),
        (Some(errors), Some(warnings)) => format!("{errors}, {warnings}"),
        (Some(some), None) | (None, Some(some)) => some,
    }
}

/// What a plan holds, such as `96 pieces from 41 sticks; no findings`.
pub fn summary(plan: &Plan) -> String {
    let finished = plan.finished().count();
    format!(
        "{}{} from {}; {}",
        plural(plan.pieces.len() - finished, "piece"),
        if plan.after > 0 { " left" } else { "" },
        plural(plan.sticks.len(), "stick"),
        count(&plan.findings)
    )
}

/// A count and its noun.
pub fn plural(count: usize, noun: &str) -> String {
    match count {
        1 => format!("1 {noun}"),
        count => format!("{count} {noun}s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn findings_are_paragraphs_the_gravest_first() {
        let findings = [
            Finding::warning("Hall", &[2], "The corner is wide.".to_owned()),
            Finding::error(
                "Bed 2",
                &[1, 3, 5],
                "These walls do not come back to where they began by more than a tape can be out; \
                 measure them again before anything is cut."
                    .to_owned(),
            ),
            Finding {
                severity: Severity::Error,
                room: None,
                walls: Vec::new(),
                message: "No saw can cut this.".to_owned(),
                readings: Vec::new(),
            },
        ];
        assert_eq!(
            paragraphs(&findings),
            "error: Bed 2, walls 1, 3 and 5\n\
             \x20 These walls do not come back to where they began by more than a tape can be\n\
             \x20 out; measure them again before anything is cut.\n\n\
             error\n  No saw can cut this.\n\n\
             warning: Hall, wall 2\n  The corner is wide.\n\n"
        );
        assert_eq!(count(&findings), "2 errors, 1 warning");
        assert_eq!(
            (paragraphs(&[]).as_str(), count(&[]).as_str()),
            ("", "no findings")
        );
        assert!(
            paragraphs(&findings)
                .lines()
                .all(|line| line.len() <= COLUMNS)
        );
    }
}
