//! What lies over the piece: the menu, the settings, the jump to a number, and the cards before a list. Nothing here moves
//! the place or stores an event; the keys of a piece itself are in `keys`, the words of a page on the screen.

use shared_model::{Place, SawList};

use super::{Effects, Key, Looking, Machine, Over, scrap};
use crate::settings::Setting;
use crate::timing::{DIGITS_STAND, MENU_RETURNS};
use crate::view::{Banner, Body, MenuRow, PageView, ScrapView};
use crate::work::Card;

/// So many pieces are stepped over at once.
const STEP: u16 = 10;

/// A page that the person opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Page {
    Menu {
        chosen: MenuRow,
    },
    Settings {
        chosen: Setting,
    },
    Jump {
        number: u16,
        /// By digits: the next one stands behind them.
        typed: bool,
    },
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Opened {
    pub(super) page: Page,
    since: u32,
}

impl Machine {
    pub(super) fn open_menu(&mut self) {
        let chosen = MenuRow::ALL[0];
        self.open(Page::Menu { chosen });
    }

    fn open(&mut self, page: Page) {
        let since = self.now;
        self.page = Some(Opened { page, since });
    }

    pub(super) fn page_ends(&self) -> Option<u32> {
        let opened = self.page.as_ref()?;
        let stands = match opened.page {
            Page::Menu { .. } | Page::Settings { .. } => MENU_RETURNS,
            Page::Jump { .. } => DIGITS_STAND,
        };
        (!self.pressed()).then(|| opened.since.wrapping_add(stands))
    }

    /// A press while a page is open: it stays for its time anew.
    pub(super) fn press_on_page(&mut self, key: Key, effects: &mut Effects) {
        let Some(Opened { page, .. }) = self.page else {
            return;
        };
        self.open(page);
        match (page, key) {
            (_, Key::Menu) => self.page = None,
            (_, Key::SetAside | Key::CutAgain | Key::BadStick) => {
                self.refuse(Banner::NothingToDo, effects);
            }
            (Page::Menu { chosen }, Key::Done) => self.choose(chosen, effects),
            (Page::Menu { .. }, Key::TakeBack) => self.page = None,
            (Page::Menu { chosen }, key) => {
                let chosen = neighbour(&MenuRow::ALL, chosen, key == Key::LookAhead);
                self.open(Page::Menu { chosen });
            }
            (Page::Settings { chosen }, Key::Done) => self.set_next(chosen, effects),
            (Page::Settings { .. }, Key::TakeBack) => self.open_menu(),
            (Page::Settings { chosen }, key) => {
                let chosen = neighbour(&Setting::ALL, chosen, key == Key::LookAhead);
                self.open(Page::Settings { chosen });
            }
            (Page::Jump { number, .. }, Key::Done) => self.look_at(number, effects),
            (Page::Jump { number, typed }, Key::TakeBack) => match (typed, number / 10) {
                (true, left @ 1..) => {
                    let number = left;
                    self.open(Page::Jump { number, typed });
                }
                _ => self.page = None,
            },
            (Page::Jump { number, .. }, key) => {
                self.step(number, key == Key::LookAhead, effects);
            }
        }
    }

    fn choose(&mut self, row: MenuRow, effects: &mut Effects) {
        self.page = None;
        match row {
            MenuRow::Jump => {
                let shown = self.piece_shown().map(|(index, _)| index + 1);
                let number = shown.unwrap_or(self.pieces().min(1));
                // cards that are still to be passed stand before every piece
                if number == 0 || self.card.is_some() {
                    return self.refuse(Banner::NothingToDo, effects);
                }
                let typed = false;
                self.open(Page::Jump { number, typed });
            }
            MenuRow::Settings => {
                let chosen = Setting::ALL[0];
                self.open(Page::Settings { chosen });
            }
            MenuRow::Cards => self.card = Some(0),
            MenuRow::Leave => {}
        }
    }

    /// Ten pieces on or back, and at the ends of the list to its last or first.
    fn step(&mut self, number: u16, ahead: bool, effects: &mut Effects) {
        let last = self.pieces();
        let to = match ahead {
            true => number.saturating_add(STEP).min(last),
            false => number.min(last).saturating_sub(STEP).max(1),
        };
        if to == number {
            return self.refuse(Banner::NothingToDo, effects);
        }
        let (number, typed) = (to, false);
        self.open(Page::Jump { number, typed });
    }

