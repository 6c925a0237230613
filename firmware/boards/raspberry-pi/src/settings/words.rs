//! The words that values of the settings are written in. Which key takes which is left to the settings.

use std::fmt;
use std::str::FromStr;

use serde::de::Error;
use serde::{Deserialize, Deserializer};
use station::screen::Panel;

use crate::key_names;

/// A value, or none where it says "auto" or "off".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen<T>(pub Option<T>);

impl<T> Default for Chosen<T> {
    fn default() -> Chosen<T> {
        Chosen(None)
    }
}

impl<'de, T: FromStr<Err: fmt::Display>> Deserialize<'de> for Chosen<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Chosen<T>, D::Error> {
        let text = String::deserialize(from)?;
        match text.as_str() {
            "auto" | "off" => Ok(Chosen(None)),
            text => {
                let value = text.parse().map_err(Error::custom)?;
                Ok(Chosen(Some(value)))
            }
        }
    }
}

/// A size of picture that the station lays out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Picture(pub Panel);

impl Picture {
    /// Every size, the largest first; a screen on a display port has colours and no leaves.
    pub const ALL: [Picture; 4] = [
        Picture(Panel::LARGE),
        Picture(Panel::WIDE),
        Picture(Panel::FINE),
        Picture(Panel::SMALL),
    ];
}

impl fmt::Display for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.0.width, self.0.height)
    }
}

impl FromStr for Picture {
    type Err = String;

    fn from_str(text: &str) -> Result<Picture, String> {
        let named = |picture: &Picture| picture.to_string() == text;
        Picture::ALL.into_iter().find(named).ok_or_else(|| {
            let sizes = Picture::ALL.map(|picture| format!("\"{picture}\""));
            format!(
                "there is no picture of \"{text}\"; there are \"auto\", {}",
                sizes.join(", ")
            )
        })
    }
}

/// By which way contacts are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub enum Through {
    /// None are.
    Off,
    /// The kernel's interface for pins.
    Kernel,
    /// The library rppal.
    Rppal,
}

impl TryFrom<String> for Through {
    type Error = String;

    fn try_from(text: String) -> Result<Through, String> {
        match text.as_str() {
            "off" => Ok(Through::Off),
            "kernel" => Ok(Through::Kernel),
            "rppal" => Ok(Through::Rppal),
            _ => Err(format!(
                "contacts are read through \"kernel\", \"rppal\" or \"off\", not \"{text}\""
            )),
        }
    }
}

/// What a closed contact joins its pin to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub enum ClosesTo {
    /// 0 V.
    Ground,
    /// 3.3 V.
    Supply,
}

impl TryFrom<String> for ClosesTo {
    type Error = String;

    fn try_from(text: String) -> Result<ClosesTo, String> {
        match text.as_str() {
            "ground" => Ok(ClosesTo::Ground),
            "supply" => Ok(ClosesTo::Supply),
            _ => Err(format!(
                "a contact closes to \"ground\" or \"supply\", not \"{text}\""
            )),
        }
    }
}

/// A key of a keyboard, by the number that Linux gives it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct KeyName(pub u16);

impl FromStr for KeyName {
    type Err = String;

    fn from_str(text: &str) -> Result<KeyName, String> {
        key_names::number(text).map(KeyName).ok_or_else(|| {
            let nearest = key_names::nearest(text);
            format!("no key is called \"{text}\"; the nearest is \"{nearest}\"")
        })
    }
}

impl TryFrom<String> for KeyName {
    type Error = String;

    fn try_from(text: String) -> Result<KeyName, String> {
        text.parse()
    }
}
