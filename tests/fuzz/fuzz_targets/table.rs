//! Tables: a header is put above what comes, so that it is always read as one; the first byte says which header and what
//! parts the cells.

#![no_main]

mod shared;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let delimiter = [",", ";", "\t"][usize::from(*first) % 3];
    let columns: &[&str] = match usize::from(*first) / 3 % 3 {
        0 => &[
            "room", "moulding", "kind", "length", "corner", "gauge", "left", "right", "enter",
            "open", "island", "from", "to",
        ],
        1 => &[
            "room", "wall", "moulding", "length", "left", "right", "remark",
        ],
        _ => return shared::read_and_write(rest),
    };
    let header = columns.join(delimiter);
    let top = [
        "level",
        "x\nmoulding",
        "base\nhigh",
        "5\nhigh thick",
        "1\nhigh profile",
        "0\nstick",
        "192\n",
    ]
    .join(delimiter);
    let kind = if columns.len() == 7 { "cut list\n" } else { "" };
    let mut text = format!("{kind}{top}{header}\n").into_bytes();
    text.extend_from_slice(rest);
    shared::read_and_write(&text);
});
