//! The plan on paper: the exact text of a small room, and what holds for every plan. The planner's decisions are tested by
//! the planner.

use planner::finding::Finding;
use planner::plan::Plan;
use planner::sticks::places;
use proptest::prelude::*;

use shared_model::{Angle, Length};

use super::*;
use crate::demo;

const PLAIN: Look = Look {
    ascii: true,
    colour: false,
};

const DEN: &str = r#"{ "walk": 1, "level": "Garden room",
  "saw": { "posture": "standing upside down", "stock_side": "left" },
  "mouldings": [ { "name": "base", "height": 5.25, "thickness": 0.5625, "profile": 0.75,
                   "sticks": [ { "length": 192, "price": 21.5 } ], "offcuts": [ 40 ] } ],
  "rooms": [ { "name": "Den", "moulding": "base", "closed": false,
               "outline": [ { "opening": "37 1/2" },
                            { "wall": "75", "corner": "inside" },
                            { "wall": "30", "corner": "outside" },
                            { "wall": "31 1/2", "corner": "inside", "gauge": 94 },
                            { "wall": "144" } ] } ] }"#;

const DEN_ON_PAPER: &str = r#"Garden room
4 pieces from 3 sticks; no findings
digest bfa3-02d0

To buy
   2 x    16' 0"  base
  and 1 offcut in hand, used first

To cut
Sticks are drawn as they lie at the saw: the end that is cut first at the right.
Each end of a piece is named by the side of the saw at which it is cut.
= piece   | cut   X one cut for both its neighbours   . left over or waste

Stick 1: base 3' 4", in hand; standing upside down
..|===== 1 ====|
   1  Den, wall 3                31 1/2" right outside miter, swing right 45
      on the back; tip to tip 32 1/16"   left  square
      left over: 7 5/16"

Stick 2: base 16' 0"; standing upside down
................................................|============== 2 =============|
   2  Den, wall 1                    75" right square
                                         left  square
      left over: 116 3/8"

Stick 3: base 16' 0"; standing upside down; plain cuts 4 1/2", by hand 3/4"
.......|============================ 4 ============================|==== 3 ====|
   3  Den, wall 2                    30" right cope, swing left 45
      on the back; tip to tip 30 9/16"   left  outside miter, swing left 45
   4  Den, wall 4                   144" right cope, swing left 43
                                               plain cut right 4
                                         left  square
      left over: 17 3/16"

To hang, room by room, first on the wall first
Write on the back, bottom edge down: room and wall, and an arrow to the end that
will be at the left on the wall, which is then at your right. At the saw the
screen names that end: left on the wall.

Den
   #  on the back                         length  left end       right end
   1  Den, wall 1 ->                         75"  square         square
   2  Den, wall 2 ->                         30"  cope           outside miter
   3  Den, wall 3 ->                     31 1/2"  outside miter  square
   4  Den, wall 4 ->                        144"  cope           square

Totals
3 sticks, cost 43.00, waste with kerfs 12.0 ft (33.8 %); proved the least
the saw is set anew 4 times
digest bfa3-02d0
"#;

fn plan_of(text: &str) -> Plan {
    planner::plan(&form::read_text("a test", text, &[]).expect("a walk"))
}

#[test]
fn a_small_room_is_printed_so() {
    assert_eq!(text(&plan_of(DEN), PLAIN), DEN_ON_PAPER);
}

#[test]
fn the_page_says_what_the_text_says_of_offcuts_and_backs() {
    let sheet = form::read_text("a test", DEN, &[]).expect("a walk");
    let page = page(&sheet, &planner::plan(&sheet));
    assert!(page.contains("<li>and 1 offcut in hand, used first</li>"));
    assert!(page.contains("which is then at your right"));
    assert!(page.contains("<td>Den, wall 2 \u{2192}</td>"));
}

#[test]
fn rooms_whose_names_begin_alike_are_told_apart_where_they_are_cut_short() {
    let rooms = ["first closet", "second closet"].map(|which| {
        let name = format!("The long bedroom over the garage, {which}");
        let den = DEN.replace("Den", &name);
        let lines = text(&plan_of(&den), PLAIN);
        let cut: Vec<String> = (lines.lines())
            .filter(|line| line.contains(", wall 1 "))
            .map(|line| line.chars().take(30).collect())
            .collect();
        assert_eq!(cut.len(), 2);
        cut
    });
    for (first, second) in rooms[0].iter().zip(&rooms[1]) {
        assert_ne!(first, second);
    }
}

