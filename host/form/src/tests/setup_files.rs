//! Levels that name set-up files: what they come to, and what is told when they cannot be.

use planner::walk::{MouldingStock, Price, Sheet};
use proptest::prelude::*;
use shared_model::{Angle, Length, Mark, Posture, Side, Unit};

use super::convert::{cut_list, walk};
use super::{nearly, sheet};
use crate::{Refused, to_json, to_text};

const SAW: &str = "\
// the saw in the van
unit mm
tape 1/16
cope right
miter over 95
spring 1.5 over 2400
saw standing upright, kerf 3, trim 12
swing left 45
moulding base
high 5 1/4 in thick 9/16 in profile 3/4 in
stick 4800 at 21.50
";

const DEN: &str = "level Garden room\nsetup my-saw.txt\nroom Den\n31 1/2 in\ndoor 900\n75 in\n3160\n12' 0\n3160\n";

fn with(level: &str, files: &[(&str, &str)]) -> Result<Sheet, Vec<Refused>> {
    crate::sheet(level, &files)
}

fn told(level: &str, files: &[(&str, &str)]) -> Vec<(Option<String>, usize, String, String)> {
    let refused = with(level, files).expect_err("this cannot be");
    let told = |one: Refused| (one.file, one.line, one.read, one.expected);
    refused.into_iter().map(told).collect()
}

#[track_caller]
fn tells(level: &str, files: &[(&str, &str)], file: Option<&str>, line: usize, expected: &str) {
    let told = told(level, files);
    let [(at, on, _, said)] = told.as_slice() else {
        panic!("one thing: {told:#?}");
    };
    assert_eq!((at.as_deref(), *on, said.as_str()), (file, line, expected));
}

#[test]
fn a_level_takes_what_a_set_up_file_says() {
    let Ok(Sheet::Walk(walk)) = with(DEN, &[("my-saw.txt", SAW)]) else {
        panic!("a walk");
    };
    let setup = &walk.setup;
    assert_eq!(
        (setup.unit, setup.mark),
        (Unit::Millimetre, Mark::Sixteenth)
    );
    assert_eq!(
        (walk.cope, walk.cope_up_to),
        (Side::Right, Angle::degrees(95))
    );
    assert_eq!(walk.spring[0].over, Length::millimetres(2400));
    assert_eq!(setup.saw.posture, Some(Posture::StandingUpright));
    assert_eq!(
        (setup.saw.kerf, setup.saw.swing_left, setup.saw.swing_right),
        (
            Length::millimetres(3),
            Angle::degrees(45),
            Angle::degrees(60)
        )
    );
    assert_eq!(setup.mouldings[0].sticks[0].price, Some(Price(215_000)));
    assert_eq!(walk.rooms[0].moulding, 0);
}

#[test]
fn what_the_level_says_itself_goes_before_it() {
    let level = DEN.replace(
        "setup my-saw.txt",
        "setup my-saw.txt\nunit in\ncope left\nspring 1/16 over 96\nsaw kerf 1/8\nmoulding BASE\nstick 144\noffcut 61 1/4\nmoulding shoe\nhigh 1 thick 1/2 profile 1/2\nstick 96",
    );
    let Ok(Sheet::Walk(walk)) = with(&level, &[("my-saw.txt", SAW)]) else {
        panic!("a walk");
    };
    let setup = &walk.setup;
    assert_eq!((setup.unit, walk.cope), (Unit::Inch, Side::Left));
    // the file's own unit holds for what it says: 12 mm, 2400 mm
    assert_eq!(
        (setup.saw.kerf, setup.saw.end_trim),
        (Length::sixteenths(2), Length::millimetres(12))
    );
    assert_eq!(
        (walk.spring.len(), walk.spring[0].over),
        (1, Length::inches(96))
    );
    let [base, shoe] = setup.mouldings.as_slice() else {
        panic!("two mouldings");
    };
    assert_eq!((base.name.as_str(), shoe.name.as_str()), ("base", "shoe"));
    let lengths: Vec<Length> = base.sticks.iter().map(|stick| stick.length).collect();
    assert_eq!(lengths, [Length::millimetres(4800), Length::inches(144)]);
    assert_eq!(base.offcuts, [Length::sixteenths(980)]);
}

