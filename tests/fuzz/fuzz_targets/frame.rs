//! The link: whatever bytes come, the station answers the next proper request; and whatever a proper frame asks for is done
//! or refused.

#![no_main]

use std::cell::RefCell;

use flash_record::FlashRecord;
use mock_flash::MockFlash;
use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
use shared_model::messages::{self, Answer, Request, ScreenSize, StationId};
use station::link::{About, Link};
use station::record::Record;
use station::runner::Runner;

const SECTORS: usize = 16;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let flash = RefCell::new(MockFlash::<1>::new(SECTORS, 1));
    let record = FlashRecord::open(&flash, 0, SECTORS as u32, 1).expect("a blank flash");
    let mut runner = Runner::start(record, false, &[]);
    let mut link = Link::new(About {
        station: StationId(1),
        board: "fuzzed".try_into().expect("a short name"),
        firmware: "0".try_into().expect("a short name"),
        screen: ScreenSize {
            width: 320,
            height: 240,
        },
    });
    link.take(data, &mut runner, 0);
    link.cut();
    // the same bytes as requests one behind the other, each in a frame of its own
    let mut rest = data;
    let mut now = 0;
    while let Ok((request, after)) = postcard::take_from_bytes::<Request>(rest) {
        rest = after;
        now += 1_000;
        ask(&mut link, &mut runner, &request, now);
    }
    let answer = ask(&mut link, &mut runner, &Request::Hello, now);
    assert!(matches!(answer, Some(Answer::Hello(_))));
});

fn ask(
    link: &mut Link,
    runner: &mut Runner<impl Record>,
    request: &Request,
    now: u32,
) -> Option<Answer> {
    let mut buffer = [0; MOST_FRAME];
    let frame = frame::write(Kind::Request, 1, request, &mut buffer).ok()?;
    link.take(frame, runner, now);
    let mut receiver = Receiver::of(Kind::Answer);
    link.to_send().iter().find_map(|byte| match receiver.hear(*byte) {
        Heard::Message { message, .. } => messages::read(message),
        _ => None,
    })
}