#[test]
fn colour_and_blocks_change_nothing_else() {
    let mut plan = planner::plan(&demo::sheet());
    let told = "get another stick".to_owned();
    plan.findings.push(Finding::warning("Hall", &[1], told));
    let plain = text(&plan, PLAIN);
    assert!(plain.is_ascii());
    let colour = text(
        &plan,
        Look {
            ascii: true,
            colour: true,
        },
    );
    assert!(colour.contains("\u{1b}[33mwarning"));
    let codes = ["\u{1b}[1;31m", "\u{1b}[33m", "\u{1b}[1m", "\u{1b}[0m"];
    let stripped = codes
        .iter()
        .fold(colour, |text, code| text.replace(code, ""));
    assert_eq!(stripped, plain);
    let blocks = text(&plan, Look::default());
    assert_eq!(blocks.lines().count(), plain.lines().count());
}

#[test]
fn every_piece_of_the_demo_stands_at_its_stick_and_in_its_room() {
    let plan = planner::plan(&demo::sheet());
    let text = text(&plan, PLAIN);
    for piece in &plan.pieces {
        let order = piece.cut.expect("a place").order;
        assert!(
            text.lines()
                .any(|line| line.starts_with(&format!("{order:>4}  ")))
        );
    }
    let arrows = text.lines().filter(|line| line.contains(" -> ")).count();
    assert_eq!(arrows, plan.pieces.len());
}

