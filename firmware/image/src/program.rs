//! A linked program (ELF): which chip it is for, what lies in flash, what it takes of the memory. What is made of it is left
//! to others.

use std::fmt;

use object::read::elf::{ElfFile32, ProgramHeader};
use object::{Endianness, Object, ObjectSection, SectionKind};

/// A chip that a program can be for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chip {
    /// The Pico's.
    Rp2040,
    /// The Pico 2's.
    Rp2350,
}

impl Chip {
    /// Bytes of memory.
    pub const fn memory(self) -> u32 {
        match self {
            Chip::Rp2040 => 264 * 1024,
            Chip::Rp2350 => 520 * 1024,
        }
    }
}

impl fmt::Display for Chip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Chip::Rp2040 => "RP2040 (Pico)",
            Chip::Rp2350 => "RP2350 (Pico 2)",
        })
    }
}

/// A linked program.
#[derive(Debug)]
pub struct Program {
    /// The chip it is for.
    pub chip: Chip,
    /// What lies in flash: address and bytes, in the order of the addresses.
    pub parts: Vec<(u32, Vec<u8>)>,
    /// Bytes of memory that it takes before it starts, the stack not counted.
    pub ram: u32,
}

/// Why a file is not a program for a Pico.
#[derive(Debug, PartialEq, Eq)]
pub enum NoProgram {
    /// this is no program that a Pico's linker makes
    NotElf(String),
    /// this program is for neither chip: it has neither the one's loader nor the other's start block
    NoChip,
    /// this program has nothing to put in flash
    Empty,
}

impl fmt::Display for NoProgram {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoProgram::NotElf(why) => write!(f, "this is no program that a Pico's linker makes: {why}"),
            NoProgram::NoChip => f.write_str(
                "this program is for neither chip: it has neither the one's loader nor the other's start block",
            ),
            NoProgram::Empty => f.write_str("this program has nothing to put in flash"),
        }
    }
}

/// Where both chips' flash lies.
const FLASH: std::ops::Range<u32> = 0x1000_0000..0x1100_0000;

impl Program {
    /// Reads a program from its file's bytes.
    ///
    /// # Errors
    /// Every [`NoProgram`].
    pub fn read(bytes: &[u8]) -> Result<Program, NoProgram> {
        let not_elf = |error: object::Error| NoProgram::NotElf(error.to_string());
        let file = ElfFile32::<Endianness>::parse(bytes).map_err(not_elf)?;
        // what each chip looks for in flash before it starts a program, by the names that the linker scripts give it
        let has = |name| {
            file.section_by_name(name)
                .is_some_and(|section| section.size() > 0)
        };
        let chip = match (has(".boot2"), has(".start_block")) {
            (true, false) => Chip::Rp2040,
            (false, true) => Chip::Rp2350,
            _ => return Err(NoProgram::NoChip),
        };
        let endian = file.endian();
        let mut parts = Vec::new();
        for header in file.elf_program_headers() {
            let address = header.p_paddr(endian);
            let data = header
                .data(endian, bytes)
                .map_err(|()| NoProgram::NotElf("it is cut off".to_owned()))?;
            let loads = header.p_type(endian) == object::elf::PT_LOAD;
            if loads && FLASH.contains(&address) && !data.is_empty() {
                parts.push((address, data.to_vec()));
            }
        }
        if parts.is_empty() {
            return Err(NoProgram::Empty);
        }
        parts.sort_by_key(|(address, _)| *address);
        let in_memory = |kind| matches!(kind, SectionKind::Data | SectionKind::UninitializedData);
        let ram = file.sections().filter(|section| in_memory(section.kind()));
        Ok(Program {
            chip,
            parts,
            ram: ram.map(|section| section.size() as u32).sum(),
        })
    }

    /// Bytes of flash that it takes.
    pub fn flash(&self) -> u32 {
        self.parts.iter().map(|(_, bytes)| bytes.len() as u32).sum()
    }
}
