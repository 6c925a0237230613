//! Loads: in order, twice, with gaps, refused. Whole ones over a faulty line are left to the host's tests.

use super::*;

#[test]
fn a_load_streams_and_is_the_same_list_afterwards() {
    let mut line = Line::new(Memory::with(list(3)));
    let new = list(400);
    let digest = new.head.digest;
    assert_eq!(line.load(1, &new), Answer::Committed { digest });
    assert!(line.outcome.draw);
    let held = line.runner.record().list().expect("a list");
    assert_eq!((&held.head, &held.pieces), (&new.head, &new.pieces));
    assert_eq!(
        line.runner.place().map(|place| place.digest()),
        Some(digest)
    );
    // the commit asked again, of a load that is over
    let commit = Request::Commit { load: 1, digest };
    assert_eq!(line.ask(&commit), Answer::Committed { digest });
    assert!(!line.outcome.draw);
}

#[test]
fn whatever_comes_twice_or_leaves_a_gap_changes_nothing() {
    let mut line = Line::new(Memory::with(list(3)));
    let new = list(30);
    let digest = new.head.digest;
    let requests = load_requests(1, &new, known(0));
    for (at, request) in requests.iter().enumerate() {
        // what should come later leaves a gap, or is a commit of something that is not whole
        if let Some(later @ (Request::Pieces { .. } | Request::Commit { .. })) =
            requests.get(at + 1)
        {
            let before = line.ask(later);
            assert!(
                at == 0 || matches!(before, Answer::Loading { .. }),
                "{before:?}"
            );
        }
        let answer = line.ask(request);
        assert_eq!(line.ask(request), answer);
        if !matches!(request, Request::Commit { .. }) {
            assert_eq!(line.ask(&requests[0]), answer);
        }
    }
    let held = line.runner.record().list().expect("a list");
    assert_eq!((held.head.digest, &held.pieces), (digest, &new.pieces));
    // of the load that is over nothing is known any more
    assert_eq!(line.ask(&requests[2]), refused(Refusal::NoSuchLoad));
}

#[test]
fn parts_that_overlap_are_put_together() {
    let mut line = Line::new(Memory::with(list(3)));
    let new = list(MAX_PIECES);
    for request in &load_requests(1, &new, known(0))[..3] {
        line.ask(request);
    }
    let mut dice = Rng::with_seed(3);
    loop {
        let offset = dice.usize(0..MAX_PIECES);
        let part: Vec<Piece> = new.pieces[offset..].iter().copied().take(12).collect();
        let answer = line.ask(&pieces(1, offset as u16, &part));
        let Answer::Loading { pieces: come, .. } = answer else {
            panic!("{answer:?}");
        };
        if usize::from(come) == MAX_PIECES {
            break;
        }
    }
    let digest = new.head.digest;
    let commit = Request::Commit { load: 1, digest };
    assert_eq!(line.ask(&commit), Answer::Committed { digest });
    assert_eq!(
        line.runner.record().list().map(|list| &list.pieces),
        Some(&new.pieces)
    );
}

#[test]
fn what_is_refused_changes_nothing() {
    let old = list(3);
    let mut line = Line::new(Memory::with(old.clone()));
    line.press_done();
    let new = list(10);
    let changed = |change: fn(&mut Begin)| {
        let mut begin = begin(1, &new, known(1));
        change(&mut begin);
        Request::Begin(begin)
    };
    let (rooms, mouldings) = (MAX_ROOMS as u16, MAX_MOULDINGS as u16);
    let behind = Refusal::ListBehind {
        made_with: known(0),
        stored: known(1),
    };
    for (request, refusal) in [
        (changed(|begin| begin.made_with.sequence = 0), behind),
        (
            changed(|begin| begin.made_with.epoch = 8),
            Refusal::OtherEpoch { epoch: EPOCH },
        ),
        (
            changed(|begin| begin.pieces = 513),
            Refusal::TooManyPieces { most: 512 },
        ),
        (
            changed(|begin| begin.rooms = 129),
            Refusal::TooManyNames { rooms, mouldings },
        ),
        (
            changed(|begin| begin.mouldings = 9),
            Refusal::TooManyNames { rooms, mouldings },
        ),
        (pieces(1, 0, &new.pieces[..2]), Refusal::NoSuchLoad),
        (Request::Commit { load: 1, digest: 5 }, Refusal::NoSuchLoad),
    ] {
        assert_eq!(line.ask(&request), refused(refusal));
    }
    let mut twice = list(10);
    twice.pieces[7].id = PieceId(102);
    let mut nameless = list(10);
    nameless.pieces[4].room = 2;
    let mut other = list(10);
    other.head.digest ^= 1;
    for (bad, refusal) in [
        (twice, Refusal::SameId { id: PieceId(102) }),
        (nameless, Refusal::NameMissing { number: 5 }),
        (
            other.clone(),
            Refusal::OtherDigest {
                came: other.head.digest ^ 1,
            },
        ),
    ] {
        let requests = load_requests(2, &bad, known(1));
        let answers = requests.iter().map(|request| line.ask(request));
        let first = answers
            .into_iter()
            .find(|answer| matches!(answer, Answer::Refused(_)));
        assert_eq!(first, Some(refused(refusal)));
        // begun again it would do
        assert_eq!(line.ask(&requests[3]), refused(Refusal::NoSuchLoad));
    }
    let held = line.runner.record().list().expect("a list");
    assert_eq!(
        (held.head.digest, &held.pieces),
        (old.head.digest, &old.pieces)
    );
    assert_eq!(
        line.runner.place().map(|place| place.progress().done),
        Some(1)
    );
}

