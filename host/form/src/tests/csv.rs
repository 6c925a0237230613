//! What a table means, as spreadsheets write it and in few cells; that a text sheet is never taken for one. What it is told
//! when it cannot be is in the files under tests/data/bad.

use planner::walk::Stretch;
use proptest::prelude::*;
use shared_model::{Angle, End, Joint, Length};

use super::convert::{cut_list as any_cut_list, walk as any_walk};
use super::{cut_list, nearly, refused, sheet, walk};
use crate::csv::delimiter;
use crate::{to_csv, to_text};

const HEAD: &str =
    "level,Garden room\nmoulding,base\nhigh,5 1/4,thick 9/16,profile 3/4\nstick,192,at,21.50\n\n";
const DEN: &str = "room,kind,length,gauge\nDen,,31 1/2\nDen,door,37 1/2\n,,75\n,wall,10' 4 3/8\nDen,,12' 0,92\nDen,,10' 4 3/8\n";
const TEXT: &str = "level Garden room\nmoulding base\nhigh 5 1/4, thick 9/16, profile 3/4\nstick 192 at 21.50\n\n\
    room Den\n31 1/2\ndoor 37 1/2\n75\n10' 4 3/8\n12' 0 corner 92\n10' 4 3/8\n";

fn den() -> String {
    format!("{HEAD}{DEN}")
}

#[test]
fn a_row_is_a_wall() {
    assert_eq!(walk(&den()), walk(TEXT));
}

#[test]
fn spreadsheets_write_it_in_many_ways() {
    let meant = walk(TEXT);
    let marks = den()
        .replace("37 1/2", "\"37 1/2\"\"\"")
        .replace("10' 4 3/8", "\"10' 4 3/8\"\"\"");
    let loud = den()
        .replace("room,kind,length,gauge", " Room ,KIND,Length,Gauge,Notes,,")
        .replace("Den,,31 1/2", "Den,,31 1/2,,\"wet, \"\"say\"\"\nDave\",,");
    let turned = format!(
        "{HEAD}length,gauge,room,remark\n31 1/2,,Den\n,,,\n37 1/2,,Den,// no\n75,,Den\n10' 4 3/8,,Den\n12' 0,92,Den\n10' 4 3/8,,Den\n"
    );
    for parts in [',', ';', '\t'] {
        let other = den().replace(',', &parts.to_string());
        assert_eq!(walk(&other), meant, "{other}");
        assert_eq!(walk(&format!("sep={parts}\r\n{other}")), meant);
    }
    for text in [
        marks.clone(),
        marks.replace('\n', "\r\n"),
        den().replace('\n', ",,,,\n"),
        den().replace("\n\n", "\n,,,\n// measured on Tuesday\n\n"),
        den().replace("Den,,75", "// the north side\nDen,,75"),
        loud,
        den()
            .replace("level,Garden room", "\"level Garden room\"")
            .replace("stick,192,at,21.50", "stick 192 at 21.50"),
    ] {
        assert_eq!(walk(&text), meant, "{text}");
    }
    let turned = walk(&turned);
    assert_eq!(turned.rooms[0].outline[4], meant.rooms[0].outline[4]);
    assert_eq!(turned.rooms[0].outline.len(), 6);
}

#[test]
fn everything_about_a_room_has_a_cell() {
    let table = "room,moulding,kind,length,corner,gauge,left,right,enter,open,island,from,to\n\
        Hall,,tub,?\nHall,,wall,60,,,inside miter,,\nHall,,door,30,,,,,yes\nHall,,hung,40,outside,88.5\nHall,,,20,on\n,,,33\n,,,34\n,,,35\nHall,,across,180 1/2,,,,,,,,0,2\n\
        Post,BASE,,10,,,,,,,x\nPost,base,,10,in,,,,,,x\nPost,,,10\nPost,,,10,,,return\nNook,,,,,,,,,yes\nNook,,,12\n";
    let text = "room Hall\ntub ?\n60 left inside miter\ndoor 30\nhung 40 out 88.5\n20 on\n33\n34\n35\nenter 2\nacross 0 to 2 is 180 1/2\n\
        room Post\nisland\n10\n10 corner\n10\n10 left return\nroom Nook\nopen\n12\n";
    let head = TEXT.split_once("\n\nroom").expect("a room").0.to_owned() + "\n";
    assert_eq!(
        walk(&format!("{HEAD}{table}")),
        walk(&format!("{head}{text}"))
    );
    let hall = &walk(&format!("{HEAD}{table}")).rooms[0];
    assert_eq!(
        (hall.entry, hall.outline[0].stretch),
        (1, Stretch::Opening(None))
    );
    assert_eq!(hall.outline[1].left, Some(Joint::InsideMiter));
}

