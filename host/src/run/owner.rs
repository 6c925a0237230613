//! The thread that owns the station: presses come in by messages, pictures and sounds go out. What a press does is left to
//! the station, how it came to the server.

use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use embedded_graphics::draw_target::DrawTargetExt;
use embedded_graphics::pixelcolor::BinaryColor;
use file_record::{FileRecord, FileSettings};
use shared_model::messages::{ScreenSize, StationId};
use shared_model::{DigestText, PieceId, Place, SawList};
use station::link::{About, Link};
use station::machine::{Input, Over};
use station::record::Record;
use station::runner::{Outcome, Runner};
use station::screen::{Panel, Screen};
use station::settings::{Settings, SettingsKeeper};
use station::view::View;
use tokio::sync::{broadcast, oneshot, watch};

use super::frame::Frame;
use super::line::Line;
use super::press::{Answer, Press, Windows};
use super::shown::{Shown, State, Told, loudness, sound};
use super::{record, recorder};
use crate::say;

/// So many sounds and states wait for a window that is slow; then it is only told the latest.
const WAITING: usize = 64;

/// What the station's thread is told.
pub enum Message {
    /// A press, and where its answer goes.
    Press(Press, oneshot::Sender<Answer>),
    /// Bytes on the line from the job record, and where the answer goes.
    Asked(Vec<u8>, Sender<Vec<u8>>),
    /// Why presses do not come into the job record; none when they do again.
    NotRecorded(Option<String>),
    /// The thread is to end.
    Stop,
}

/// A way to the station for the server.
#[derive(Clone)]
pub struct Handle {
    messages: Sender<Message>,
    shown: watch::Receiver<Shown>,
    told: broadcast::Sender<Told>,
}

impl Handle {
    /// Presses a key; the answer comes when the station has stored what follows from it. None where the station is gone.
    pub async fn press(&self, press: Press) -> Option<Answer> {
        let (reply, answer) = oneshot::channel();
        self.messages.send(Message::Press(press, reply)).ok()?;
        answer.await.ok()
    }

    /// Shows why presses do not come into the job record, or that they do again.
    pub fn not_recorded(&self, why: Option<String>) {
        // where the station is gone nobody is left to be shown it
        let _ = self.messages.send(Message::NotRecorded(why));
    }

    /// The picture and the state as they are now.
    pub fn shown(&self) -> watch::Ref<'_, Shown> {
        self.shown.borrow()
    }

    /// What is told from now on.
    pub fn listen(&self) -> broadcast::Receiver<Told> {
        self.told.subscribe()
    }
}

/// The running station.
pub struct Owner {
    thread: JoinHandle<String>,
    handle: Handle,
}

impl Owner {
    /// Starts the thread; the station's time begins now.
    ///
    /// `stored` is told whenever an event has been stored.
    pub fn start(
        runner: Runner<FileRecord>,
        keeper: FileSettings,
        panel: Panel,
        station: StationId,
        stored: Sender<recorder::Told>,
    ) -> Owner {
        let (messages, inbox) = mpsc::channel();
        let mut station = Station::new(runner, keeper, panel, station, stored);
        let (out, shown) = watch::channel(station.draw_all());
        let (told, _) = broadcast::channel(WAITING);
        let handle = Handle {
            messages,
            shown,
            told: told.clone(),
        };
        let thread = thread::spawn(move || station.work(&inbox, &out, &told));
        Owner { thread, handle }
    }

    /// A way to the station.
    pub fn handle(&self) -> Handle {
        self.handle.clone()
    }

    /// A line to the station.
    pub fn line(&self) -> Line {
        Line::to(self.handle.messages.clone())
    }

    /// Stops the thread; how far the list is.
    pub fn stop(self) -> String {
        // the thread ends by itself where it cannot be told to
        let _ = self.handle.messages.send(Message::Stop);
        let told = self.thread.join();
        told.unwrap_or_else(|_| "the station stopped by itself".to_owned())
    }
}

struct Station {
    runner: Runner<FileRecord>,
    keeper: FileSettings,
    screen: Screen,
    frame: Frame,
    panel: Panel,
    view: View,
    windows: Windows,
    started: Instant,
    session: String,
    version: u64,
    trouble: Option<String>,
    not_recorded: Option<String>,
    link: Link,
    stored: Sender<recorder::Told>,
    /// The last event of which `stored` was told.
    told_of: u32,
}

