//! What a station answers and how its answers wait to be fetched. Loads and damage are left to the tests beside.

use super::*;

#[test]
fn the_hello_tells_what_the_record_holds() {
    let mut line = Line::new(Memory::with(list(3)));
    line.press_done();
    let Answer::Hello(hello) = line.ask(&Request::Hello) else {
        panic!("no hello");
    };
    let about = about();
    assert_eq!(
        hello,
        Hello {
            version: LINK_VERSION,
            station: about.station,
            epoch: EPOCH,
            last_event: 1,
            boot: 3,
            firmware: about.firmware,
            board: about.board,
            screen: about.screen,
            capacity: 512,
            list: Some(messages::ListInUse {
                level: name("Upper floor"),
                digest: list(3).head.digest,
            }),
        }
    );
    let milliseconds = 5_000;
    assert_eq!(
        line.ask(&Request::Time),
        Answer::Time {
            boot: 3,
            milliseconds
        }
    );
}

#[test]
fn events_come_in_answers_that_fit() {
    let mut record = Memory::with(list(3));
    let count = 3 * MOST_EVENTS as u32 + 1;
    record.events = (1..=count)
        .map(|sequence| Event {
            sequence,
            boot: u16::MAX,
            milliseconds: u32::MAX,
            what: What::Done {
                piece: PieceId(u32::MAX),
                list: u32::MAX,
            },
        })
        .collect();
    let mut line = Line::new(record);
    let mut taken: Vec<Event> = Vec::new();
    loop {
        let after = known(taken.len() as u32);
        let answer = line.ask(&Request::Events { after });
        let Answer::Events { last, events } = answer else {
            panic!("{answer:?}");
        };
        assert_eq!(last, known(count));
        if events.is_empty() {
            break;
        }
        taken.extend(events);
    }
    assert_eq!(taken, line.runner.record().events);
    let epoch = EPOCH;
    let other = Known {
        epoch: 1,
        sequence: 0,
    };
    let answer = line.ask(&Request::Events { after: other });
    assert_eq!(answer, refused(Refusal::OtherEpoch { epoch }));
    // confirming: what is not there is not confirmed
    let answer = line.ask(&Request::Confirm { up_to: other });
    assert_eq!(answer, refused(Refusal::OtherEpoch { epoch }));
    let up_to = known(50);
    assert_eq!(
        line.ask(&Request::Confirm { up_to }),
        Answer::Confirmed { up_to }
    );
    assert_eq!(line.runner.record().confirmed, 50);
    let up_to = known(999);
    assert_eq!(
        line.ask(&Request::Confirm { up_to }),
        Answer::Confirmed { up_to }
    );
    assert_eq!(line.runner.record().confirmed, count);
}

#[test]
fn a_confirmation_is_answered_again_when_the_log_was_emptied_at_it() {
    let mut line = Line::new(Memory::with(list(3)));
    line.press_done();
    let count = line.runner.record().last_sequence();
    let before = |sequence| Known {
        epoch: EPOCH - 1,
        sequence,
    };
    let up_to = before(count);
    let again = line.ask(&Request::Confirm { up_to });
    assert_eq!(again, Answer::Confirmed { up_to });
    // it says nothing of the log that there is now
    assert_eq!(line.runner.record().confirmed, 0);
    let epoch = EPOCH;
    for up_to in [
        before(count + 1),
        Known {
            epoch: EPOCH - 2,
            sequence: count,
        },
        Known {
            epoch: EPOCH + 1,
            sequence: count,
        },
    ] {
        let answer = line.ask(&Request::Confirm { up_to });
        assert_eq!(answer, refused(Refusal::OtherEpoch { epoch }));
    }
}

#[test]
fn shown_it_says_so_and_beeps() {
    let mut line = Line::new(Memory::with(list(3)));
    assert_eq!(line.ask(&Request::Show), Answer::Shown);
    assert_eq!(
        (line.outcome.beep, line.outcome.draw, line.outcome.point_out),
        (Some(Beep::Question), true, true)
    );
    assert_eq!(line.runner.view().banner, Some(Banner::ThisStation));
    line.runner.take(Input::Time, 9_000);
    assert_eq!(line.runner.view().banner, None);
}

#[test]
fn requests_of_a_newer_program_are_not_understood() {
    let mut line = Line::new(Memory::with(list(3)));
    // a variant that is not there yet, and one with a field more
    for newer in [(10u8, 1u8), (8, 1)] {
        let mut buffer = [0; MOST_FRAME];
        let frame = frame::write(Kind::Request, 4, &newer, &mut buffer).expect("it fits");
        line.hear(frame);
        assert_eq!(line.fetch(), Some((4, refused(Refusal::NotUnderstood))));
    }
}

#[test]
fn a_host_that_does_not_fetch_holds_nothing_up() {
    let mut line = Line::new(Memory::with(list(3)));
    for number in 1..200 {
        let frame = framed(number, &Request::Hello);
        line.hear(&frame);
        assert!(line.link.to_send().len() <= MOST_FRAME);
        line.link.sent(number as usize % 11);
    }
    // what had been sent of the one before is cut short by the first byte of the next
    let frame = framed(200, &Request::Time);
    line.hear(&frame);
    let answer = line.fetch();
    assert!(
        matches!(answer, Some((200, Answer::Time { .. }))),
        "{answer:?}"
    );
    // the line is cut in a request and in an answer
    let frame = framed(201, &Request::Hello);
    line.hear(&frame);
    line.hear(&frame[..5]);
    line.link.cut();
    assert!(line.link.to_send().is_empty());
    line.is_alive();
}

#[test]
fn the_longest_answers_fit_a_frame() {
    let longest = |text: &str| text.repeat(24).as_str().try_into().expect("it fits");
    let about = About {
        station: StationId(u64::MAX),
        board: longest("b"),
        firmware: longest("f"),
        screen: ScreenSize {
            width: u16::MAX,
            height: u16::MAX,
        },
    };
    let mut long = list(3);
    long.head.level = name(&"W".repeat(40));
    let mut line = Line::new(Memory::with(long));
    line.link = Link::new(about.clone());
    let Answer::Hello(hello) = line.ask(&Request::Hello) else {
        panic!("no hello");
    };
    assert_eq!(hello.board, about.board);
}
