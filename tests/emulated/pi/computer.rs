//! The emulated computer: switched on and off, its keys and its pin pressed, its screen looked at. What is expected of it is
//! left to the tests.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::TcpListener;
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use station::screen::Panel;

use super::console::{Console, PATIENCE};
use super::initramfs;

/// The emulator's program.
pub const EMULATOR: &str = "qemu-system-aarch64";

const INIT: &str = include_str!("init");
const SETTINGS: &str = r#"
record = "/data/baserun"
[link]
tcp = "0.0.0.0:7370"
[contacts]
through = "kernel"
chip = "/dev/gpiochip0"
closes-to = "supply"
pedal = 3
"#;

/// A computer with its disk.
pub struct Computer {
    folder: PathBuf,
    kernel: PathBuf,
    port: u16,
    panel: Panel,
    on: Option<On>,
}

struct On {
    console: Console,
    monitor: BufReader<UnixStream>,
}

/// Files that a build left, in the folder of its target.
fn target() -> PathBuf {
    let program = Path::new(env!("CARGO_BIN_EXE_baserun"));
    let target = program.ancestors().nth(2);
    target.expect("a target folder").to_owned()
}

/// Where Debian's kernel and what belongs to it were unpacked.
pub fn debian() -> PathBuf {
    target().join("debian-arm64/root")
}

/// Writes what a computer starts from as the file `system`, with this script and these settings; gives its kernel.
pub fn put_system(folder: &Path, script: &str, settings: &str) -> PathBuf {
    let kernels = fs::read_dir(debian().join("boot")).expect("tests/emulated/pi/fetch-kernel ran");
    let is_kernel = |path: &PathBuf| path.to_string_lossy().contains("vmlinuz-");
    let kernel = kernels.flatten().map(|entry| entry.path()).find(is_kernel);
    let program = target().join("aarch64-unknown-linux-gnu/release/baserun-station");
    let system = initramfs::pack(&debian(), &program, script, settings);
    fs::write(folder.join("system"), system).expect("a file");
    kernel.expect("a kernel")
}

impl Computer {
    /// A computer with an empty disk and a screen of this size, switched off.
    pub fn new(folder: &Path, panel: Panel) -> Computer {
        let kernel = put_system(folder, INIT, SETTINGS);
        let disk = folder.join("disk");
        let file = fs::File::create(&disk).expect("a file");
        file.set_len(16 << 20).expect("a file");
        let made = Command::new("mke2fs")
            .args(["-q", "-t", "ext4"])
            .arg(&disk)
            .env("PATH", "/usr/sbin:/sbin:/usr/bin:/bin")
            .status();
        assert!(made.is_ok_and(|status| status.success()), "mke2fs");
        let free = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
        Computer {
            folder: folder.to_owned(),
            kernel,
            port: free.local_addr().expect("a port").port(),
            panel,
            on: None,
        }
    }

    /// How a host on this computer reaches the station, as `--to` names it.
    pub fn to(&self) -> String {
        format!("tcp:127.0.0.1:{}", self.port)
    }

    /// Switches it on and waits until the station shows its first picture; in how many milliseconds from its own start.
    pub fn switch_on(&mut self) -> u32 {
        let path = self.folder.join("monitor");
        // one from before may be there
        let _ = fs::remove_file(&path);
        let mut emulator = Command::new(EMULATOR);
        emulator
            .args(["-M", "virt", "-cpu", "cortex-a53", "-m", "256"])
            .args(["-display", "none", "-serial", "stdio"])
            .arg("-kernel")
            .arg(&self.kernel)
            .arg("-initrd")
            .arg(self.folder.join("system"))
            .args(["-append", "console=ttyAMA0 quiet panic=1"])
            .args([
                "-device",
                &format!(
                    "virtio-gpu-pci,romfile=,xres={},yres={}",
                    self.panel.width, self.panel.height
                ),
            ])
            .args(["-device", "qemu-xhci,id=usb"])
            .args(["-device", "virtio-net-pci,romfile=,netdev=net"])
            .args([
                "-netdev",
                &format!(
                    "user,id=net,restrict=on,hostfwd=tcp:127.0.0.1:{}-:7370",
                    self.port
                ),
            ])
            .args(["-device", "virtio-blk-pci,drive=disk"])
            .args([
                "-drive",
                &format!(
                    "file={},format=raw,if=none,id=disk",
                    self.folder.join("disk").display()
                ),
            ])
            .args([
                "-qmp",
                &format!("unix:{},server=on,wait=off", path.display()),
            ]);
        let console = Console::start(&mut emulator);
        let until = Instant::now() + PATIENCE;
        let monitor = loop {
            match UnixStream::connect(&path) {
                Ok(stream) => break BufReader::new(stream),
                Err(error) => assert!(Instant::now() < until, "{error}"),
            }
            thread::sleep(Duration::from_millis(20));
        };
        self.on = Some(On { console, monitor });
        self.ask("qmp_capabilities", json!({}));
        self.first_picture()
    }