#[test]
fn json_and_cut_lists_name_them_too() {
    let json = r#"{ "walk": 1, "level": "Garden room", "setup": ["my-saw.txt"], "unit": "mm", "rooms": [ { "name": "Den", "moulding": "base",
        "outline": [ { "wall": "31 1/2 in" }, { "opening": 900 }, { "wall": "75 in", "corner": "inside" }, { "wall": 3160, "corner": "inside" },
        { "wall": "12' 0", "corner": "inside" }, { "wall": 3160, "corner": "inside" } ] } ] }"#;
    let files = [("my-saw.txt", SAW)];
    let text = with(DEN, &files).expect("a walk");
    assert_eq!(with(json, &files), Ok(text.clone()));
    // converted, it stands alone
    let alone = to_json(&text).expect("JSON");
    assert_eq!(sheet(&alone), Ok(text.clone()));
    assert_eq!(sheet(&to_text(&text)), Ok(text));
    let cuts = "cut list\nlevel x\nsetup my-saw.txt\nroom Den\n900 left cope\n";
    let Ok(Sheet::CutList(list)) = with(cuts, &files) else {
        panic!("a cut list");
    };
    assert_eq!(list.setup.saw.kerf, Length::millimetres(3));
}

#[test]
fn what_cannot_be_named_is_told_at_the_line_that_names_it() {
    let missing = "the name of a set-up file; my-saw.txt: there is no such file";
    tells(DEN, &[], None, 2, missing);
    let twice = DEN.replace("room Den", "setup my-saw.txt\nroom Den");
    let files = [("my-saw.txt", SAW)];
    tells(&twice, &files, None, 3, "each set-up file once");
    tells(
        DEN,
        &[("my-saw.txt", "{ \"saw\": {} }")],
        Some("my-saw.txt"),
        1,
        "a text sheet with lines for the saw and the stock",
    );
}

#[test]
fn a_set_up_file_names_no_other_and_holds_no_level() {
    let loops = [(
        "my-saw.txt",
        "setup my-saw.txt\nmoulding base\nhigh 3 thick 1 profile 0\nstick 96\n",
    )];
    let names_no_other =
        "no such line here: a set-up file names no other, so that none can lead back to itself";
    tells(DEN, &loops, Some("my-saw.txt"), 1, names_no_other);
    for line in [
        "level x", "room Den", "31 1/2", "door 30", "cut list", "enter 1", "open",
    ] {
        let text = format!("{SAW}{line}\n");
        let expected = "saw, stock and ways of working only: a level's name, its rooms and its pieces stand in the file that names this one";
        tells(
            DEN,
            &[("my-saw.txt", &text)],
            Some("my-saw.txt"),
            12,
            expected,
        );
    }
}

#[test]
fn two_files_do_not_say_the_same_thing() {
    let level = DEN.replace("setup my-saw.txt", "setup my-saw.txt\nsetup stock.txt");
    let tells_twice = |stock: &str, line, first| {
        let expected = format!("this in one set-up file only: my-saw.txt:{first} says it too");
        let files = [("my-saw.txt", SAW), ("stock.txt", stock)];
        tells(&level, &files, Some("stock.txt"), line, &expected);
    };
    tells_twice("saw tall 6\nsaw kerf 1/8\n", 2, 7);
    tells_twice("// more\nspring 1/8 over 120\n", 2, 6);
    tells_twice(
        "moulding Base\nhigh 3 thick 1/2 profile 0\nstick 96\n",
        1,
        9,
    );
    let stock = "moulding shoe\nhigh 3 thick 1/2 profile 0\nstick 96\n";
    for (more, count) in [("", 1), ("room Closet with shoe\nopen\n900\n", 2)] {
        let files = [("my-saw.txt", SAW), ("stock.txt", stock)];
        let Ok(Sheet::Walk(walk)) = with(&format!("{level}{more}"), &files) else {
            panic!("a walk");
        };
        let mouldings = &walk.setup.mouldings;
        assert_eq!(
            mouldings.len(),
            count,
            "what no room is made of is left out"
        );
        assert!(
            mouldings[1..]
                .iter()
                .all(|shoe| shoe.height == Length::inches(3))
        );
    }
}

