//! Taking events in: each counts once, in whatever order and however often it comes, and only what is on the disk is said
//! to be held. What events mean is left to `events`.

use std::ops::RangeInclusive;

use rusqlite::{OptionalExtension, Transaction, params};
use shared_model::Event;

use crate::moment::{ClockReading, Moment};
use crate::record::{JobRecord, RecordError};
use crate::row::{self, COLUMNS, Columns};
use crate::stations::{Log, adopt, know, revision_of_station};

/// Numbers of events that are not here.
pub type Gaps = Vec<RangeInclusive<u32>>;

/// What became of events that were taken in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taken {
    /// So many were new.
    pub new: usize,
    /// So many were here already.
    pub known: usize,
    /// Under these numbers other events are held: those that came now count for nothing and are kept apart.
    pub disputed: Vec<u32>,
    /// These numbers are missing among those that are here.
    pub gaps: Gaps,
    /// Every event up to this one is held.
    pub held: u32,
}

impl JobRecord {
    /// Takes a station's events in. `list_in_use` is the digest of the list that the station has; the clock is the one
    /// that the events were stored by.
    ///
    /// # Errors
    /// What is the matter with the record; none of the events is taken then.
    pub fn take(
        &mut self,
        log: Log,
        list_in_use: Option<u32>,
        events: &[Event],
        clock: ClockReading,
    ) -> Result<Taken, RecordError> {
        self.change(|transaction| {
            let id = know_log(transaction, log, clock.at)?;
            note_start(transaction, log, clock)?;
            let mut taken = Taken::default();
            for event in events {
                match kept(transaction, id, event.sequence)? {
                    Some(kept) if kept == *event => taken.known += 1,
                    None if event.sequence > 0 => {
                        put(transaction, id, log, list_in_use, event, clock)?;
                        taken.new += 1;
                    }
                    _ => {
                        put_apart(transaction, id, event, clock.at)?;
                        taken.disputed.push(event.sequence);
                    }
                }
            }
            if let Some(digest) = list_in_use
                && let Some((_, level)) = revision_of_station(transaction, log.station, digest)?
            {
                adopt(transaction, log.station, level)?;
            }
            (taken.held, taken.gaps) = hold(transaction, id)?;
            Ok(taken)
        })
    }

    /// Notes that a station does not have these events any more, so that those behind them can be held; up to where.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn note_lost(
        &mut self,
        log: Log,
        events: &RangeInclusive<u32>,
        at: Moment,
    ) -> Result<u32, RecordError> {
        self.change(|transaction| {
            let id = know_log(transaction, log, at)?;
            transaction.execute(
                "INSERT INTO lost (log, first, last, told) VALUES (?1, ?2, ?3, ?4) \
                 ON CONFLICT DO UPDATE SET last = max(last, ?3)",
                params![id, events.start(), events.end(), at.0],
            )?;
            hold(transaction, id).map(|(held, _)| held)
        })
    }
}

fn know_log(transaction: &Transaction<'_>, log: Log, at: Moment) -> rusqlite::Result<i64> {
    know(transaction, log.station, at)?;
    let station = log.station.to_string();
    transaction.execute(
        "INSERT INTO log (station, epoch, held, confirmed) VALUES (?1, ?2, 0, 0) ON CONFLICT DO NOTHING",
        params![station, log.epoch],
    )?;
    let id = "SELECT id FROM log WHERE station = ?1 AND epoch = ?2";
    transaction.query_row(id, params![station, log.epoch], |row| row.get(0))
}

fn note_start(
    transaction: &Transaction<'_>,
    log: Log,
    clock: ClockReading,
) -> rusqlite::Result<()> {
    transaction.execute(
        "INSERT INTO start (station, boot, began) VALUES (?1, ?2, ?3) ON CONFLICT DO UPDATE SET began = ?3",
        params![log.station.to_string(), clock.boot, clock.began().0],
    )?;
    Ok(())
}

fn kept(transaction: &Transaction<'_>, log: i64, sequence: u32) -> rusqlite::Result<Option<Event>> {
    let kept = format!("SELECT {COLUMNS} FROM event WHERE log = ?1 AND sequence = ?2");
    let mut kept = transaction.prepare_cached(&kept)?;
    kept.query_row(params![log, sequence], row::read).optional()
}

