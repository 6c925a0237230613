//! The emulated Pico as a test holds it: power, pedal, keys, and what can be seen from outside. What follows from a press
//! is left to the tests.

use std::env;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::pixelcolor::raw::RawU16;
use serde::Deserialize;
use serde_json::{Value, json};
use tempfile::TempDir;

/// The panel's columns and rows.
pub const SIZE: (usize, usize) = (320, 240);

/// How long the flash takes, in milliseconds: to erase 4 KiB and to program 256 bytes.
#[derive(Debug, Clone, Copy)]
pub struct FlashTimes {
    pub erase: f64,
    pub program: f64,
}

impl FlashTimes {
    /// What is typical of the chip on the board (W25Q16JV).
    pub const TYPICAL: FlashTimes = FlashTimes {
        erase: 45.0,
        program: 0.4,
    };
    /// What its maker allows at the worst.
    pub const WORST: FlashTimes = FlashTimes {
        erase: 400.0,
        program: 3.0,
    };
}

/// One emulated Pico; it ends with the test.
pub struct Pico {
    child: Child,
    requests: ChildStdin,
    answers: BufReader<ChildStdout>,
    /// Where its flash is kept while it is off.
    folder: TempDir,
}

/// What can be measured from outside.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Report {
    pub on: bool,
    /// In what the power was cut, if a planned cut came.
    pub cut: Option<String>,
    /// Milliseconds since the chip started.
    pub now: f64,
    pub cycles: u64,
    /// The deepest that the stack has been, in bytes.
    pub stack: u32,
    pub restarts: u32,
    /// The lamp on the board is lit.
    pub lamp: bool,
    /// Erases and programs since the emulator began.
    pub flash: FlashReport,
    pub panel: PanelReport,
    /// What the beeper sounded: milliseconds and hertz at each change since the last report.
    pub tones: Vec<(f64, u32)>,
}

/// How often the flash was worked on.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FlashReport {
    /// Erases of one sector or several.
    pub erase: u32,
    /// When the last program was done, in milliseconds since the chip started.
    pub last_program: Option<f64>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PanelReport {
    /// Bytes on the bus so far.
    pub bytes: u64,
    pub pixels: u64,
    /// When the last pixel came, in milliseconds.
    pub last_pixel: f64,
    pub shown_since: Option<f64>,
    /// What the panel did not like.
    pub complaints: Vec<String>,
}

/// What a person sees.
pub struct Picture {
    pub pixels: Vec<Rgb565>,
    /// How bright the panel is lit, in percent.
    pub light: u8,
}

impl Pico {
    /// A Pico that is off, with this in its flash behind the program; none for a flash as it comes from the factory.
    pub fn new(times: FlashTimes, flash: Option<&[u8]>) -> Pico {
        Pico::with(image("BASERUN_PICO", "pico"), "ili9341", times, flash)
    }

    /// The same with an ST7789, and a host on the serial pins in place of USB.
    pub fn of_other_parts(times: FlashTimes, flash: Option<&[u8]>) -> Pico {
        let image = image("BASERUN_PICO_OTHER", "pico-uart-st7789");
        Pico::with(image, "st7789", times, flash)
    }

    fn with(image: PathBuf, glass: &str, times: FlashTimes, flash: Option<&[u8]>) -> Pico {
        let main = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/emulated/pico/main.mjs");
        let mut child = Command::new("node")
            .arg(main)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("node starts");
        let mut pico = Pico {
            requests: child.stdin.take().expect("a way in"),
            answers: BufReader::new(child.stdout.take().expect("a way out")),
            child,
            folder: tempfile::tempdir().expect("a folder for this test"),
        };
        let file = pico.folder.path().join("flash.bin");
        if let Some(flash) = flash {
            std::fs::write(&file, flash).expect("the folder can be written");
        }
        let FlashTimes { erase, program } = times;
        pico.ask(json!({ "do": "build", "image": image, "flash": file, "erase": erase, "program": program, "seed": 1, "glass": glass }));
        pico
    }

    /// What is in its flash, as of when the power last went.
    pub fn flash(&self) -> Vec<u8> {
        std::fs::read(self.folder.path().join("flash.bin")).expect("it was on before")
    }

