//! What happened at the saw, read from a file: a list of events, or an object with the events and what is in hand. What
//! follows from it is the planner's.

use std::fs;

use planner::Happened;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use shared_model::{Event, Length, PieceId, Reason, Unit, What};

/// What happened since the first plan.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Events for baserun plan --after")]
pub struct EventsForm {
    /// What was said at the saw, in its order. A file may hold this list alone.
    events: Vec<EventForm>,
    /// What is in hand now, moulding by moulding; for a moulding that is not named it is reckoned from the events.
    #[serde(default)]
    in_hand: Vec<InHandForm>,
}

/// One event: exactly one of the keys that say what happened.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
#[schemars(rename = "Event")]
struct EventForm {
    /// The id of a piece that is cut.
    done: Option<String>,
    /// The id of a piece of which the last thing said is taken back.
    taken_back: Option<String>,
    /// The id of a piece that is left for later.
    set_aside: Option<String>,
    /// The id of a piece that has to be cut again.
    cut_again: Option<String>,
    /// Why: "came out short", "wrong end" or "damaged"; with `cut_again` only.
    reason: Option<String>,
    /// The number of a stick that is split or crooked.
    bad_stick: Option<u16>,
    /// The number of a stick that was called bad and is used after all.
    stick_kept: Option<u16>,
    /// The digest of the list, as screen and paper show it; with `done`, `bad_stick` and `stick_kept`.
    list: Option<String>,
}

/// What is in hand of a moulding.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "InHand")]
struct InHandForm {
    /// The moulding's name.
    moulding: String,
    /// The lengths, in inches.
    inches: Vec<f64>,
}

/// Reads a file of events.
///
/// # Errors
/// A sentence that says what cannot be read.
pub fn read(file: &str) -> Result<Happened, String> {
    let text =
        fs::read_to_string(file).map_err(|error| format!("{file} cannot be read: {error}\n"))?;
    happened(&text).map_err(|what| format!("{file}: {what}\nnothing is planned\n"))
}

fn happened(text: &str) -> Result<Happened, String> {
    let value: Value = serde_json::from_str(text).map_err(|error| error.to_string())?;
    let form: EventsForm = match value.is_array() {
        true => serde_json::from_value(value).map(|events| EventsForm {
            events,
            in_hand: Vec::new(),
        }),
        false => serde_json::from_value(value),
    }
    .map_err(|error| format!("this is not a list of events: {error}"))?;
    let events = form.events.iter().zip(1u32..).map(|(event, sequence)| {
        let what = what(event).map_err(|why| format!("event {sequence}: {why}"))?;
        Ok(Event {
            sequence,
            boot: 0,
            milliseconds: 0,
            what,
        })
    });
    let in_hand = form.in_hand.iter().map(|of| {
        let lengths = of.inches.iter().map(|inches| {
            Length::read(&inches.to_string(), Unit::Inch)
                .ok()
                .filter(|length| *length > Length::ZERO)
                .ok_or_else(|| format!("{inches} is not a length in inches"))
        });
        Ok((of.moulding.clone(), lengths.collect::<Result<_, String>>()?))
    });
    Ok(Happened {
        events: events.collect::<Result<_, String>>()?,
        in_hand: in_hand.collect::<Result<_, String>>()?,
    })
}

fn what(event: &EventForm) -> Result<What, String> {
    let list = || {
        let text = event
            .list
            .as_deref()
            .ok_or("it lacks the \"list\", such as \"1a2b-3c4d\"")?;
        hexadecimal(&text.replacen('-', "", 1)).ok_or(format!("\"{text}\" is no list's digest"))
    };
    let piece = |id: &String| {
        let number = hexadecimal(id).ok_or(format!("\"{id}\" is no piece's id"))?;
        Ok::<_, String>(PieceId(number))
    };
    match event {
        EventForm { done: Some(id), .. } => Ok(What::Done {
            piece: piece(id)?,
            list: list()?,
        }),
        EventForm {
            taken_back: Some(id),
            ..
        } => Ok(What::TakenBack { piece: piece(id)? }),
        EventForm {
            set_aside: Some(id),
            ..
        } => Ok(What::SetAside { piece: piece(id)? }),
        EventForm {
            cut_again: Some(id),
            ..
        } => Ok(What::CutAgain {
            piece: piece(id)?,
            reason: reason(event.reason.as_deref())?,
        }),
        EventForm {
            bad_stick: Some(stick),
            ..
        } => Ok(What::BadStick {
            list: list()?,
            stick: *stick,
        }),
        EventForm {
            stick_kept: Some(stick),
            ..
        } => Ok(What::StickKept {
            list: list()?,
            stick: *stick,
        }),
        _ => Err("it says nothing that happened, such as \"done\" or \"bad_stick\"".to_owned()),
    }
}

fn reason(words: Option<&str>) -> Result<Reason, String> {
    let Some(words) = words else {
        return Ok(Reason::Damaged);
    };
    let known = Reason::ALL
        .into_iter()
        .find(|reason| reason.words() == words);
    known.ok_or_else(|| format!("\"{words}\" is no reason: came out short, wrong end or damaged"))
}

/// Eight hexadecimal digits.
fn hexadecimal(text: &str) -> Option<u32> {
    (text.len() == 8)
        .then(|| u32::from_str_radix(text, 16).ok())
        .flatten()
}
