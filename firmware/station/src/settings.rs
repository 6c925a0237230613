//! What a person sets at the station: how figures and postures are worded, the beep, the light; its bytes, and one small
//! trait for whatever keeps them. Choosing is left to the machine, keeping to boards and files.

use core::fmt;

use crc::{CRC_32_ISCSI, Crc};
use shared_model::Mark;

const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);
const KIND: &[u8; 4] = b"bset";
const VERSION: u8 = 1;
const BODY: usize = Settings::BYTES - 4;

/// What is set. What a person has not chosen is as it was built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Settings {
    /// The tape on which figures are shown; none: the list's own.
    pub mark: Option<Mark>,
    /// How the board's posture is worded.
    pub words: BoardWords,
    /// The beep.
    pub sound: Sound,
    /// The screen's light.
    pub light: Light,
}

/// By which words a posture is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BoardWords {
    /// By the edge that is down or at the fence.
    #[default]
    Edge,
    /// By how the board lies: upside down, right way up, top away from you, top toward you.
    Board,
}

/// How loud the beep is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sound {
    /// Over a dust collector.
    #[default]
    Loud,
    /// For a quiet house.
    Soft,
    /// Nothing is sounded.
    Off,
}

/// The screen's light in steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Light(u8);

impl Default for Light {
    fn default() -> Light {
        Light(Light::STEPS)
    }
}

impl Light {
    /// How many steps there are.
    pub const STEPS: u8 = 5;

    /// The step, from 1 (darkest) to [`Light::STEPS`].
    pub const fn step(self) -> u8 {
        self.0
    }

    /// The share of the full light in thousandths, as a board sets its pulses. Each step gives twice the light of the
    /// one below it: to the eye equal ratios are about equal steps.
    ///
    /// ```
    /// use station::settings::Light;
    /// assert_eq!(Light::default().thousandths(), 1000);
    /// ```
    pub const fn thousandths(self) -> u16 {
        1000 >> (Light::STEPS - self.0)
    }
}

/// The rows of the settings' page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// Inches or millimetres.
    Unit,
    /// The finest mark of the tape.
    Mark,
    /// How postures are worded.
    Words,
    /// The beep.
    Sound,
    /// The light.
    Light,
}

impl Setting {
    /// Every row, in order.
    pub const ALL: [Setting; 5] = [
        Setting::Unit,
        Setting::Mark,
        Setting::Words,
        Setting::Sound,
        Setting::Light,
    ];
}

impl Settings {
    /// How many bytes settings take.
    pub const BYTES: usize = 16;

    /// The tape in use where the list's own is `list`.
    pub fn mark(&self, list: Mark) -> Mark {
        self.mark.unwrap_or(list)
    }

    /// With one row at its next value. The unit goes from the list's own over inches to millimetres.
    #[must_use]
    pub fn next(mut self, row: Setting, list: Mark) -> Settings {
        match row {
            Setting::Unit => {
                self.mark = match self.mark {
                    None => Some(Mark::Sixteenth),
                    Some(mark) if !mark.is_metric() => Some(Mark::Millimetre),
                    Some(_) => None,
                };
            }
            Setting::Mark => {
                self.mark = Some(match self.mark(list) {
                    Mark::Eighth => Mark::Sixteenth,
                    Mark::Sixteenth => Mark::ThirtySecond,
                    Mark::ThirtySecond | Mark::SixtyFourth => Mark::Eighth,
                    Mark::Millimetre => Mark::HalfMillimetre,
                    Mark::HalfMillimetre => Mark::Millimetre,
                });
            }
            Setting::Words => {
                self.words = match self.words {
                    BoardWords::Edge => BoardWords::Board,
                    BoardWords::Board => BoardWords::Edge,
                };
            }
            Setting::Sound => {
                self.sound = match self.sound {
                    Sound::Loud => Sound::Soft,
                    Sound::Soft => Sound::Off,
                    Sound::Off => Sound::Loud,
                };
            }
            Setting::Light => self.light = Light(self.light.0 % Light::STEPS + 1),
        }
        self
    }

