//! The kernel's own display (DRM/KMS). How the picture lies on it is left to `fit`.
//!
//! The older framebuffer device would be simpler. This one names its outputs and says which has a screen, takes the
//! display for one program (the console's text stays away, and whoever has it already is noticed), gives it back however
//! the program ends, and drives what hangs on HDMI, on the ribbon cable and on SPI alike, a SPI panel through the kernel's
//! own driver for it.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind};
use std::os::fd::{AsFd, BorrowedFd};
use std::path::{Path, PathBuf};

use drm::buffer::{Buffer, DrmFourcc};
use drm::control::dumbbuffer::DumbMapping;
use drm::control::{ClipRect, Device, Mode, ModeTypeFlags, connector, crtc, framebuffer};
use embedded_graphics::primitives::Rectangle;
use station::screen::Panel;
use station::settings::Light;

use super::Display;
use crate::fit::Fit;
use crate::frame::Frame;
use crate::light::{LIGHTS, Lights};
use crate::settings;
use crate::trouble::Trouble;

const FOLDER: &str = "/dev/dri";
/// A screen with more than this gets a picture of fewer pixels, where it takes one: more would only be enlarged.
const MOST: (u16, u16) = (1920, 1200);

struct Card(File);

impl AsFd for Card {
    fn as_fd(&self) -> BorrowedFd<'_> {
        self.0.as_fd()
    }
}

impl drm::Device for Card {}
impl Device for Card {}

/// A screen of the kernel's.
pub struct Kms {
    device: PathBuf,
    card: Card,
    output: connector::Handle,
    crtc: crtc::Handle,
    mode: Mode,
    /// The screen's memory: mapped once, since a new mapping has to be filled in page by page.
    memory: DumbMapping<'static>,
    /// Bytes from one of its rows to the next.
    stride: usize,
    picture: framebuffer::Handle,
    fit: Fit,
    lights: Lights,
    /// The picture is on the screen.
    shown: bool,
}

impl Kms {
    /// Takes the first display with a screen on it, or the one on the output that is asked for. Nothing is shown yet.
    ///
    /// # Errors
    /// There is none, the right to use it is missing, another program has it, or it fails.
    pub fn open(wanted: &settings::Screen) -> Result<Kms, Trouble> {
        let mut outputs = Vec::new();
        let mut refused = None;
        for device in cards() {
            let card = match OpenOptions::new().read(true).write(true).open(&device) {
                Ok(file) => Card(file),
                Err(error) if error.kind() == ErrorKind::PermissionDenied => {
                    let group = "video";
                    refused.get_or_insert(Trouble::NoRight { device, group });
                    continue;
                }
                Err(error) => {
                    refused.get_or_insert(Trouble::Screen(device, error));
                    continue;
                }
            };
            // a card that only computes has no outputs
            let Ok(resources) = card.resource_handles() else {
                continue;
            };
            for handle in resources.connectors() {
                let Ok(output) = card.get_connector(*handle, true) else {
                    continue;
                };
                let name = format!("{}-{}", output.interface().as_str(), output.interface_id());
                let chosen = wanted
                    .output
                    .0
                    .as_ref()
                    .is_none_or(|wanted| *wanted == name);
                let has_screen = output.state() == connector::State::Connected;
                outputs.push(name);
                if let (true, true, Some(mode)) = (chosen, has_screen, mode_of(&output)) {
                    return Kms::on(device, card, &output, mode, wanted);
                }
            }
        }
        let output = wanted.output.0.clone();
        Err(refused.unwrap_or(Trouble::NoScreen { output, outputs }))
    }

