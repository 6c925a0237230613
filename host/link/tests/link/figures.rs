//! What a load costs on the wire, beside the information in it. Times on real lines are measured elsewhere.

use std::cell::Cell;
use std::io::{self, Read, Write};

use fastrand::Rng;
use link::{Link, Loaded, Manner};
use shared_model::messages::Known;
use shared_model::{End, Piece};

use crate::line::{CLEAN, Line, Station};
use crate::sample::{Sample, list};

/// Counts what goes through.
struct Counted<'a> {
    line: Line<'a>,
    counts: &'a Counts,
}

#[derive(Default)]
struct Counts {
    requests: Cell<u32>,
    /// Packets of 64 bytes, each way.
    packets: Cell<u32>,
    out: Cell<u32>,
    back: Cell<u32>,
}

impl Read for Counted<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.line.read(buffer)?;
        self.counts.back.set(self.counts.back.get() + count as u32);
        Ok(count)
    }
}

impl Write for Counted<'_> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let counts = self.counts;
        counts.requests.set(counts.requests.get() + 1);
        counts
            .packets
            .set(counts.packets.get() + buffer.len().div_ceil(64) as u32 + 1);
        counts.out.set(counts.out.get() + buffer.len() as u32);
        self.line.write(buffer)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Bits to tell apart the values that a field has in this list, all of them alike often.
fn bits<T: Ord>(list: &Sample, field: impl Fn(&Piece) -> T) -> f64 {
    let mut values: Vec<T> = list.pieces.iter().map(field).collect();
    values.sort();
    values.dedup();
    (values.len() as f64).log2()
}

/// The information in a piece: its id, a length to the sixteenth up to a stick's, and of every other field which of the values
/// that this list has.
fn information(list: &Sample) -> f64 {
    let ends = |end: End| match end {
        End::Square => (0, 0),
        End::Butt { gauge } => (1, gauge.in_hundredths()),
        End::Cope { gauge } => (2, gauge.in_hundredths()),
        End::InsideMiter { gauge } => (3, gauge.in_hundredths()),
        End::OutsideMiter { gauge } => (4, gauge.in_hundredths()),
        End::ScarfOver { bevel } => (5, bevel.in_hundredths()),
        End::ScarfUnder { bevel } => (6, bevel.in_hundredths()),
        End::Return => (7, 0),
    };
    let length = 192.0 * 16.0;
    32.0 + f64::log2(length)
        + bits(list, |piece| piece.room)
        + bits(list, |piece| piece.wall)
        + bits(list, |piece| piece.moulding)
        + bits(list, |piece| ends(piece.left.end))
        + bits(list, |piece| ends(piece.right.end))
        + bits(list, |piece| piece.from_offcut)
        + bits(list, |piece| piece.first == shared_model::Side::Left)
        + bits(list, |piece| piece.shared)
        + bits(list, |piece| piece.cautions.iter().count())
        // whether it begins a stick
        + 1.0
}

#[test]
fn four_hundred_pieces_are_loaded_in_few_turns() {
    let sheet = list(400, &mut Rng::with_seed(400));
    let mut station = Station::new(1);
    let counts = Counts::default();
    let line = Line::to(&mut station, CLEAN, 1);
    let counted = Counted {
        line,
        counts: &counts,
    };
    let mut link = Link::open(counted, Manner::default()).expect("a station");
    let made_with = Known {
        epoch: 1,
        sequence: 0,
    };
    assert!(matches!(
        link.load(&sheet, made_with, &mut |_| {}),
        Ok(Loaded::New)
    ));
    let (requests, out, back) = (counts.requests.get(), counts.out.get(), counts.back.get());
    let content = sheet
        .pieces
        .iter()
        .map(|piece| postcard::experimental::serialized_size(piece).expect("a size") as u32);
    let content: u32 = content.sum();
    let pieces = f64::from(sheet.head.pieces);
    let a_piece = f64::from(out) / pieces;
    let information = information(&sheet) / 8.0;
    // a turn of a millisecond for every request, and a packet of 64 bytes in 0.0533 ms (12 Mbit/s)
    let turns = f64::from(requests) + f64::from(counts.packets.get()) * 64.0 * 8.0 / 12_000.0;
    // 10 bits a byte
    let uart = f64::from(out + back) * 10.0 / f64::from(link::BAUD);
    println!(
        "400 pieces in {} rooms: {requests} requests, {out} bytes there, {back} back; a piece {a_piece:.1} bytes on the wire\n\
         (of them {:.1} its message, {:.1} frames and names), {information:.1} bytes of information in it\n\
         by USB of 64-byte packets and a turn of 1 ms about {turns:.0} ms, by a UART of 115,200 baud about {uart:.1} s,\n\
         what the station needs for its memory not counted",
        sheet.head.rooms.len(),
        f64::from(content) / pieces,
        a_piece - f64::from(content) / pieces,
    );
    assert!(requests <= 40, "{requests}");
    assert!(a_piece < 40.0, "{a_piece}");
}
