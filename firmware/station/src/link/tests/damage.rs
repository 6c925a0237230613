//! Damaged requests and noise at a station: nothing is acted on, and it answers afterwards.

use super::*;

/// All that must not change by what is no request.
fn kept(line: &Line) -> (Vec<Event>, u32, Vec<Piece>, u32) {
    let record = line.runner.record();
    let list = record.list().expect("a list");
    (
        record.events.clone(),
        list.head.digest,
        list.pieces.clone(),
        record.confirmed,
    )
}

#[test]
fn no_damaged_request_is_acted_on() {
    let mut line = Line::new(Memory::with(list(3)));
    line.press_done();
    let new = list(12);
    let before = kept(&line);
    let mut requests = load_requests(1, &new, known(1));
    requests.extend([
        Request::Hello,
        Request::Events { after: known(0) },
        Request::Confirm { up_to: known(1) },
        Request::Time,
        Request::Show,
    ]);
    let frames: Vec<Vec<u8>> = requests.iter().map(|request| framed(1, request)).collect();
    let mut turned = 0;
    for frame in &frames {
        for bit in 0..frame.len() * 8 {
            let mut bad = frame.clone();
            bad[bit / 8] ^= 1 << (bit % 8);
            line.hear(&bad);
            assert_eq!(line.fetch(), None);
            turned += 1;
        }
        line.is_alive();
    }
    assert!(turned > 3_000, "{turned}");
    let mut dice = Rng::with_seed(4);
    for _ in 0..10_000 {
        let mut bad = dice.choice(&frames).expect("some").clone();
        let at = dice.usize(1..bad.len() - 1);
        match dice.u8(0..4) {
            0 => bad[at] ^= dice.u8(1..),
            1 => bad.truncate(at),
            2 => drop(bad.drain(1..=at)),
            _ => bad
                .splice(at..at, [dice.u8(1..), dice.u8(1..)])
                .for_each(drop),
        }
        line.hear(&bad);
        assert_eq!(line.fetch(), None, "{bad:02x?}");
        line.is_alive();
    }
    let mut left = 1 << 20;
    while left > 0 {
        let noise: Vec<u8> = (0..dice.usize(1..4_096)).map(|_| dice.u8(..)).collect();
        left -= noise.len().min(left);
        line.hear(&noise);
        assert_eq!(line.fetch(), None);
        line.is_alive();
    }
    assert_eq!(kept(&line), before);
}
