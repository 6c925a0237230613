//! Stuffing, check sum and message bytes against published values. Where each is from stands beside it.

use std::collections::HashSet;
use std::vec;
use std::vec::Vec;

use cobs::{CobsEncoder, DecodeResult, DecoderState};
use shared_model::CRC;
use shared_model::frame::MOST_FRAME;
use shared_model::messages::read;

fn stuffed(content: &[u8]) -> Vec<u8> {
    let mut buffer = vec![0xee; content.len() + content.len() / 254 + 1];
    let mut encoder = CobsEncoder::new(&mut buffer);
    encoder.push(content).expect("it fits");
    let length = encoder.finalize();
    buffer[..length].to_vec()
}

fn plain(stuffed: &[u8]) -> Option<Vec<u8>> {
    let (mut state, mut content) = (DecoderState::default(), Vec::new());
    for byte in stuffed.iter().chain(&[0]) {
        match state.feed(*byte) {
            Ok(DecodeResult::DataContinue(byte)) => content.push(byte),
            Ok(DecodeResult::DataComplete) => return Some(content),
            Ok(DecodeResult::NoData | DecodeResult::DataStart) => {}
            Err(_) => return None,
        }
    }
    None
}

#[test]
fn stuffing_is_consistent_overhead_byte_stuffing() {
    // published: S. Cheshire, M. Baker, Consistent Overhead Byte Stuffing, 1999; these as the encyclopedia's article on
    // it tabulates them, without the delimiter
    let run = |from: u8, to: u8| (from..=to).collect::<Vec<u8>>();
    let with = |parts: &[&[u8]]| parts.concat();
    for (content, expected) in [
        (vec![], vec![0x01]),
        (vec![0], vec![1, 1]),
        (vec![0, 0], vec![1, 1, 1]),
        (vec![0, 0x11, 0], vec![1, 2, 0x11, 1]),
        (vec![0x11, 0x22, 0, 0x33], vec![3, 0x11, 0x22, 2, 0x33]),
        (
            vec![0x11, 0x22, 0x33, 0x44],
            vec![5, 0x11, 0x22, 0x33, 0x44],
        ),
        (vec![0x11, 0, 0, 0], vec![2, 0x11, 1, 1, 1]),
        (run(1, 0xfe), with(&[&[0xff], &run(1, 0xfe)])),
        (run(0, 0xfe), with(&[&[1, 0xff], &run(1, 0xfe)])),
        (run(1, 0xff), with(&[&[0xff], &run(1, 0xfe), &[2, 0xff]])),
        (
            with(&[&run(2, 0xff), &[0]]),
            with(&[&[0xff], &run(2, 0xff), &[1, 1]]),
        ),
        (
            with(&[&run(3, 0xff), &[0, 1]]),
            with(&[&[0xfe], &run(3, 0xff), &[2, 1]]),
        ),
    ] {
        assert_eq!(stuffed(&content), expected);
        assert_eq!(plain(&expected), Some(content));
    }
    // a run that is cut short
    assert_eq!(plain(&[3, 0x11]), None);
}

#[test]
fn the_check_sum_is_crc_32_iscsi() {
    // published: the CRC catalogue, check value and residue (there before the last inversion)
    assert_eq!(CRC.checksum(b"123456789"), 0xe306_9283);
    let whole = [&b"123456789"[..], &0xe306_9283u32.to_le_bytes()].concat();
    assert_eq!(!CRC.checksum(&whole), 0xb798_b438);
}

/// Whether some error of two or of four bits in so many passes a check sum with this polynomial (lowest power last, the
/// highest left out).
fn two_or_four_pass(polynomial: u32, bits: usize) -> bool {
    let mut powers = vec![1u32];
    while powers.len() < bits {
        let last = powers[powers.len() - 1];
        powers.push((last << 1) ^ if last >> 31 == 1 { polynomial } else { 0 });
    }
    let distinct: HashSet<u32> = powers.iter().copied().collect();
    if distinct.len() < bits {
        return true;
    }
    // an error may begin at the first bit: all others are such an error moved. Two of the other three are tried, the
    // third is looked up; most are sorted out by a few of their bits.
    let few = |power: u32| (power ^ power >> 16) as usize & 0xffff;
    let mut among = vec![false; 1 << 16];
    powers.iter().for_each(|power| among[few(*power)] = true);
    (1..bits).any(|a| {
        (a + 1..bits).any(|b| {
            let third = powers[0] ^ powers[a] ^ powers[b];
            among[few(third)] && distinct.contains(&third)
        })
    })
}

#[test]
fn every_error_of_up_to_five_bits_in_the_longest_frame_is_found() {
    // computed; published: P. Koopman, 32-bit cyclic redundancy codes for internet applications, 2002 (from memory).
    // The polynomial is divisible by x + 1, so that errors of an odd number of bits are always found.
    let bits = 8 * (MOST_FRAME - 5);
    assert_eq!(0x1edc_6f41u32.count_ones() % 2, 1, "and the highest power");
    assert!(!two_or_four_pass(0x1edc_6f41, bits));
    // the more widely used CRC-32/ISO-HDLC
    assert!(two_or_four_pass(0x04c1_1db7, bits));
}

#[test]
fn messages_are_written_as_postcard_specifies() {
    // published: postcard's wire format (variable-length integers, zigzag, strings, options)
    let bytes = |value: postcard::Result<Vec<u8>>| value.expect("small values");
    assert_eq!(bytes(postcard::to_stdvec(&16_384u16)), [0x80, 0x80, 0x01]);
    assert_eq!(bytes(postcard::to_stdvec(&-65i16)), [0x81, 0x01]);
    let fields = (300u16, -65i32, "Hall", true, None::<u8>);
    let written = [
        0xac, 0x02, 0x81, 0x01, 0x04, 0x48, 0x61, 0x6c, 0x6c, 0x01, 0x00,
    ];
    assert_eq!(bytes(postcard::to_stdvec(&fields)), written);
    assert_eq!(read(&written), Some(fields));
    for refused in [&[0x80, 0x80, 0x80, 0x00][..], &[0xff, 0xff, 0x07], &[5, 0]] {
        assert_eq!(read::<u16>(refused), None);
    }
}