#[test]
fn a_press_during_a_load_makes_the_list_old() {
    let mut line = Line::new(Memory::with(list(3)));
    let new = list(10);
    let mut requests = load_requests(1, &new, known(0));
    let commit = requests.pop().expect("a commit");
    for request in &requests {
        line.ask(request);
    }
    line.press_done();
    let behind = Refusal::ListBehind {
        made_with: known(0),
        stored: known(1),
    };
    assert_eq!(line.ask(&commit), refused(behind));
    assert_eq!(line.ask(&commit), refused(behind));
    let digest = new.head.digest;
    assert_eq!(line.load(2, &new), Answer::Committed { digest });
}

#[test]
fn a_memory_that_fails_keeps_the_list_in_use() {
    let old = list(3);
    let mut record = Memory::with(old.clone());
    record.broken = true;
    let mut line = Line::new(record);
    assert_eq!(line.load(1, &list(10)), refused(Refusal::NotStored));
    let held = line.runner.record().list().expect("a list");
    assert_eq!(held.head().digest, old.head.digest);
}

#[test]
fn nothing_is_committed_under_a_foot() {
    let mut line = Line::new(Memory::with(list(3)));
    let new = list(10);
    let mut requests = load_requests(1, &new, known(0));
    let commit = requests.pop().expect("a commit");
    for request in &requests {
        line.ask(request);
    }
    line.pass_cards();
    line.runner.take(Input::Pedal { closed: true }, 5_000);
    let pressed = refused(Refusal::PressUnderWay);
    assert_eq!(line.ask(&commit), pressed);
    line.runner.take(Input::Time, 5_100);
    assert_eq!(line.ask(&commit), pressed);
    line.runner.take(Input::Pedal { closed: false }, 5_200);
    line.runner.take(Input::Time, 5_300);
    let behind = Refusal::ListBehind {
        made_with: known(0),
        stored: known(1),
    };
    assert_eq!(line.ask(&commit), refused(behind));
    // a foot that is parked there holds nothing up
    line.runner.take(Input::Pedal { closed: true }, 6_000);
    line.runner.take(Input::Time, 9_000);
    let digest = new.head.digest;
    assert_eq!(line.load(2, &new), Answer::Committed { digest });
}

#[test]
fn nothing_is_begun_under_a_foot() {
    let mut line = Line::new(Memory::with(list(3)));
    line.pass_cards();
    let new = list(10);
    let requests = load_requests(1, &new, known(0));
    let (pressed, press) = (refused(Refusal::PressUnderWay), |closed| Input::Pedal {
        closed,
    });
    line.runner.take(press(true), 4_990);
    assert_eq!(line.ask(&requests[0]), pressed);
    // no more than a spark: it opens before it counts
    line.runner.take(press(false), 4_995);
    assert!(matches!(line.ask(&requests[0]), Answer::Loading { .. }));
    line.runner.take(press(true), 5_000);
    for request in &requests[1..3] {
        assert_eq!(line.ask(request), pressed);
    }
    line.runner.take(press(false), 5_001);
    // the load is where it was
    for request in &requests[1..4] {
        assert!(matches!(line.ask(request), Answer::Loading { .. }));
    }
    let digest = new.head.digest;
    assert_eq!(line.ask(&requests[4]), Answer::Committed { digest });
}

#[test]
fn two_hosts_that_load_at_once_do_not_mix_their_lists() {
    let mut line = Line::new(Memory::with(list(3)));
    let mut other = Link::new(about());
    let (mine, mut theirs) = (list(24), list(24));
    theirs.pieces.iter_mut().for_each(|piece| piece.stick += 1);
    theirs.head.digest = digest(&theirs);
    let mine = load_requests(1, &mine, known(0));
    let theirs_asked = load_requests(2, &theirs, known(0));
    // one has put half of its pieces when the other begins; then they take turns
    mine[..4].iter().for_each(|request| drop(line.ask(request)));
    core::mem::swap(&mut line.link, &mut other);
    theirs_asked[..4]
        .iter()
        .for_each(|request| drop(line.ask(request)));
    core::mem::swap(&mut line.link, &mut other);
    assert_eq!(line.ask(&mine[4]), refused(Refusal::NoSuchLoad));
    assert_eq!(line.ask(&mine[5]), refused(Refusal::NoSuchLoad));
    core::mem::swap(&mut line.link, &mut other);
    line.ask(&theirs_asked[4]);
    let digest = theirs.head.digest;
    assert_eq!(line.ask(&theirs_asked[5]), Answer::Committed { digest });
    let held = line.runner.record().list().expect("a list");
    assert_eq!((held.head.digest, &held.pieces), (digest, &theirs.pieces));
}
