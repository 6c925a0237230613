//! What is offered where pieces wait for a new plan: how to get it, and what it has to have bought. Planning it is left to
//! the planner, loading it to `load` and `run`.

use std::path::PathBuf;

use form::{Source, stored};
use planner::{History, Rest};
use schemars::JsonSchema;
use serde::Serialize;
use shared_model::DigestText;

use crate::paper::words::stick_length;
use crate::planned;

/// A new plan of what is left.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NewPlan {
    /// The command that gives a station the new list; FILE where this computer does not know the level's file.
    pub load: String,
    /// The command that shows it on paper first.
    pub look: String,
    /// The new list's digest; null where it cannot be planned from here.
    pub digest: Option<String>,
    /// What must be bought beyond the list before, such as `1 of 16' 0" in base`; null where that is not known from here.
    pub buy: Option<Vec<String>>,
}

impl NewPlan {
    /// The plan of what is left, by the file from which the list was made and what was said since; none where that list
    /// still serves.
    pub fn of(file: (String, String), history: &History, to: Option<&str>) -> Option<NewPlan> {
        let (name, text) = file;
        let is_file = !stored::is_plan(&text) && name != "-";
        let shown = match is_file {
            true if name.contains(' ') => format!("\"{name}\""),
            true => name.clone(),
            false => "FILE".to_owned(),
        };
        let to = to.map_or_else(String::new, |to| format!(" --to {to}"));
        let mut new = NewPlan {
            load: format!("baserun load {shown}{to}"),
            look: format!("baserun plan {shown} --rest"),
            digest: None,
            buy: None,
        };
        let source = Source {
            path: Some(PathBuf::from(&name)),
            name,
            text,
        };
        // a set-up file may be gone since: then the commands say so
        let Ok(sheet) = form::read_source(&source) else {
            return Some(new);
        };
        match planned::rest(&sheet, history) {
            Rest::Serves(_) | Rest::AllCut => None,
            Rest::Anew(plan) => {
                let list = planner::saw_list::SawSheet::of(&plan);
                new.digest = list
                    .ok()
                    .map(|list| DigestText(list.head.digest).to_string());
                let buy = plan.buy().into_iter().map(|purchase| {
                    let length = stick_length(purchase.length, plan.mark);
                    let moulding = &plan.mouldings[purchase.moulding].name;
                    format!("{} of {length} in {moulding}", purchase.count)
                });
                new.buy = Some(buy.collect());
                Some(new)
            }
        }
    }
}