    /// A digit goes behind those before it, or opens the page with it.
    pub(super) fn digit(&mut self, digit: u8, effects: &mut Effects) {
        self.word = None;
        if self.in_flight.is_some() {
            return self.refuse(Banner::StillStoring, effects);
        }
        let busy = self.card.is_some() || self.question.is_some();
        if busy || self.pieces() == 0 || digit > 9 {
            return self.refuse(Banner::NothingToDo, effects);
        }
        let before = match self.page.map(|opened| opened.page) {
            Some(Page::Jump {
                number,
                typed: true,
            }) => number,
            _ => 0,
        };
        match before.checked_mul(10).map(|tens| tens + u16::from(digit)) {
            Some(number @ 0..10_000) => {
                let typed = true;
                self.open(Page::Jump { number, typed });
            }
            _ => {
                let (number, pieces) = (before, self.pieces());
                self.refuse(Banner::NotInList { number, pieces }, effects);
            }
        }
    }

    /// Shows the piece of this number; the place stays.
    fn look_at(&mut self, number: u16, effects: &mut Effects) {
        let pieces = self.pieces();
        let Some(index) = number.checked_sub(1).filter(|index| *index < pieces) else {
            let (number, typed) = (number, false);
            self.open(Page::Jump { number, typed });
            return self.refuse(Banner::NotInList { number, pieces }, effects);
        };
        let since = self.now;
        let current = self.place.as_ref().and_then(Place::current);
        self.page = None;
        self.looking = (Some(index) != current).then_some(Looking {
            index,
            leaf: 0,
            since,
        });
    }

    fn set_next(&mut self, row: Setting, effects: &mut Effects) {
        let before = self.settings;
        self.settings = before.next(row, self.work.mark());
        effects.keep = Some(self.settings);
        effects.light = (self.settings.light != before.light).then_some(self.settings.light);
    }

    /// A press while a card is up leafs on, or back; the last one is passed only by "done".
    pub(super) fn press_on_card(&mut self, key: Key, effects: &mut Effects) {
        let at = self.card.unwrap_or(0);
        let last = self.work.cards().count() as u8 - 1;
        match key {
            Key::Done if at >= last => self.card = None,
            Key::Done | Key::LookAhead if at < last => self.card = Some(at + 1),
            Key::LookBack | Key::TakeBack if at > 0 => self.card = Some(at - 1),
            Key::Menu => self.open_menu(),
            _ => self.refuse(Banner::NothingToDo, effects),
        }
    }

    /// What lies over the piece, if anything does.
    pub fn over(&self) -> Option<Over> {
        let card = || self.card.map(|card| Over::Card(card + 1));
        let page = self.page.map(|opened| match opened.page {
            Page::Menu { .. } => Over::Menu,
            Page::Settings { .. } => Over::Settings,
            Page::Jump { .. } => Over::Jump,
        });
        page.or_else(card)
    }

    fn pieces(&self) -> u16 {
        self.place
            .as_ref()
            .map_or(0, |place| place.progress().pieces)
    }

    pub(super) fn page_view(&self) -> Option<Body> {
        Some(Body::Page(match self.shown.page? {
            Page::Menu { chosen } => PageView::Menu { chosen },
            Page::Settings { chosen } => PageView::Settings {
                settings: self.shown.settings,
                list: self.work.mark(),
                chosen,
            },
            Page::Jump { number, .. } => PageView::Jump {
                number,
                pieces: self.pieces(),
            },
        }))
    }

    pub(super) fn card_view(&self, list: Option<&impl SawList>) -> Option<Body> {
        let card = self.work.cards().nth(usize::from(self.shown.card?))?;
        let mark = self.shown.settings.mark(self.work.mark());
        if let Card::TestCut(joint) = card {
            let mut numbered = (1..).zip(self.work.test_cuts());
            return Some(Body::Scrap(ScrapView {
                joint,
                number: numbered.find(|(_, tested)| *tested == joint)?.0,
                of: self.work.test_cuts().count() as u8,
                board: scrap::board(list?, joint, &self.shown.settings)?,
            }));
        }
        Some(Body::Page(PageView::Card { card, mark }))
    }
}

/// The row after or before this one; beyond the last one the first comes again.
fn neighbour<T: Copy + PartialEq, const N: usize>(rows: &[T; N], row: T, ahead: bool) -> T {
    let at = rows.iter().position(|other| *other == row).unwrap_or(0);
    rows[match ahead {
        true => (at + 1) % N,
        false => (at + N - 1) % N,
    }]
}