#[test]
fn a_stick_that_is_turned_between_its_cuts_says_so() {
    let flat = r#""posture": "flat bottom to fence", "tilt_left": 0, "tilt_right": 48"#;
    let text = text(
        &plan_of(&DEN.replace(r#""posture": "standing upside down""#, flat)),
        PLAIN,
    );
    let headings = text.lines().filter(|line| line.starts_with("Stick "));
    for heading in headings {
        assert!(heading.contains("; flat bottom to fence"), "{heading}");
    }
    // this saw tilts to the right only, so a cope at saw-right is cut at saw-left
    let cope = "left  cope, tilt right 45\n";
    let at = text.find(cope).expect("a cope") + cope.len();
    let beneath: Vec<&str> = text[at..].lines().take(2).map(str::trim).collect();
    assert!(
        beneath
            .iter()
            .any(|line| line.ends_with("turned: flat top to fence")),
        "{text}"
    );
}

#[test]
fn a_measured_saw_is_set_by_its_scale() {
    let mut plan = plan_of(DEN);
    let before = text(&plan, PLAIN);
    plan.saw.true_45.swing_left = Angle::hundredths(4480);
    let text = text(&plan, PLAIN);
    // computed: 45 * 45 / 44.8 = 45.2, 43 * 45 / 44.8 = 43.2; the other way nothing was measured
    assert_eq!(
        text.matches("swing left 45.2").count(),
        before.matches("swing left 45").count()
    );
    assert_eq!(text.matches("cope, swing left 43.2").count(), 1);
    assert_eq!(
        text.matches("swing right 45\n").count(),
        before.matches("swing right 45\n").count()
    );
    assert!(text.contains("what the saw's scale has to read, its true 45 as measured"));
    assert!(!before.contains("true 45"));
}

#[test]
fn millimetres_stay_millimetres() {
    let text = text(
        &plan_of(
            r#"{ "walk": 1, "level": "Gartenzimmer", "unit": "mm",
            "mouldings": [ { "name": "Sockel", "height": 80, "thickness": 16, "profile": 12,
                             "sticks": [ { "length": 2400 } ] } ],
            "rooms": [ { "name": "Zimmer", "moulding": "Sockel", "closed": false,
                         "outline": [ { "opening": 900 }, { "wall": 1250, "corner": "inside" }, { "wall": 800 } ] } ] }"#,
        ),
        Look::default(),
    );
    assert!(text.contains("1250 mm"), "{text}");
    assert!(text.contains("   1 x   2400 mm  Sockel\n"), "{text}");
    assert!(
        text.contains("2.4 m bought, waste with kerfs 0.4 m"),
        "{text}"
    );
    assert!(!text.contains('"'), "{text}");
}

fn page_of(text: &str) -> String {
    let sheet = form::read_text("a test", text, &[]).expect("a sheet");
    page(&sheet, &planner::plan(&sheet))
}

#[test]
fn the_page_is_complete_in_itself() {
    let sheet = demo::sheet();
    let plan = planner::plan(&sheet);
    let page = page(&sheet, &plan);
    for outside in [
        "<script", "<link", "<img", "src=", "href=", "url(", "@import", "http",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert_eq!(page.matches("<svg").count(), page.matches("</svg>").count());
    let drawn = plan.sticks.len()
        + plan
            .install
            .iter()
            .filter(|room| !room.order.is_empty())
            .count();
    assert_eq!(page.matches("<svg").count(), drawn);
    assert_eq!(page.matches("<polygon").count(), plan.pieces.len());
    assert!(page.contains(&words::digest(&plan)));
    assert!(page.contains(&words::totals(&plan)));
}

#[test]
fn names_cannot_become_part_of_the_page() {
    let name = "<b>'Den' & \\\"Bar\\\"</b>";
    let page = page_of(&DEN.replace("Den", name).replace("Garden room", name));
    assert!(!page.contains("<b>'"), "{page}");
    let escaped = "&lt;b&gt;&#39;Den&#39; &amp; &quot;Bar&quot;&lt;/b&gt;";
    assert!(page.contains(&format!("<h1>{escaped}</h1>")), "{page}");
    assert!(page.contains(&format!("<h3>{escaped}</h3>")), "{page}");
}

#[test]
fn a_cut_list_has_no_rooms_to_draw() {
    let page = page_of(
        r#"{ "cut_list": 1, "level": "Listed",
            "mouldings": [ { "name": "base", "height": 5.25, "thickness": 0.5625, "profile": 0.75,
                             "sticks": [ { "length": 192 } ] } ],
            "pieces": [ { "room": "Den", "moulding": "base", "length": 80,
                          "left": { "joint": "square" }, "right": { "joint": "square" } } ] }"#,
    );
    assert_eq!(page.matches("<svg").count(), 1);
    assert!(page.contains("<h3>Den</h3>"));
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(60)
    })]

    #[test]
    fn no_line_is_wider_than_the_paper(
        walls in prop::collection::vec((1i32..6000, 60u16..170, 0u8..3), 1..9),
        room in "[A-Za-z]{1,14}( [a-zé0-9]{1,40}){0,4}",
        moulding in "[a-z]{1,90}",
        mark in prop::sample::select(vec!["in", "mm"]),
        posture in prop::sample::select(vec!["standing upright", "standing upside down", "flat top to fence"]),
        ascii in any::<bool>(),
    ) {
        let unit: i32 = if mark == "in" { 16 } else { 1 };
        let outline: Vec<serde_json::Value> = walls.iter().map(|&(length, gauge, kind)| {
            let length = f64::from(length) / f64::from(unit);
            match kind {
                0 => serde_json::json!({ "opening": length }),
                1 => serde_json::json!({ "wall": length, "corner": "outside", "gauge": gauge }),
                _ => serde_json::json!({ "wall": length, "corner": "inside", "gauge": gauge }),
            }
        }).collect();
        let size = |inches: f64| if mark == "in" { inches } else { inches * 25.4 };
        let walk = serde_json::json!({
            "walk": 1, "level": format!("{room} {moulding}"), "unit": mark,
            "saw": { "posture": posture, "swing_left": 40 },
            "mouldings": [ { "name": moulding, "height": size(5.25), "thickness": size(0.5625), "profile": size(0.75),
                             "sticks": [ { "length": size(192.0) }, { "length": size(96.0), "price": 3.125 } ] } ],
            "rooms": [ { "name": room, "moulding": moulding, "closed": false, "outline": outline } ] });
        let sheet = form::read_text("a test", &walk.to_string(), &[]).expect("a walk");
        let plan = planner::plan(&sheet);
        let page = page(&sheet, &plan);
        for wrong in ["=\"NaN", "=\"inf", "=\"-inf"] {
            // no name can put a quotation mark there
            prop_assert!(!page.contains(wrong));
        }
        let text = text(&plan, Look { ascii, colour: false });
        for line in text.lines() {
            prop_assert!(line.chars().count() <= 80, "{}", line);
            prop_assert_eq!(line.trim_end(), line);
        }
        for stick in &plan.sticks {
            let mut before = Length::ZERO;
            for on_stick in places(&plan, stick) {
                let piece = &plan.pieces[on_stick.piece];
                prop_assert!(on_stick.near.back >= before && on_stick.near.face >= Length::ZERO);
                // a butt's figure is the face's, so its back may be shorter
                prop_assert!(on_stick.far.back - on_stick.near.back <= piece.length);
                before = on_stick.far.back;
                prop_assert!(on_stick.far.back.max(on_stick.far.face) <= stick.length);
            }
        }
    }
}
