//! The plan for people: as text for a terminal, a phone or a printer, and as one printable page. What the plan is, is the
//! planner's; what is set at the saw, the saw view's; the form for programs is `form::plan`.

mod bar;
pub mod fit;
mod page;
mod text;
pub mod words;

pub use page::page;
pub use text::text;

/// How a text may look where it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Look {
    /// Only letters and signs of ASCII, but for the names that the file gives.
    pub ascii: bool,
    /// Headings and findings in colour; nothing is told by colour alone.
    pub colour: bool,
}

#[cfg(test)]
mod tests;
