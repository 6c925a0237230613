//! The pins of the Pico: the program's, those of the wiring table and those of the drawing are the same, and each has the
//! number that the board gives it. What hangs on a pin is left to the program.

use std::collections::BTreeMap;

const PROGRAM: &str = include_str!("../firmware/boards/pico/src/pins.rs");
const PAGE: &str = include_str!("../hardware-notes/pico.md");
const DRAWING: &str = include_str!("../hardware-notes/pico-wiring.svg");

/// What the board's pins 1 to 40 are (Raspberry Pi Pico datasheet, "Pico pinout"; the Pico 2's is the same but for VREF's name).
const BOARD: [&str; 40] = [
    "GP0", "GP1", "GND", "GP2", "GP3", "GP4", "GP5", "GND", "GP6", "GP7", "GP8", "GP9", "GND",
    "GP10", "GP11", "GP12", "GP13", "GND", "GP14", "GP15", "GP16", "GP17", "GND", "GP18", "GP19",
    "GP20", "GP21", "GND", "GP22", "RUN", "GP26", "GP27", "AGND", "GP28", "VREF", "3V3", "3V3_EN",
    "GND", "VSYS", "VBUS",
];

/// What the program calls it, the table, and the drawing; the serial pins are not drawn.
const SAME: [(&str, &str, &str); 17] = [
    ("panel.clock", "SPI clock", "SCK"),
    ("panel.out", "SPI data", "SDI (MOSI)"),
    ("panel.select", "chip select", "CS"),
    ("panel.is_data", "data or command", "D/C"),
    ("panel.reset", "reset", "RESET"),
    ("light.pin", "light", "LED (transistor)"),
    ("beeper.pin", "beeper", "beeper, piezo"),
    ("host.out", "serial out", ""),
    ("host.from", "serial in", ""),
    ("Done", "done", "done"),
    ("TakeBack", "take back", "take back"),
    ("SetAside", "set aside", "set aside"),
    ("LookAhead", "look ahead", "look ahead"),
    ("LookBack", "look back", "look back"),
    ("CutAgain", "cut again", "cut again"),
    ("BadStick", "bad stick", "bad stick"),
    ("Menu", "menu", "menu"),
];

/// `GP18` by `panel.clock`, as the program hands the pins out.
fn of_program() -> BTreeMap<String, String> {
    let mut pins = BTreeMap::new();
    let mut of = "";
    for line in PROGRAM.lines().map(str::trim) {
        if let Some((name, _)) = line.split_once("Parts {") {
            of = name.split(':').next().unwrap_or_default();
        }
        let Some((name, pin)) = line.split_once("chip.PIN_") else {
            continue;
        };
        let digits: String = pin.chars().take_while(char::is_ascii_digit).collect();
        let name = match (line.strip_prefix("(Key::"), line.contains(".into()")) {
            (Some(key), _) => key.split(',').next().unwrap_or_default().to_owned(),
            (None, true) => "pedal".to_owned(),
            (None, false) if name.starts_with("lamp") => "lamp".to_owned(),
            (None, false) => format!("{of}.{}", name.trim_end_matches(": ")),
        };
        pins.insert(name, format!("GP{digits}"));
    }
    pins
}

/// Pin and name by what the row is for.
fn of_page() -> BTreeMap<&'static str, (usize, &'static str)> {
    let rows = PAGE.lines().filter_map(|line| {
        let mut cells = line.split('|').map(str::trim).skip(1);
        let (name, pin) = (cells.next()?, cells.next()?);
        let (number, pin) = pin.strip_suffix(')')?.split_once(" (")?;
        Some((name, (number.parse().ok()?, pin)))
    });
    rows.collect()
}

type At = (f64, f64);

fn attribute<'a>(line: &'a str, name: &str) -> Option<&'a str> {
    let (_, rest) = line.split_once(&format!(" {name}=\""))?;
    Some(rest.split_once('"')?.0)
}