impl Station {
    fn new(
        mut runner: Runner<FileRecord>,
        keeper: FileSettings,
        panel: Panel,
        station: StationId,
        stored: Sender<recorder::Told>,
    ) -> Station {
        let screen = Screen::new(panel);
        runner.set_leaves(screen.leaves());
        let read = keeper.read();
        if let Err(error) = read {
            say::tell(format_args!("{error}\n"));
        }
        // the light is told with the first state
        runner.set_settings(read);
        Station {
            link: Link::new(about(station, panel)),
            stored,
            told_of: runner.record().last_sequence(),
            view: runner.view(),
            screen,
            keeper,
            frame: Frame::new(panel.width, panel.height),
            panel,
            windows: Windows::default(),
            started: Instant::now(),
            session: session(runner.record().boot()),
            version: 0,
            trouble: None,
            not_recorded: None,
            runner,
        }
    }

    fn now(&self) -> u32 {
        // the station's clock is a u32 that wraps
        self.started.elapsed().as_millis() as u32
    }

    fn work(
        &mut self,
        inbox: &Receiver<Message>,
        out: &watch::Sender<Shown>,
        told: &broadcast::Sender<Told>,
    ) -> String {
        loop {
            let received = match self.runner.wake_at() {
                Some(moment) => {
                    let left = moment.wrapping_sub(self.now()).cast_signed().max(0);
                    inbox.recv_timeout(Duration::from_millis(u64::from(left.unsigned_abs())))
                }
                None => inbox.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            match received {
                Ok(Message::Press(press, reply)) => {
                    let answer = self.press(&press, out, told);
                    // a window that has gone away wants no answer
                    let _ = reply.send(answer);
                }
                Err(RecvTimeoutError::Timeout) => {
                    let outcome = self.runner.take(Input::Time, self.now());
                    self.tell(outcome, out, told);
                }
                Ok(Message::Asked(bytes, reply)) => {
                    let now = self.now();
                    let outcome = self.link.take(&bytes, &mut self.runner, now);
                    self.tell(outcome, out, told);
                    let answer = self.link.to_send().to_vec();
                    self.link.sent(answer.len());
                    // who asked may have gone away
                    let _ = reply.send(answer);
                }
                Ok(Message::NotRecorded(why)) => {
                    self.not_recorded = why;
                    self.show(out, told);
                }
                Ok(Message::Stop) | Err(RecvTimeoutError::Disconnected) => {
                    return record::progress(&self.runner);
                }
            }
            let last = self.runner.record().last_sequence();
            if last != self.told_of {
                self.told_of = last;
                // the job record may be out of reach, and the station keeps its events all the same
                let _ = self.stored.send(recorder::Told::Stored);
            }
        }
    }

    fn press(
        &mut self,
        press: &Press,
        out: &watch::Sender<Shown>,
        told: &broadcast::Sender<Told>,
    ) -> Answer {
        if press.session != self.session {
            return Answer::OtherSession;
        }
        if let Some(answer) = self.windows.answered(press) {
            return answer;
        }
        let input = press.key.0;
        // digits only look, and are typed faster than a picture comes
        let judged = !matches!(input, Input::Digit(_));
        let seen = self.over().or(self.piece().map(|id| id.to_string()));
        let answer = if judged && press.seen != seen {
            Answer::MovedOn
        } else {
            let before = self.runner.record().last_sequence();
            let outcome = self.runner.take(input, self.now());
            self.tell(outcome, out, told);
            Answer::Taken {
                stored: self.runner.record().last_sequence() != before,
                version: self.version,
                done: self.state().done,
            }
        };
        self.windows.remember(press, answer);
        answer
    }

    /// Keeps settings that an input changed; the screen says so where that fails.
    fn keep(&mut self, settings: &Settings, outcome: &mut Outcome) {
        let Err(error) = self.keeper.keep(settings) else {
            return;
        };
        say::tell(format_args!("{error}\n"));
        let told = self.runner.take(Input::SettingsNotKept, self.now());
        outcome.beep = told.beep.or(outcome.beep);
        outcome.draw |= told.draw;
    }

    /// Tells every window what an input brought about.
    fn tell(
        &mut self,
        mut outcome: Outcome,
        out: &watch::Sender<Shown>,
        told: &broadcast::Sender<Told>,
    ) {
        if let Some(settings) = outcome.keep {
            self.keep(&settings, &mut outcome);
        }
        let trouble = outcome.trouble.map(|error| {
            let reason = self.runner.record().trouble();
            let reason = reason.map_or_else(String::new, |reason| format!(" ({reason})"));
            format!("{error}{reason}")
        });
        if let Some(trouble) = &trouble {
            say::tell(format_args!("{trouble}\n"));
        }
        if outcome.draw || trouble != self.trouble {
            self.trouble = trouble;
            self.show(out, told);
        }
        if let Some(beep) = outcome.beep {
            let _ = told.send(Told::Sound(sound(beep)));
        }
    }

    /// Shows every window how the station stands now.
    fn show(&mut self, out: &watch::Sender<Shown>, told: &broadcast::Sender<Told>) {
        self.version += 1;
        let shown = self.redraw();
        let state = shown.state.clone();
        out.send_replace(shown);
        // no window may be listening
        let _ = told.send(Told::State(Box::new(state)));
    }

    fn draw_all(&mut self) -> Shown {
        let Ok(()) = match self.screen.leaves() {
            1 => self.screen.draw(&self.view, &mut self.frame),
            _ => self
                .screen
                .draw(&self.view, &mut self.frame.color_converted::<BinaryColor>()),
        };
        self.shown()
    }

    fn redraw(&mut self) -> Shown {
        let view = self.runner.view();
        let Ok(()) = match self.screen.leaves() {
            1 => self.screen.redraw(&self.view, &view, &mut self.frame),
            _ => {
                let mut bits = self.frame.color_converted::<BinaryColor>();
                self.screen.redraw(&self.view, &view, &mut bits)
            }
        };
        self.view = view;
        self.shown()
    }

    fn shown(&self) -> Shown {
        Shown {
            state: self.state(),
            // a picture in memory has nothing that could fail; an empty one shows as missing
            png: self.frame.png().unwrap_or_default(),
        }
    }

    fn state(&self) -> State {
        let head = self.runner.record().list().map(SawList::head);
        let place = self.runner.place();
        let current = place.and_then(Place::current);
        let progress = place.map(Place::progress).unwrap_or_default();
        State {
            session: self.session.clone(),
            version: self.version,
            level: head.map_or_else(String::new, |head| head.level.to_string()),
            digest: head.map_or_else(String::new, |head| DigestText(head.digest).to_string()),
            width: self.panel.width,
            height: self.panel.height,
            piece: self.piece().map(|id| id.to_string()),
            over: self.over(),
            light: self.runner.settings().light.thousandths(),
            loudness: loudness(self.runner.settings().sound),
            number: current.map(|index| index + 1),
            pieces: progress.pieces,
            done: progress.done,
            aside: progress.aside,
            again: progress.again,
            no_stick: progress.no_stick,
            not_in_list: progress.not_in_list,
            damage: self.damage(),
            trouble: self.trouble.clone(),
            not_recorded: self.not_recorded.clone(),
        }
    }

    fn damage(&self) -> Option<String> {
        let damage = self.runner.record().damage();
        let sentences: Vec<String> = damage.iter().map(ToString::to_string).collect();
        (!sentences.is_empty()).then(|| sentences.join("; "))
    }

    /// What lies over the piece, by the names of the state.
    fn over(&self) -> Option<String> {
        Some(match self.runner.over()? {
            Over::Menu => "menu".to_owned(),
            Over::Settings => "settings".to_owned(),
            Over::Jump => "jump".to_owned(),
            Over::Card(number) => format!("card {number}"),
        })
    }

    /// The piece to be cut.
    fn piece(&self) -> Option<PieceId> {
        let place = self.runner.place()?;
        place.id(place.current()?)
    }
}

/// What the station says of itself.
pub fn about(station: StationId, panel: Panel) -> About {
    // both texts fit; a text that did not would be missing and nothing else
    let text = |text: &str| text.try_into().unwrap_or_default();
    About {
        station,
        board: text("page on this computer"),
        firmware: text(env!("CARGO_PKG_VERSION")),
        screen: ScreenSize {
            width: panel.width as u16,
            height: panel.height as u16,
        },
    }
}

/// A name for this running of the station that no other one had.
fn session(boot: u16) -> String {
    let time = SystemTime::now().duration_since(UNIX_EPOCH);
    let time = time.unwrap_or_default().as_nanos();
    format!("{boot}-{time:x}")
}