#[test]
fn a_moulding_has_one_size() {
    let level = DEN.replace("room Den", "moulding base\nhigh 6\nstick 192\nroom Den");
    let expected = "sticks and offcuts only: how large this moulding is stands in my-saw.txt:9";
    tells(&level, &[("my-saw.txt", SAW)], None, 4, expected);
}

#[test]
fn what_cannot_be_in_a_set_up_file_is_shown_in_its_own_line() {
    let bad = SAW
        .replace("kerf 3", "kerf 3/7 in")
        .replace("stick 4800", "stick 0");
    let told = told(
        &DEN.replace("door 900", "door 9OO"),
        &[("my-saw.txt", &bad)],
    );
    let places: Vec<(Option<&str>, usize)> = told
        .iter()
        .map(|(file, line, ..)| (file.as_deref(), *line))
        .collect();
    assert_eq!(
        places,
        [(Some("my-saw.txt"), 7), (Some("my-saw.txt"), 11), (None, 5)]
    );
    let typed = SAW
        .replace("kerf", "kref")
        .replace("cope right", "cop right");
    let told = self::told(DEN, &[("my-saw.txt", &typed)]);
    assert!(
        told.iter()
            .all(|(file, ..)| file.as_deref() == Some("my-saw.txt")),
        "{told:#?}"
    );
    assert_eq!(
        told.iter().map(|(_, line, ..)| *line).collect::<Vec<_>>(),
        [4, 7]
    );
}

/// The lines of a sheet before its rooms or pieces that may stand in a set-up file.
fn halves(text: &str) -> (String, String) {
    let of_level = ["cut list", "old house"];
    let belongs = |line: &&str| !of_level.contains(line) && !line.starts_with("level ");
    let (head, rest) = text.split_once("\nroom ").expect("a room");
    let (saw, level): (Vec<&str>, Vec<&str>) = head.lines().partition(belongs);
    let level = format!("{}\nsetup \"a file\"\n\nroom {rest}", level.join("\n"));
    (saw.join("\n"), level)
}

/// A sheet as it is read where its mouldings stand in a set-up file: those of which it has nothing are left out.
fn without_unused_stock(mut sheet: Sheet) -> Sheet {
    let (setup, used): (_, Vec<&mut usize>) = match &mut sheet {
        Sheet::Walk(walk) => {
            let rooms = walk.rooms.iter_mut();
            (
                &mut walk.setup,
                rooms.map(|room| &mut room.moulding).collect(),
            )
        }
        Sheet::CutList(list) => {
            let pieces = list.pieces.iter_mut();
            (
                &mut list.setup,
                pieces.map(|piece| &mut piece.moulding).collect(),
            )
        }
    };
    let all = std::mem::take(&mut setup.mouldings);
    let names: Vec<String> = used.iter().map(|place| all[**place].name.clone()).collect();
    let kept = all
        .into_iter()
        .filter(|moulding| names.contains(&moulding.name));
    setup.mouldings = kept.collect();
    for (place, name) in used.into_iter().zip(names) {
        let same = |moulding: &MouldingStock| moulding.name == name;
        *place = setup.mouldings.iter().position(same).expect("it is kept");
    }
    sheet
}

proptest! {
    #[test]
    fn a_sheet_in_two_files_says_the_same(sheet in prop_oneof![walk(), cut_list()]) {
        let text = to_text(&sheet);
        let (saw, level) = halves(&text);
        let read = with(&level, &[("a file", &saw)]);
        prop_assert_eq!(read, Ok(without_unused_stock(sheet)), "{}\n{}", saw, level);
    }

    #[test]
    fn whatever_stands_in_a_set_up_file_is_read_or_told(
        changes in prop::collection::vec((any::<usize>(), 1usize..40, any::<u8>(), any::<u8>()), 1..6)
    ) {
        let text = nearly(SAW, &changes);
        if let Err(refused) = with(DEN, &[("my-saw.txt", &text)]) {
            prop_assert!(!refused.is_empty());
            for one in refused {
                prop_assert!(!one.read.is_empty() && !one.expected.is_empty() && !one.example.is_empty(), "{one}");
            }
        }
    }
}
