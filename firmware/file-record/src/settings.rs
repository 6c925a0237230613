//! The station's settings in a file of their own, for all levels: written beside and renamed, so that a power cut leaves the
//! old ones or the new ones. What is set, and its bytes, are left to the station.

use std::fs;
use std::io;
use std::path::Path;

use station::settings::{Settings, SettingsError, SettingsKeeper};

use crate::disk::{Disk, Folder, replace};

const FILE: &str = "settings";

/// Keeps settings in a folder. Several stations may share it: those that were kept last hold at the next start.
///
/// ```
/// use file_record::FileSettings;
/// use shared_model::Mark;
/// use station::settings::{Setting, Settings, SettingsKeeper};
/// let folder = std::env::temp_dir().join(format!("settings-{}", std::process::id()));
/// let mut keeper = FileSettings::in_folder(&folder).unwrap();
/// assert_eq!(keeper.read(), Ok(None));
/// let chosen = Settings::default().next(Setting::Unit, Mark::Sixteenth);
/// keeper.keep(&chosen).unwrap();
/// assert_eq!(FileSettings::in_folder(&folder).unwrap().read(), Ok(Some(chosen)));
/// # std::fs::remove_dir_all(&folder).unwrap();
/// ```
#[derive(Debug)]
pub struct FileSettings<D = Folder> {
    disk: D,
}

impl FileSettings {
    /// A keeper in this folder, which is made if it is not there.
    ///
    /// # Errors
    /// The system's.
    pub fn in_folder(path: &Path) -> io::Result<FileSettings> {
        fs::create_dir_all(path)?;
        let disk = Folder::shared(path);
        Ok(FileSettings { disk })
    }
}

impl<D: Disk> FileSettings<D> {
    /// A keeper on this disk.
    pub fn on(disk: D) -> FileSettings<D> {
        FileSettings { disk }
    }
}

impl<D: Disk> SettingsKeeper for FileSettings<D> {
    fn read(&self) -> Result<Option<Settings>, SettingsError> {
        match self.disk.read(FILE) {
            Ok(None) => Ok(None),
            Ok(Some(bytes)) => Settings::from_bytes(&bytes).map(Some),
            Err(_) => Err(SettingsError::NotRead),
        }
    }

    fn keep(&mut self, settings: &Settings) -> Result<(), SettingsError> {
        replace(&mut self.disk, FILE, &settings.to_bytes()).map_err(|_| SettingsError::NotKept)
    }
}