fn put(
    transaction: &Transaction<'_>,
    id: i64,
    log: Log,
    list_in_use: Option<u32>,
    event: &Event,
    clock: ClockReading,
) -> rusqlite::Result<()> {
    let columns = Columns::of(event.what);
    let level = match columns.list.or(list_in_use) {
        Some(digest) => revision_of_station(transaction, log.station, digest)?,
        None => None,
    };
    let level = level.map(|(_, level)| level);
    let (at, exact) = moment(transaction, log, event, clock)?;
    let mut put = transaction.prepare_cached(&format!(
        "INSERT INTO event (log, {COLUMNS}, list_in_use, level, at, exact, taken) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)"
    ))?;
    put.execute(params![
        id,
        event.sequence,
        event.boot,
        event.milliseconds,
        columns.kind,
        columns.piece,
        columns.list,
        columns.stick,
        columns.reason,
        list_in_use,
        level,
        at.0,
        exact,
        clock.at.0
    ])?;
    Ok(())
}

/// When an event happened, and whether that is known exactly: by this reading of the clock, by one in the same start of
/// the station, or else before its next start that is known.
fn moment(
    transaction: &Transaction<'_>,
    log: Log,
    event: &Event,
    clock: ClockReading,
) -> rusqlite::Result<(Moment, bool)> {
    if let Some(at) = clock.moment_of(event) {
        return Ok((at, true));
    }
    let mut starts = transaction.prepare_cached(
        "SELECT boot, began FROM start WHERE station = ?1 AND boot >= ?2 ORDER BY boot LIMIT 1",
    )?;
    let start = starts.query_row(params![log.station.to_string(), event.boot], |row| {
        Ok((row.get::<_, u16>(0)?, row.get::<_, i64>(1)?))
    });
    Ok(match start.optional()? {
        Some((boot, began)) if boot == event.boot => {
            (Moment(began + i64::from(event.milliseconds)), true)
        }
        Some((_, began)) => (Moment(began), false),
        None => (clock.at, false),
    })
}

fn put_apart(
    transaction: &Transaction<'_>,
    log: i64,
    event: &Event,
    at: Moment,
) -> rusqlite::Result<()> {
    let apart = format!("SELECT {COLUMNS} FROM disputed WHERE log = ?1 AND sequence = ?2");
    let mut apart = transaction.prepare_cached(&apart)?;
    let apart = apart.query_map(params![log, event.sequence], row::read)?;
    if apart.collect::<rusqlite::Result<Vec<_>>>()?.contains(event) {
        return Ok(());
    }
    let columns = Columns::of(event.what);
    transaction.execute(
        &format!(
            "INSERT INTO disputed (log, {COLUMNS}, taken) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)"
        ),
        params![
            log,
            event.sequence,
            event.boot,
            event.milliseconds,
            columns.kind,
            columns.piece,
            columns.list,
            columns.stick,
            columns.reason,
            at.0
        ],
    )?;
    Ok(())
}

/// Moves the number up to which every event is held as far as it goes; the gaps behind it.
fn hold(transaction: &Transaction<'_>, log: i64) -> rusqlite::Result<(u32, Gaps)> {
    let held = "SELECT held FROM log WHERE id = ?1";
    let held: u32 = transaction.query_row(held, [log], |row| row.get(0))?;
    let mut behind = transaction.prepare_cached(
        "SELECT sequence, sequence FROM event WHERE log = ?1 AND sequence > ?2 \
         UNION ALL SELECT first, last FROM lost WHERE log = ?1 AND last > ?2 ORDER BY 1",
    )?;
    let behind = behind.query_map(params![log, held], |row| {
        Ok((row.get::<_, u32>(0)?, row.get::<_, u32>(1)?))
    })?;
    let (mut end, mut gaps) = (held, Gaps::new());
    for span in behind {
        let (first, last) = span?;
        if first > end + 1 {
            gaps.push(end + 1..=first - 1);
        }
        end = end.max(last);
    }
    let held = gaps.first().map_or(end, |gap| gap.start() - 1);
    transaction.execute("UPDATE log SET held = ?2 WHERE id = ?1", params![log, held])?;
    Ok((held, gaps))
}
