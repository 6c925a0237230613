//! What the planner finds wrong or doubtful, in sentences that name the room and the walls. Printing them is left to the
//! host.

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
        }
    }

    fn about(severity: Severity, room: &str, walls: &[u32], message: String) -> Finding {
        Finding {
            severity,
            room: Some(room.to_owned()),
            walls: walls.to_vec(),
            message: sentence(message),
        }
    }
}

/// A message that begins with a capital letter.
fn sentence(mut message: String) -> String {
    if let Some(first) = message.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    message
}
