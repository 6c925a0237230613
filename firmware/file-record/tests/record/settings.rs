//! Settings in a file: power cuts at every byte, a full disk, damage. What is set is tested in the station.

use file_record::FileSettings;
use shared_model::Mark;
use station::settings::{Setting, Settings, SettingsError, SettingsKeeper};

use crate::mean_disk::MeanDisk;

fn set(row: Setting) -> Settings {
    Settings::default().next(row, Mark::Sixteenth)
}

#[test]
fn settings_cut_at_any_byte_are_the_old_ones_or_the_new_ones() {
    let (old, new) = (set(Setting::Unit), set(Setting::Light));
    let mut seen = [0, 0];
    for run in 0..16 {
        for units in 0..=24 {
            for cut in [MeanDisk::after_kill, MeanDisk::after_power_cut] {
                let disk = MeanDisk::new(run * 100 + units);
                let mut keeper = FileSettings::on(disk.clone());
                keeper.keep(&old).expect("room");
                disk.die_after(units);
                let kept = keeper.keep(&new);
                assert_eq!(kept.is_err(), disk.is_dead());
                cut(&disk);
                let found = keeper.read().expect("whole settings");
                assert!(
                    found == Some(new) || (found == Some(old) && kept.is_err()),
                    "{found:?}"
                );
                seen[usize::from(found == Some(new))] += 1;
                // what was found once stays, even if the power goes right away
                disk.after_power_cut();
                let again = FileSettings::on(disk.clone()).read();
                assert!(again == Ok(found) || kept.is_err(), "{again:?}");
                keeper.keep(&old).expect("room");
                assert_eq!(keeper.read(), Ok(Some(old)));
            }
        }
    }
    assert!(seen[0] > 100 && seen[1] > 100, "{seen:?}");
}

#[test]
fn a_full_disk_keeps_the_old_ones_and_says_so() {
    let (old, new) = (set(Setting::Unit), set(Setting::Sound));
    let disk = MeanDisk::new(1);
    let mut keeper = FileSettings::on(disk.clone());
    assert_eq!(keeper.read(), Ok(None));
    keeper.keep(&old).expect("room");
    disk.full_after(5);
    assert_eq!(keeper.keep(&new), Err(SettingsError::NotKept));
    assert_eq!(keeper.read(), Ok(Some(old)));
    disk.refill();
    assert_eq!(keeper.keep(&new), Ok(()));
    assert_eq!(keeper.read(), Ok(Some(new)));
}

#[test]
fn damaged_settings_are_told_and_written_anew() {
    let disk = MeanDisk::new(1);
    let mut keeper = FileSettings::on(disk.clone());
    keeper.keep(&set(Setting::Unit)).expect("room");
    disk.tamper("settings", |bytes| bytes.truncate(9));
    assert_eq!(keeper.read(), Err(SettingsError::Damaged));
    keeper.keep(&set(Setting::Words)).expect("room");
    assert_eq!(keeper.read(), Ok(Some(set(Setting::Words))));
}