    /// Waits until the station shows its first picture.
    pub fn first_picture(&mut self) -> u32 {
        let line = self.hear("the first picture is up after ");
        let figure = line.split_whitespace().rev().nth(1);
        figure.and_then(|figure| figure.parse().ok()).expect("ms")
    }

    fn on(&mut self) -> &mut On {
        self.on.as_mut().expect("it is on")
    }

    /// Waits for a line on the serial console that begins so.
    pub fn hear(&mut self, beginning: &str) -> String {
        self.on().console.hear(beginning)
    }

    /// The lines on the serial console since they were last asked for that begin so.
    pub fn heard(&mut self, beginning: &str) -> Vec<String> {
        self.on().console.heard(beginning)
    }

    /// Tells the script that stands for systemd to do this.
    pub fn tell(&mut self, word: &str) {
        self.on().console.tell(word);
    }

    /// Asks the emulator's monitor.
    pub fn ask(&mut self, what: &str, arguments: Value) {
        let monitor = &mut self.on().monitor;
        let command = json!({ "execute": what, "arguments": arguments });
        writeln!(monitor.get_mut(), "{command}").expect("the monitor listens");
        loop {
            let mut line = String::new();
            monitor.read_line(&mut line).expect("the monitor answers");
            let answer: Value = serde_json::from_str(&line).expect("JSON");
            assert!(answer.get("error").is_none(), "{what}: {line}");
            if answer.get("return").is_some() {
                return;
            }
        }
    }

    /// Plugs a keyboard in and waits until the station has taken it.
    pub fn plug_in(&mut self) {
        let keyboard = json!({ "driver": "usb-kbd", "id": "keyboard", "bus": "usb.0" });
        self.ask("device_add", keyboard);
        self.hear("taken: ");
    }

    /// Pulls the keyboard out.
    pub fn pull_out(&mut self) {
        self.ask("device_del", json!({ "id": "keyboard" }));
        self.hear("unplugged: ");
    }

    /// Presses a key of its keyboard for 60 ms.
    pub fn key(&mut self, name: &str) {
        let keys = json!([{ "type": "qcode", "data": name }]);
        self.ask("send-key", json!({ "keys": keys, "hold-time": 60 }));
    }

    /// Closes the contact on pin 3 for the 100 ms that the emulator's button does.
    pub fn pedal(&mut self) {
        self.ask("system_powerdown", json!({}));
    }

    /// Its screen, row by row as red, green and blue.
    pub fn screen(&mut self) -> Vec<u8> {
        let file = self.folder.join("picture");
        self.ask("screendump", json!({ "filename": file }));
        let bytes = fs::read(&file).expect("a picture");
        let head = format!("P6\n{} {}\n255\n", self.panel.width, self.panel.height);
        let pixels = bytes.strip_prefix(head.as_bytes());
        pixels.expect("a picture of its size").to_vec()
    }

    /// Waits until its screen is one of these; which one it was.
    pub fn shows(&mut self, expected: &[Vec<u8>]) -> Option<usize> {
        let until = Instant::now() + Duration::from_secs(10);
        loop {
            let screen = self.screen();
            let found = expected.iter().position(|picture| *picture == screen);
            if found.is_some() || Instant::now() > until {
                return found;
            }
            thread::sleep(Duration::from_millis(50));
        }
    }

    /// Starts it again without a word, as its reset button would.
    pub fn reset(&mut self) {
        self.ask("system_reset", json!({}));
    }

    /// Takes its power away: whatever was not on the disk is gone.
    pub fn cut_power(&mut self) {
        self.on = None;
    }
}
