//! The UF2 form (github.com/microsoft/uf2): blocks of 512 bytes, each with 256 of the program and where they belong. What
//! the program is is left to `program`.

use crate::program::{Chip, Program};

const PAGE: u32 = 256;
const FIRST: u32 = 0x0a32_4655;
const SECOND: u32 = 0x9e5d_5157;
const LAST: u32 = 0x0ab1_6f30;
const HAS_FAMILY: u32 = 0x2000;

/// A block as it stands in the file.
pub type Block = [u8; 512];

/// The number by which a board knows that a file is for its chip (utils/uf2families.json of the same repository).
pub const fn family(chip: Chip) -> u32 {
    match chip {
        Chip::Rp2040 => 0xe48b_ff56,
        Chip::Rp2350 => 0xe48b_ff59,
    }
}

/// A program as blocks, each for one page of flash; what a page holds besides the program is zero.
pub fn blocks(program: &Program) -> Vec<Block> {
    let pages = pages(program);
    let count = pages.len() as u32;
    let family = family(program.chip);
    (0..count)
        .zip(&pages)
        .map(|(number, (address, bytes))| {
            let mut block = [0; 512];
            let head = [
                FIRST, SECOND, HAS_FAMILY, *address, PAGE, number, count, family,
            ];
            for (at, word) in head.iter().enumerate() {
                block[4 * at..][..4].copy_from_slice(&word.to_le_bytes());
            }
            block[32..][..PAGE as usize].copy_from_slice(bytes);
            block[508..].copy_from_slice(&LAST.to_le_bytes());
            block
        })
        .collect()
}

/// The pages that a program touches, in order; two of its parts may share one.
fn pages(program: &Program) -> Vec<(u32, [u8; PAGE as usize])> {
    let mut pages: Vec<(u32, [u8; PAGE as usize])> = Vec::new();
    for (address, bytes) in &program.parts {
        for (at, byte) in (*address..).zip(bytes) {
            let page = at - at % PAGE;
            if pages.last().is_none_or(|(last, _)| *last != page) {
                pages.push((page, [0; PAGE as usize]));
            }
            if let Some((_, bytes)) = pages.last_mut() {
                bytes[(at - page) as usize] = *byte;
            }
        }
    }
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(block: &Block, at: usize) -> u32 {
        u32::from_le_bytes(block[at..at + 4].try_into().expect("four bytes"))
    }

    #[test]
    fn blocks_are_as_the_form_says() {
        let program = Program {
            chip: Chip::Rp2350,
            parts: vec![
                (0x1000_0000, vec![1; 300]),
                // in the page in which the part before ends
                (0x1000_0180, vec![2; 10]),
                (0x1000_0400, vec![3; 256]),
            ],
            ram: 0,
        };
        let blocks = blocks(&program);
        let addresses: Vec<u32> = blocks.iter().map(|block| word(block, 12)).collect();
        assert_eq!(addresses, [0x1000_0000, 0x1000_0100, 0x1000_0400]);
        for (number, block) in (0..).zip(&blocks) {
            let head: Vec<u32> = (0..8).map(|at| word(block, 4 * at)).collect();
            // the words of the form's own page, with the chip's family
            let expected = [
                0x0a32_4655,
                0x9e5d_5157,
                0x2000,
                addresses[number as usize],
                256,
                number,
                3,
                0xe48b_ff59,
            ];
            assert_eq!(head, expected);
            assert_eq!(word(block, 508), 0x0ab1_6f30);
        }
        assert_eq!(blocks[1][32..32 + 44], [1; 44]);
        assert_eq!(blocks[1][32 + 44..32 + 128], [0; 84]);
        assert_eq!(blocks[1][32 + 128..32 + 138], [2; 10]);
    }

    #[test]
    fn each_chip_has_a_family_of_its_own() {
        assert_ne!(family(Chip::Rp2040), family(Chip::Rp2350));
    }
}
