//! What a program may take: a small file beside the board, and holding sizes against it. Measuring is left to others.

use std::fmt::Write;
use std::str::FromStr;

/// What a program may take, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Flash.
    pub flash: u32,
    /// Memory that is taken before the program starts.
    pub ram: u32,
    /// The deepest that the stack may be; measured in the emulator, not here.
    pub stack: u32,
}

impl FromStr for Budget {
    type Err = String;

    /// Lines of a word and a number of bytes; `#` begins a remark.
    fn from_str(text: &str) -> Result<Budget, String> {
        let bytes = |name: &str| {
            let lines = text
                .lines()
                .map(|line| line.split('#').next().unwrap_or_default());
            let mut found = lines.filter_map(|line| line.trim().strip_prefix(name));
            let number = found.next().ok_or_else(|| format!("{name} is missing"))?;
            number
                .trim()
                .parse()
                .map_err(|_| format!("{name} is to be a number of bytes"))
        };
        Ok(Budget {
            flash: bytes("flash")?,
            ram: bytes("ram")?,
            stack: bytes("stack")?,
        })
    }
}

impl Budget {
    /// Holds sizes against the budget.
    ///
    /// # Errors
    /// The same sentences, where one is over.
    pub fn hold(&self, flash: u32, ram: u32) -> Result<String, String> {
        let mut told = String::new();
        let mut over = false;
        for (name, size, most) in [("flash", flash, self.flash), ("ram", ram, self.ram)] {
            let mark = if size > most { ": OVER" } else { "" };
            over |= size > most;
            // writing to a string does not fail
            let _ = writeln!(told, "{name:6}{size:8} of {most} bytes{mark}");
        }
        let told = told.trim_end().to_owned();
        if over { Err(told) } else { Ok(told) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_budget_is_read_with_its_remarks() {
        let text = "# bytes\nflash 1000 # in all\nram 200\nstack 30\n";
        let budget = Budget {
            flash: 1000,
            ram: 200,
            stack: 30,
        };
        assert_eq!(text.parse(), Ok(budget));
        assert_eq!(
            "flash 1\nram x\nstack 3".parse::<Budget>(),
            Err("ram is to be a number of bytes".to_owned())
        );
        assert_eq!(
            "flash 1\nram 2".parse::<Budget>(),
            Err("stack is missing".to_owned())
        );
    }

    #[test]
    fn what_is_over_is_told_and_fails() {
        let budget = Budget {
            flash: 1000,
            ram: 200,
            stack: 30,
        };
        assert_eq!(
            budget.hold(1000, 200),
            Ok("flash     1000 of 1000 bytes\nram        200 of 200 bytes".to_owned())
        );
        assert_eq!(
            budget.hold(1001, 1),
            Err("flash     1001 of 1000 bytes: OVER\nram          1 of 200 bytes".to_owned())
        );
    }
}