    fn on(
        device: PathBuf,
        card: Card,
        output: &connector::Info,
        mode: Mode,
        wanted: &settings::Screen,
    ) -> Result<Kms, Trouble> {
        if drm::Device::acquire_master_lock(&card).is_err() {
            return Err(Trouble::ScreenTaken(device));
        }
        let (columns, rows) = mode.size();
        let (columns, rows) = (u32::from(columns), u32::from(rows));
        let fit = Fit::on(columns, rows, wanted.picture.0);
        let fit = fit.ok_or(Trouble::ScreenTooSmall(columns, rows))?;
        let set_up = || -> io::Result<_> {
            let crtc = crtc_of(&card, output)?;
            let buffer = card.create_dumb_buffer((columns, rows), DrmFourcc::Xrgb8888, 32)?;
            let picture = card.add_framebuffer(&buffer, 24, 32)?;
            let stride = buffer.pitch() as usize;
            // the screen is the station's until the program ends
            let buffer = Box::leak(Box::new(buffer));
            Ok((crtc, picture, stride, card.map_dumb_buffer(buffer)?))
        };
        match set_up() {
            Ok((crtc, picture, stride, memory)) => Ok(Kms {
                output: output.handle(),
                device,
                card,
                crtc,
                mode,
                memory,
                stride,
                picture,
                fit,
                lights: Lights::in_folder(Path::new(LIGHTS)),
                shown: false,
            }),
            Err(error) => Err(Trouble::Screen(device, error)),
        }
    }

    /// What is shown, for a person: where, how large, how enlarged.
    pub fn told(&self) -> String {
        let (columns, rows) = self.mode.size();
        let panel = self.fit.panel;
        format!(
            "{}, {columns}x{rows}, a picture of {}x{} {} times as large",
            self.device.display(),
            panel.width,
            panel.height,
            self.fit.times
        )
    }

    fn put(&mut self, frame: &Frame, area: Rectangle) -> io::Result<()> {
        if !self.shown {
            self.memory.fill(0);
        }
        let covered = self.fit.paint(frame, area, &mut self.memory, self.stride);
        if !self.shown {
            let outputs = [self.output];
            let picture = Some(self.picture);
            self.card
                .set_crtc(self.crtc, picture, (0, 0), &outputs, Some(self.mode))?;
            self.shown = true;
            return Ok(());
        }
        let Some(end) = covered.bottom_right() else {
            return Ok(());
        };
        let corner = covered.top_left;
        let clip = ClipRect::new(
            corner.x as u16,
            corner.y as u16,
            end.x as u16 + 1,
            end.y as u16 + 1,
        );
        match self.card.dirty_framebuffer(self.picture, &[clip]) {
            // a display that reads the memory by itself need not be told
            Err(error) if error.kind() == ErrorKind::Unsupported => Ok(()),
            told => told,
        }
    }
}

impl Display for Kms {
    fn panel(&self) -> Panel {
        self.fit.panel
    }

    fn show(&mut self, frame: &Frame, area: Rectangle) -> Result<(), Trouble> {
        let shown = self.put(frame, area);
        shown.map_err(|error| Trouble::Screen(self.device.clone(), error))
    }

    fn light(&mut self, light: Light) {
        self.lights.set(light);
    }
}

/// The cards, in the kernel's order.
fn cards() -> Vec<PathBuf> {
    let entries = fs::read_dir(FOLDER).into_iter().flatten().flatten();
    let is_card = |entry: &fs::DirEntry| entry.file_name().to_string_lossy().starts_with("card");
    let mut cards: Vec<PathBuf> = entries.filter(is_card).map(|entry| entry.path()).collect();
    cards.sort();
    cards
}

/// The size that the screen prefers, unless it has far more pixels than are of use.
fn mode_of(output: &connector::Info) -> Option<Mode> {
    let modes = output.modes();
    let preferred = |mode: &&Mode| mode.mode_type().contains(ModeTypeFlags::PREFERRED);
    let first = modes.iter().find(preferred).or(modes.first())?;
    let is_of_use = |mode: &&Mode| mode.size().0 <= MOST.0 && mode.size().1 <= MOST.1;
    if is_of_use(&first) {
        return Some(*first);
    }
    let pixels = |mode: &&Mode| u32::from(mode.size().0) * u32::from(mode.size().1);
    let smaller = modes.iter().filter(is_of_use).max_by_key(pixels);
    Some(*smaller.unwrap_or(first))
}

fn crtc_of(card: &Card, output: &connector::Info) -> io::Result<crtc::Handle> {
    let resources = card.resource_handles()?;
    let encoders = output.encoders().iter();
    let encoders = encoders.filter_map(|encoder| card.get_encoder(*encoder).ok());
    let mut crtcs = encoders.flat_map(|encoder| resources.filter_crtcs(encoder.possible_crtcs()));
    crtcs
        .next()
        .ok_or_else(|| io::Error::other("nothing drives this output"))
}