    /// The settings as they are kept: kind, version, one byte a setting, nothing, a CRC.
    pub fn to_bytes(&self) -> [u8; Settings::BYTES] {
        let mut bytes = [0; Settings::BYTES];
        bytes[..4].copy_from_slice(KIND);
        bytes[4] = VERSION;
        bytes[5] = match self.mark {
            None => 0,
            Some(Mark::Eighth) => 1,
            Some(Mark::Sixteenth) => 2,
            Some(Mark::ThirtySecond) => 3,
            Some(Mark::SixtyFourth) => 4,
            Some(Mark::Millimetre) => 5,
            Some(Mark::HalfMillimetre) => 6,
        };
        bytes[6] = self.words as u8;
        bytes[7] = self.sound as u8;
        bytes[8] = self.light.0;
        let crc = CRC.checksum(&bytes[..BODY]);
        bytes[BODY..].copy_from_slice(&crc.to_le_bytes());
        bytes
    }

    /// Reads what [`Settings::to_bytes`] wrote.
    ///
    /// # Errors
    /// [`SettingsError::Damaged`], [`SettingsError::OtherVersion`].
    pub fn from_bytes(bytes: &[u8]) -> Result<Settings, SettingsError> {
        let damaged = SettingsError::Damaged;
        let bytes: &[u8; Settings::BYTES] = bytes.try_into().map_err(|_| damaged)?;
        let crc = CRC.checksum(&bytes[..BODY]).to_le_bytes();
        if bytes[..4] != *KIND || bytes[BODY..] != crc {
            return Err(damaged);
        }
        if bytes[4] != VERSION {
            return Err(SettingsError::OtherVersion(bytes[4]));
        }
        Ok(Settings {
            mark: match bytes[5] {
                0 => None,
                1 => Some(Mark::Eighth),
                2 => Some(Mark::Sixteenth),
                3 => Some(Mark::ThirtySecond),
                4 => Some(Mark::SixtyFourth),
                5 => Some(Mark::Millimetre),
                6 => Some(Mark::HalfMillimetre),
                _ => return Err(damaged),
            },
            words: match bytes[6] {
                0 => BoardWords::Edge,
                1 => BoardWords::Board,
                _ => return Err(damaged),
            },
            sound: match bytes[7] {
                0 => Sound::Loud,
                1 => Sound::Soft,
                2 => Sound::Off,
                _ => return Err(damaged),
            },
            light: match bytes[8] {
                step @ 1..=Light::STEPS => Light(step),
                _ => return Err(damaged),
            },
        })
    }
}

/// What keeps the settings of a station when the power is off. A cut while they are being kept leaves the old ones or the
/// new ones.
pub trait SettingsKeeper {
    /// What was kept; none where nothing was yet.
    ///
    /// # Errors
    /// Every [`SettingsError`] but [`SettingsError::NotKept`]; the usual settings hold then.
    fn read(&self) -> Result<Option<Settings>, SettingsError>;

    /// Keeps these in place of those before.
    ///
    /// # Errors
    /// [`SettingsError::NotKept`]; they hold until the power goes.
    fn keep(&mut self, settings: &Settings) -> Result<(), SettingsError>;
}

/// Why settings were not read or not kept, as a person reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettingsError {
    /// the station's settings are damaged: the usual ones hold
    Damaged,
    /// the station's settings are in another version of their format: the usual ones hold
    OtherVersion(u8),
    /// the station's settings cannot be read: the usual ones hold
    NotRead,
    /// the station's settings cannot be kept: they hold until the power goes
    NotKept,
}

impl fmt::Display for SettingsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SettingsError::Damaged => {
                f.write_str("the station's settings are damaged: the usual ones hold")
            }
            SettingsError::OtherVersion(version) => write!(
                f,
                "the station's settings have the format {version} and this program reads {VERSION}: the usual ones hold"
            ),
            SettingsError::NotRead => {
                f.write_str("the station's settings cannot be read: the usual ones hold")
            }
            SettingsError::NotKept => {
                f.write_str("the station's settings cannot be kept: they hold until the power goes")
            }
        }
    }
}

