//! Whether a folder is still there when the power has been gone: a system whose root is made read-only by laying memory over
//! it takes every write and forgets it. What is done about it is left to the start.

use std::path::Path;

/// File systems that lie in memory, or that write there.
const IN_MEMORY: [&str; 4] = ["overlay", "tmpfs", "ramfs", "rootfs"];

/// The file system of a folder, by its whole path, where that forgets; `mounts` is in the form of `/proc/self/mounts`.
pub fn forgets<'a>(folder: &Path, mounts: &'a str) -> Option<&'a str> {
    let lines = mounts.lines().filter_map(|line| {
        let mut fields = line.split(' ').skip(1);
        Some((fields.next()?, fields.next()?))
    });
    let above = lines.filter(|(place, _)| folder.starts_with(place));
    // the deepest one, and of several in the same place the last
    let (_, kind) = above.max_by_key(|(place, _)| place.len())?;
    IN_MEMORY.contains(&kind).then_some(kind)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_on_a_partition_lasts_and_one_under_an_overlay_does_not() {
        let overlay = "overlay / overlay rw,lowerdir=/lower,upperdir=/upper 0 0\n";
        let record = Path::new("/var/lib/baserun");
        assert_eq!(forgets(record, overlay), Some("overlay"));
        let partition = format!("{overlay}/dev/sda1 /var/lib/baserun ext4 rw,noatime 0 0\n");
        assert_eq!(forgets(record, &partition), None);
        assert_eq!(
            forgets(Path::new("/var/lib/baserun-2"), &partition),
            Some("overlay")
        );
        let plain = "/dev/mmcblk0p2 / ext4 rw 0 0\ntmpfs /tmp tmpfs rw 0 0\n";
        assert_eq!(forgets(record, plain), None);
        assert_eq!(forgets(Path::new("/tmp/record"), plain), Some("tmpfs"));
        let covered = format!("{plain}tmpfs / tmpfs rw 0 0\n");
        assert_eq!(forgets(record, &covered), Some("tmpfs"));
        assert_eq!(forgets(record, ""), None);
    }
}
