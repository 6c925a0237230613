//! What the emulated computer starts from: a small system in memory with Debian's kernel modules, the station's program and
//! a script that takes the place of systemd. Running it is left to `computer`.

use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Modules of the kernel that are needed: display, keyboard, disk, its file system, network.
const MODULES: [&str; 10] = [
    "virtio_pci",
    "virtio_gpu",
    "xhci_pci",
    "usbhid",
    "hid_generic",
    "evdev",
    "virtio_blk",
    "crc32c_generic",
    "ext4",
    "virtio_net",
];

/// Where Debian's cross compiler keeps the libraries that the program is linked with.
const LIBRARIES: &str = "/usr/aarch64-linux-gnu/lib";

/// Packs it: `root` is where Debian's kernel and busybox were unpacked.
pub fn pack(root: &Path, program: &Path, script: &str, settings: &str) -> Vec<u8> {
    let mut archive = Archive::default();
    for folder in [
        "bin",
        "dev",
        "proc",
        "sys",
        "lib",
        "etc",
        "etc/baserun",
        "m",
        "data",
        "tmp",
    ] {
        archive.add(folder, 0o040_755, b"");
    }
    archive.add("bin/busybox", 0o100_755, &read(&root.join("bin/busybox")));
    archive.add("bin/baserun-station", 0o100_755, &read(program));
    for library in ["ld-linux-aarch64.so.1", "libc.so.6", "libgcc_s.so.1"] {
        let bytes = read(&Path::new(LIBRARIES).join(library));
        archive.add(&format!("lib/{library}"), 0o100_755, &bytes);
    }
    for (number, module) in modules(root).iter().enumerate() {
        archive.add(&format!("m/{number:02}.ko"), 0o100_644, &read(module));
    }
    let users = "root:x:0:0::/:/bin/sh\nbaserun:x:990:990::/:/bin/sh\nstranger:x:991:991::/:/bin/sh\nhelper:x:992:992::/:/bin/sh\n";
    let groups = "root:x:0:\nbaserun:x:990:\nstranger:x:991:\nhelper:x:992:\nvideo:x:44:baserun,helper\ninput:x:104:baserun\ngpio:x:105:baserun\n";
    archive.add("etc/passwd", 0o100_644, users.as_bytes());
    archive.add("etc/group", 0o100_644, groups.as_bytes());
    archive.add("etc/baserun/station.toml", 0o100_644, settings.as_bytes());
    archive.add("init", 0o100_755, script.as_bytes());
    archive.add("TRAILER!!!", 0, b"");
    archive.bytes
}

fn read(path: &Path) -> Vec<u8> {
    fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The files of the modules and of all that they need, in the order in which they are put in.
fn modules(root: &Path) -> Vec<PathBuf> {
    let mut files = HashMap::new();
    collect(&root.join("lib/modules"), &mut files);
    let mut order = Vec::new();
    for module in MODULES {
        need(module, &files, &mut order);
    }
    let path = |name: &String| files[name].clone();
    order.iter().map(path).collect()
}

fn collect(folder: &Path, files: &mut HashMap<String, PathBuf>) {
    for entry in fs::read_dir(folder).expect("modules").flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|end| end == "ko") {
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            files.insert(name.replace('-', "_"), path.clone());
        }
    }
}

/// A module names what it needs in its own file, after `depends=`. One that is built into the kernel has no file.
fn need(name: &str, files: &HashMap<String, PathBuf>, order: &mut Vec<String>) {
    let name = name.replace('-', "_");
    let Some(path) = files.get(&name).filter(|_| !order.contains(&name)) else {
        return;
    };
    let bytes = read(path);
    const MARK: &[u8] = b"\0depends=";
    let start = bytes.windows(MARK.len()).position(|part| part == MARK);
    let rest = start.map_or(&[][..], |start| &bytes[start + MARK.len()..]);
    let end = rest.iter().position(|byte| *byte == 0).unwrap_or(0);
    for other in String::from_utf8_lossy(&rest[..end]).split(',') {
        need(other, files, order);
    }
    order.push(name);
}

/// A cpio archive in the form that the kernel reads (Linux, `driver-api/early-userspace/buffer-format.rst`).
#[derive(Default)]
struct Archive {
    bytes: Vec<u8>,
    entries: u32,
}

impl Archive {
    fn add(&mut self, name: &str, mode: u32, data: &[u8]) {
        self.entries += 1;
        let length = data.len() as u32;
        let name_length = name.len() as u32 + 1;
        let fields = [
            self.entries,
            mode,
            0,
            0,
            1,
            0,
            length,
            0,
            0,
            0,
            0,
            name_length,
            0,
        ];
        self.bytes.extend(b"070701");
        for field in fields {
            self.bytes.extend(format!("{field:08X}").bytes());
        }
        self.bytes.extend(name.bytes());
        self.bytes.push(0);
        self.pad();
        self.bytes.extend(data);
        self.pad();
    }

    fn pad(&mut self) {
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
    }
}