impl core::error::Error for SettingsError {}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every settings there are.
    fn all() -> impl Iterator<Item = Settings> {
        let marks = [
            None,
            Some(Mark::Eighth),
            Some(Mark::Sixteenth),
            Some(Mark::ThirtySecond),
            Some(Mark::SixtyFourth),
            Some(Mark::Millimetre),
            Some(Mark::HalfMillimetre),
        ];
        marks.into_iter().flat_map(|mark| {
            [BoardWords::Edge, BoardWords::Board]
                .into_iter()
                .flat_map(move |words| {
                    [Sound::Loud, Sound::Soft, Sound::Off]
                        .into_iter()
                        .flat_map(move |sound| {
                            (1..=Light::STEPS).map(move |step| Settings {
                                mark,
                                words,
                                sound,
                                light: Light(step),
                            })
                        })
                })
        })
    }

    #[test]
    fn all_settings_read_back_from_their_bytes() {
        for settings in all() {
            assert_eq!(Settings::from_bytes(&settings.to_bytes()), Ok(settings));
        }
        assert_eq!(all().count(), 7 * 2 * 3 * 5);
    }

    #[test]
    fn bytes_with_any_bit_turned_cut_short_or_never_written_are_damaged() {
        let bytes = Settings::default().to_bytes();
        for bit in 0..Settings::BYTES * 8 {
            let mut bad = bytes;
            bad[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(
                Settings::from_bytes(&bad),
                Err(SettingsError::Damaged),
                "{bit}"
            );
        }
        for length in 0..Settings::BYTES {
            assert!(Settings::from_bytes(&bytes[..length]).is_err());
        }
        for byte in [0, 0xff] {
            assert!(Settings::from_bytes(&[byte; Settings::BYTES]).is_err());
        }
    }

    #[test]
    fn another_version_is_named_and_a_value_of_none_is_damage() {
        let changed = |at: usize, value: u8| {
            let mut bytes = Settings::default().to_bytes();
            bytes[at] = value;
            let crc = CRC.checksum(&bytes[..BODY]);
            bytes[BODY..].copy_from_slice(&crc.to_le_bytes());
            Settings::from_bytes(&bytes)
        };
        assert_eq!(changed(4, 9), Err(SettingsError::OtherVersion(9)));
        for (at, value) in [(5, 7), (6, 2), (7, 3), (8, 0), (8, 6)] {
            assert_eq!(changed(at, value), Err(SettingsError::Damaged), "{at}");
        }
    }

    #[test]
    fn each_row_comes_round_to_where_it_began() {
        for (row, values) in Setting::ALL.into_iter().zip([3, 3, 2, 3, 5]) {
            let mut settings = Settings::default().next(row, Mark::Sixteenth);
            let first = settings;
            let mut count = 1;
            while count == 1 || settings != first {
                settings = settings.next(row, Mark::Sixteenth);
                count += 1;
            }
            assert_eq!(count - 1, values, "{row:?}");
        }
    }

    #[test]
    fn a_mark_is_chosen_within_the_unit_in_use() {
        let list = Settings::default();
        assert_eq!(list.mark(Mark::HalfMillimetre), Mark::HalfMillimetre);
        let metric = list.next(Setting::Mark, Mark::HalfMillimetre);
        assert_eq!(metric.mark, Some(Mark::Millimetre));
        let inches = list.next(Setting::Unit, Mark::Millimetre);
        assert_eq!(inches.mark, Some(Mark::Sixteenth));
        assert_eq!(
            inches.next(Setting::Mark, Mark::Millimetre).mark,
            Some(Mark::ThirtySecond)
        );
    }

    #[test]
    fn each_step_of_light_gives_about_twice_the_one_below() {
        let lights = (1..=Light::STEPS).map(|step| Light(step).thousandths());
        let lights: std::vec::Vec<u16> = lights.collect();
        assert_eq!(lights, [62, 125, 250, 500, 1000]);
    }
}
