//! What a program may take: a small file beside the board, and holding sizes against it. Measuring is left to others.

use std::str::FromStr;

/// What a program may take, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Flash.
    pub flash: u32,
    /// Memory that is taken before the program starts.
    pub ram: u32,
    /// The deepest that the stack may be; whether it is, is measured in the emulator.
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
    /// Holds sizes against the budget, in a chip with so much memory: half of what is not taken before the start is more
    /// than the stack may need.
    ///
    /// # Errors
    /// The same sentences, where one is over.
    pub fn hold(&self, flash: u32, ram: u32, memory: u32) -> Result<String, String> {
        let half = memory.saturating_sub(ram) / 2;
        let sizes = [
            ("flash", flash, self.flash),
            ("ram", ram, self.ram),
            ("stack", self.stack, half),
        ];
        let over = sizes.iter().any(|(_, size, most)| size > most);
        let lines = sizes.map(|(name, size, most)| {
            let mark = if size > most { ": OVER" } else { "" };
            format!("{name:6}{size:8} of {most} bytes{mark}")
        });
        let told = lines.join("\n");
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
        let held =
            "flash     1000 of 1000 bytes\nram        200 of 200 bytes\nstack       30 of 30 bytes";
        assert_eq!(budget.hold(1000, 200, 260), Ok(held.to_owned()));
        let over = "flash     1001 of 1000 bytes: OVER\nram          1 of 200 bytes\nstack       30 of 129 bytes";
        assert_eq!(budget.hold(1001, 1, 260), Err(over.to_owned()));
        let deep = "flash        1 of 1000 bytes\nram        200 of 200 bytes\nstack       30 of 29 bytes: OVER";
        assert_eq!(budget.hold(1, 200, 259), Err(deep.to_owned()));
    }
}
