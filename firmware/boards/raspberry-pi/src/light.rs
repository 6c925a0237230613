//! The light behind the screen, where the kernel has a way to set it: displays on the ribbon cable do, monitors do not.
//! How bright it is to be is left to the station.

use std::fs;
use std::path::{Path, PathBuf};

use station::settings::Light;

/// Where the kernel shows the lights there are.
pub const LIGHTS: &str = "/sys/class/backlight";

/// Every light there is; none is nothing wrong.
#[derive(Debug)]
pub struct Lights(Vec<PathBuf>);

impl Lights {
    /// Those in the kernel's folder.
    pub fn in_folder(folder: &Path) -> Lights {
        let entries = fs::read_dir(folder).into_iter().flatten();
        Lights(entries.flatten().map(|entry| entry.path()).collect())
    }

    /// Sets them all. One that cannot be set stays as it is.
    pub fn set(&self, light: Light) {
        for folder in &self.0 {
            let most = fs::read_to_string(folder.join("max_brightness"));
            let most: Option<u32> = most.ok().and_then(|text| text.trim().parse().ok());
            let Some(most) = most else { continue };
            // never all dark: nothing could be read then
            let level = (most * u32::from(light.thousandths()) / 1_000).max(1);
            let file = folder.join("brightness");
            if let Err(error) = fs::write(&file, level.to_string()) {
                eprintln!(
                    "the light stays as it is: {}: {error} (see the udev rules)",
                    file.display()
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_light_is_set_to_its_share_of_the_most_and_never_to_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        for (name, most) in [("panel", "255\n"), ("coarse", "3\n")] {
            let light = folder.path().join(name);
            fs::create_dir(&light).expect("a folder");
            fs::write(light.join("max_brightness"), most).expect("a file");
        }
        let lights = Lights::in_folder(folder.path());
        let level = |name: &str| fs::read_to_string(folder.path().join(name).join("brightness"));
        lights.set(Light::default());
        assert_eq!(level("panel").ok().as_deref(), Some("255"));
        assert_eq!(level("coarse").ok().as_deref(), Some("3"));
        let darkest = station::settings::Settings::default().next(
            station::settings::Setting::Light,
            shared_model::Mark::Sixteenth,
        );
        lights.set(darkest.light);
        assert_eq!(level("panel").ok().as_deref(), Some("15"));
        assert_eq!(level("coarse").ok().as_deref(), Some("1"));
        Lights::in_folder(&folder.path().join("none")).set(Light::default());
    }
}