#[test]
fn a_row_is_a_piece() {
    let head = HEAD.replace("moulding,base", "cut,list\nmoulding,base");
    let list = cut_list(&format!(
        "{head}room,wall,length,left,right\nDen,3,124 3/8,cope 92,\n,,30,scarf under 30,outside miter 135\nHall,,12,return,\"butt\"\n"
    ));
    let [first, second, third] = list.pieces.as_slice() else {
        panic!("three pieces: {list:?}");
    };
    let gauge = Angle::degrees(92);
    assert_eq!(
        (first.wall, first.left, first.right),
        (Some(3), End::Cope { gauge }, End::Square)
    );
    let bevel = Angle::degrees(30);
    assert_eq!(
        (second.room.as_str(), second.left),
        ("Den", End::ScarfUnder { bevel })
    );
    assert_eq!(
        (third.room.as_str(), third.length),
        ("Hall", Length::inches(12))
    );
}

#[test]
fn a_table_names_set_up_files() {
    let head = "level,Garden room\nsetup,my saw.txt\n";
    let saw =
        "saw kerf 3/32\nmoulding base\nhigh 5 1/4 thick 9/16 profile 3/4\nstick 192 at 21.50\n";
    let files: &[(&str, &str)] = &[("my saw.txt", saw)];
    let Ok(planner::walk::Sheet::Walk(walk)) = crate::sheet(&format!("{head}{DEN}"), &files) else {
        panic!("a walk");
    };
    assert_eq!(
        walk.setup.saw.kerf,
        Length::read("3/32", shared_model::Unit::Inch).expect("a length")
    );
}

#[test]
fn all_that_is_wrong_is_told_with_row_and_column() {
    let text = den()
        .replace("room,", "\"room\",")
        .replace("at,21.50", "at,\"21,50\"")
        .replace("Den,,31 1/2", "Den,,\"31\n1/2\",\nDen,,31 3/7")
        .replace("door", "dor")
        .replace(",92", ",190")
        .replace("10' 4 3/8\nDen", "\"10' 14\"\"\"\nDen");
    let told: Vec<(usize, usize, String, String)> = refused(&text)
        .into_iter()
        .map(|one| (one.line, one.column, one.place, one.read))
        .collect();
    let expected = [
        (4, 15, "row 4", "21,50"),
        (9, 11, "row 8, column length: \"Den\"", "31 3/7"),
        (10, 5, "row 9", "dor"),
        (12, 8, "row 11, column length: \"Den\"", "10' 14\""),
        (13, 12, "row 12, column gauge: \"Den\"", "190"),
    ];
    let told: Vec<(usize, usize, &str, &str)> = told
        .iter()
        .map(|(line, column, place, read)| (*line, *column, place.as_str(), read.as_str()))
        .collect();
    assert_eq!(told, expected);
}

proptest! {
    #[test]
    fn a_text_sheet_is_never_taken_for_a_table(sheet in prop_oneof![any_walk(), any_cut_list()]) {
        let text = to_text(&sheet);
        for part in [" ", ", ", ",", "\t", "; "] {
            prop_assert_eq!(delimiter(&text.replace(' ', part)), None, "{}", text);
        }
        prop_assert_eq!(delimiter(&to_csv(&sheet)), Some(b','));
    }

    #[test]
    fn what_parts_the_cells_does_not_matter(sheet in prop_oneof![any_walk(), any_cut_list()]) {
        let table = to_csv(&sheet);
        let cells = crate::csv::cells_of(&table);
        for parts in [';', '\t'] {
            let quoted = |cell: &String| format!("\"{}\"", cell.replace('"', "\"\""));
            let row = |row: &Vec<String>| row.iter().map(quoted).collect::<Vec<_>>().join(&parts.to_string()) + "\r\n";
            let other: String = cells.iter().map(row).collect();
            prop_assert_eq!(super::sheet(&other), Ok(sheet.clone()), "{}", other);
        }
    }

    #[test]
    fn whatever_stands_in_the_cells_is_read_or_told(
        changes in prop::collection::vec((any::<usize>(), 1usize..40, any::<u8>(), any::<u8>()), 1..6)
    ) {
        let text = nearly(&den(), &changes);
        if let Err(refused) = sheet(&text) {
            prop_assert!(!refused.is_empty());
            for one in refused {
                prop_assert!(!one.read.is_empty() && !one.expected.is_empty() && !one.example.is_empty(), "{one}");
            }
        }
    }
}
