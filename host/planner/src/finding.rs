//! What the planner finds wrong or doubtful, in sentences that name the room and the walls. Printing them is left to the
//! host.

use shared_model::Length;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Something cannot be cut or cannot be right: it is left out or wants a person's eye before anything is cut.
    Error,
    /// It can be cut, but not as asked, or it should be looked at.
    Warning,
}

impl Severity {
    /// `error` or `warning`.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// A reading that would set right what a finding is about: proposed, never put in by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// The wall's number, where it is about one or its corner.
    pub wall: Option<u32>,
    /// What to look at again, such as `wall 4`, `opening 2` or `the corner after wall 3`.
    pub place: String,
    /// The length that was read, where it is about a length.
    pub read: Option<Length>,
    /// The length that would be right.
    pub instead: Option<Length>,
    /// The proposal as a sentence without its full stop.
    pub message: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// The room, where it is about one.
    pub room: Option<String>,
    /// The walls, by their numbers in the room.
    pub walls: Vec<u32>,
    /// What is the matter and what to do, in a sentence or two.
    pub message: String,
    /// Readings that would set it right, likeliest first.
    pub readings: Vec<Candidate>,
}

impl Finding {
    /// An error about walls of a room.
    pub fn error(room: &str, walls: &[u32], message: String) -> Finding {
        Finding::about(Severity::Error, room, walls, message)
    }

    /// A warning about walls of a room.
    pub fn warning(room: &str, walls: &[u32], message: String) -> Finding {
        Finding::about(Severity::Warning, room, walls, message)
    }

    /// A warning about the whole level.
    pub fn of_level(message: String) -> Finding {
        Finding {
            severity: Severity::Warning,
            room: None,
            walls: Vec::new(),
            message: sentence(message),
            readings: Vec::new(),
        }
    }

    /// What comes first among findings: errors, then what a reading would set right, since it concerns all that is cut.
    pub fn rank(&self) -> (Severity, bool) {
        (self.severity, self.readings.is_empty())
    }

    fn about(severity: Severity, room: &str, walls: &[u32], message: String) -> Finding {
        Finding {
            severity,
            room: Some(room.to_owned()),
            walls: walls.to_vec(),
            message: sentence(message),
            readings: Vec::new(),
        }
    }
}

/// Whether there is an error among findings.
pub fn any_error(findings: &[Finding]) -> bool {
    findings.iter().any(|f| f.severity == Severity::Error)
}

/// A message that begins with a capital letter.
fn sentence(mut message: String) -> String {
    if let Some(first) = message.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    message
}
