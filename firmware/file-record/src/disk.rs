//! The few things a record does to a disk, and the folder on a real one. What is written is left to the record.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// A folder of named files. What is changed is on the medium when the call returns; where it fails, or the power goes
/// before, any part of it may be. It is a trait so that a test can cut the power at every byte.
pub trait Disk {
    /// All bytes of a file; none where there is no such file.
    ///
    /// # Errors
    /// The system's.
    fn read(&self, name: &str) -> io::Result<Option<Vec<u8>>>;

    /// Puts on the medium what a process that was killed may have left in the system's memory of a file.
    ///
    /// # Errors
    /// The system's.
    fn sync(&mut self, name: &str) -> io::Result<()>;

    /// Writes at the end of a file that exists.
    ///
    /// # Errors
    /// The system's.
    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;

    /// Cuts a file to so many bytes.
    ///
    /// # Errors
    /// The system's.
    fn shorten(&mut self, name: &str, length: u64) -> io::Result<()>;

    /// Writes a whole file, whatever stood there before.
    ///
    /// # Errors
    /// The system's.
    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()>;

    /// Gives a file the name of another one, which is gone then: at every moment one of the two has the name.
    ///
    /// # Errors
    /// The system's.
    fn rename(&mut self, from: &str, to: &str) -> io::Result<()>;
}

/// Puts a whole file in place of another at one stroke.
pub(crate) fn replace(disk: &mut impl Disk, name: &str, bytes: &[u8]) -> io::Result<()> {
    let beside = format!("{name}.new");
    disk.write(&beside, bytes)?;
    disk.rename(&beside, name)
}

/// A folder, which this process alone uses where it was opened with a lock.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    /// Held, not read: the lock goes with the process, however it ends.
    _lock: Option<File>,
}

impl Folder {
    /// Makes the folder if it is not there and locks it; none where another process holds the lock.
    ///
    /// # Errors
    /// The system's.
    pub fn open(path: &Path) -> io::Result<Option<Folder>> {
        fs::create_dir_all(path)?;
        let lock = File::create(path.join("lock"))?;
        match lock.try_lock() {
            Ok(()) => Ok(Some(Folder {
                path: path.to_owned(),
                _lock: Some(lock),
            })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }

    /// A folder that other processes may use at the same time.
    pub(crate) fn shared(path: &Path) -> Folder {
        Folder {
            path: path.to_owned(),
            _lock: None,
        }
    }
}

impl Disk for Folder {
    fn read(&self, name: &str) -> io::Result<Option<Vec<u8>>> {
        match fs::read(self.path.join(name)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn sync(&mut self, name: &str) -> io::Result<()> {
        let file = OpenOptions::new().write(true).open(self.path.join(name))?;
        file.sync_all()
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut file = OpenOptions::new().append(true).open(self.path.join(name))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    fn shorten(&mut self, name: &str, length: u64) -> io::Result<()> {
        let file = OpenOptions::new().write(true).open(self.path.join(name))?;
        file.set_len(length)?;
        file.sync_all()
    }

    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut file = File::create(self.path.join(name))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    fn rename(&mut self, from: &str, to: &str) -> io::Result<()> {
        fs::rename(self.path.join(from), self.path.join(to))?;
        // elsewhere a folder cannot be opened to be synced, and the system keeps the order itself
        #[cfg(unix)]
        File::open(&self.path)?.sync_all()?;
        Ok(())
    }
}