    /// The power comes or goes.
    pub fn power(&mut self, on: bool) {
        self.ask(json!({ "do": "power", "on": on }));
    }

    /// Powered and started: the first picture is up.
    pub fn start(&mut self) {
        self.power(true);
        assert!(self.run_until("shown", 1_000.0), "{:?}", self.report());
    }

    /// So many milliseconds go by.
    pub fn run(&mut self, milliseconds: f64) {
        self.ask(json!({ "do": "run", "ms": milliseconds }));
    }

    /// Time goes by until something is so, but no longer than this; whether it came about.
    pub fn run_until(&mut self, what: &str, milliseconds: f64) -> bool {
        let answer = self.ask(json!({ "do": "run", "ms": milliseconds, "until": what }));
        answer["came"] == json!(true)
    }

    /// A contact closes (true) and opens at these milliseconds from now; at once while the power is off.
    pub fn contact(&mut self, name: &str, edges: &[(f64, bool)]) {
        self.ask(json!({ "do": "contact", "name": name, "edges": edges }));
    }

    /// The same, from the moment in which the next erase begins.
    pub fn contact_in_erase(&mut self, name: &str, edges: &[(f64, bool)]) {
        self.ask(json!({ "do": "contact", "name": name, "edges": edges, "in": "erase" }));
    }

    /// A press without bounce, from now for so long, and what follows from it until the picture is still.
    pub fn press(&mut self, name: &str, milliseconds: f64) {
        self.contact(name, &[(0.0, true), (milliseconds, false)]);
        self.run(milliseconds + 100.0);
        assert!(self.run_until("quiet", 1_000.0));
    }

    /// Plans a power cut in the so-manieth erase or program from now, when this part of it is done.
    pub fn plan_cut(&mut self, kind: &str, after: u32, part: f64) {
        self.ask(json!({ "do": "cut", "in": kind, "after": after, "part": part }));
    }

    /// Lets a host in over TCP; the board runs by itself from then on. The port.
    pub fn listen(&mut self, line: &str) -> u16 {
        let answer = self.ask(json!({ "do": "listen", "line": line }));
        answer["port"].as_u64().expect("a port") as u16
    }

    /// Bytes to the station over USB, without a host that would listen.
    pub fn send(&mut self, bytes: &[u8]) {
        let digits: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        self.ask(json!({ "do": "send", "line": "usb", "bytes": digits }));
    }

    /// The USB cable is pulled and plugged in again.
    pub fn plug_again(&mut self) {
        self.ask(json!({ "do": "plugAgain" }));
    }

    /// The program panics, faults or is stuck, where it is.
    pub fn astray(&mut self, how: &str) {
        self.ask(json!({ "do": "astray", "how": how }));
    }

    /// What can be measured from outside.
    pub fn report(&mut self) -> Report {
        let answer = self.ask(json!({ "do": "report" }));
        serde_json::from_value(answer).expect("a report")
    }

    /// What a person sees.
    pub fn picture(&mut self) -> Picture {
        let answer = self.ask(json!({ "do": "picture" }));
        let digits = answer["pixels"].as_str().expect("pixels");
        let byte = |at: usize| u8::from_str_radix(&digits[at..at + 2], 16).expect("two digits");
        let pixels = (0..digits.len()).step_by(4).map(|at| {
            let value = u16::from_le_bytes([byte(at), byte(at + 2)]);
            Rgb565::from(RawU16::new(value))
        });
        Picture {
            pixels: pixels.collect(),
            light: answer["light"].as_u64().expect("a percentage") as u8,
        }
    }

    fn ask(&mut self, request: Value) -> Value {
        writeln!(self.requests, "{request}").expect("the emulator listens");
        let mut line = String::new();
        self.answers
            .read_line(&mut line)
            .expect("the emulator answers");
        let answer: Value = serde_json::from_str(&line).expect("an answer in JSON");
        assert_eq!(answer["error"], Value::Null, "{request}");
        answer
    }
}

impl Drop for Pico {
    fn drop(&mut self) {
        // it may have ended by itself, which the test has seen
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An image, where `firmware/boards/pico/build` puts it unless this variable says otherwise.
fn image(variable: &str, name: &str) -> PathBuf {
    let built = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/pico");
    env::var_os(variable).map_or_else(|| built.join(name).with_extension("elf"), PathBuf::from)
}