fn texts() -> Vec<(At, &'static str)> {
    let texts = DRAWING.lines().filter(|line| line.starts_with("<text"));
    let text = |line: &'static str| {
        let at = |name| attribute(line, name)?.parse().ok();
        let words = line.split_once('>')?.1.split_once('<')?.0;
        Some(((at("x")?, at("y")?), words))
    };
    texts.filter_map(text).collect()
}

/// Both ends of each line that begins at a pin.
fn wires() -> Vec<(At, At)> {
    let lines = DRAWING.lines().filter(|line| line.starts_with("<polyline"));
    let wire = |line: &str| {
        let points = attribute(line, "points")?.split(' ').map(|point| {
            let (x, y) = point.split_once(',')?;
            Some((x.parse().ok()?, y.parse().ok()?))
        });
        let points: Option<Vec<At>> = points.collect();
        Some((*points.as_ref()?.first()?, *points?.last()?))
    };
    let from_pin = |(from, _): &(At, At)| from.0 == 425.0 || from.0 == 575.0;
    lines.filter_map(wire).filter(from_pin).collect()
}

fn distance(a: At, b: At) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Pin and name at the beginning of the wire that ends nearest to these words.
fn drawn(words: &str) -> (usize, &'static str) {
    let texts = texts();
    let label = texts.iter().find(|(_, text)| *text == words);
    let label = label
        .unwrap_or_else(|| panic!("nothing is called {words}"))
        .0;
    let nearest =
        |(_, a): &(At, At), (_, b): &(At, At)| distance(*a, label).total_cmp(&distance(*b, label));
    let ((x, y), _) = wires().into_iter().min_by(nearest).expect("wires");
    let beside = |near: At| {
        let found = texts.iter().find(|(at, _)| *at == near);
        found.unwrap_or_else(|| panic!("no pin at {near:?}")).1
    };
    let (number, name) = match x < 500.0 {
        true => ((422.0, y - 4.0), (442.0, y + 4.0)),
        false => ((578.0, y - 4.0), (558.0, y + 4.0)),
    };
    (beside(number).parse().expect("a number"), beside(name))
}

#[test]
fn program_table_and_drawing_name_the_same_pins() {
    let (program, page) = (of_program(), of_page());
    // the lamp is on the board itself
    assert_eq!(program.len(), SAME.len() + 2);
    assert_eq!(program["lamp"], "GP25");
    for (in_program, in_page, in_drawing) in
        SAME.into_iter().chain([("pedal", "pedal", "foot switch")])
    {
        let (number, name) = page[in_page];
        assert_eq!(program[in_program], name, "{in_page}");
        assert_eq!(BOARD[number - 1], name, "{in_page}");
        if !in_drawing.is_empty() {
            assert_eq!(drawn(in_drawing), (number, name), "{in_drawing}");
        }
    }
    for (in_page, in_drawing) in [("3.3 V", "VCC (3.3 V)"), ("ground", "GND of the screen")] {
        let (number, name) = page[in_page];
        assert_eq!(BOARD[number - 1], name, "{in_page}");
        assert_eq!(drawn(in_drawing), (number, name), "{in_drawing}");
    }
    // the line down the left of the drawing, which every contact and the beeper hang on
    let (number, name) = page["ground for contacts"];
    assert_eq!((BOARD[number - 1], name), ("GND", "GND"));
    let number = number.to_string();
    let pin = texts().into_iter().find(|(_, text)| *text == number);
    let y = pin.expect("a number").0.1 + 4.0;
    assert!(wires().contains(&((425.0, y), (150.0, y))));
}

#[test]
fn every_pin_is_drawn_with_its_number() {
    let numbers = texts();
    for (number, name) in (1..).zip(BOARD) {
        let at = numbers
            .iter()
            .find(|(_, text)| *text == format!("{number}"));
        let (x, y) = at.expect("a number").0;
        let name_at = if x < 500.0 {
            (442.0, y + 8.0)
        } else {
            (558.0, y + 8.0)
        };
        let found = numbers
            .iter()
            .find(|(at, _)| *at == name_at)
            .map(|(_, text)| *text);
        assert_eq!(found, Some(name), "{number}");
    }
}
