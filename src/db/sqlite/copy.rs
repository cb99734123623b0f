//! Copies of a store: taken while others write, proved before they bear their name, and never written over anything.

use super::identity::{bad_path, checked_path, identify_untouched, mode_for, read_setting, untouched};
use super::{DEADLINE, Purpose, Sqlite, from_driver};
use crate::db::error::Error;
use crate::db::schema::KNOWN;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::fs::{File, OpenOptions, Permissions};
use std::io::ErrorKind;
use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What the engine lays beside a store; beside a copy it would be taken for the copy's own.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];
/// How long a copy waits between two tries.
const BETWEEN_TRIES: Duration = Duration::from_millis(5);

impl Sqlite {
    /// Opens a copy that nobody writes in: nothing is written to it or beside it, and it is not brought up.
    pub fn open_copy(path: &Path) -> Result<Sqlite, Error> {
        let path = checked_path(path)?;
        match std::fs::metadata(&path) {
            Ok(found) if found.is_dir() => return Err(bad_path(&path, "it is a folder")),
            Ok(found) if found.len() == 0 => return Err(Error::Empty(path)),
            Ok(_) => {}
            Err(error) if error.kind() == ErrorKind::NotFound => return Err(Error::NoStore(path)),
            Err(error) => return Err(Error::Io(error.to_string())),
        }
        if BESIDE.iter().any(|ending| beside(&path, ending).exists()) {
            return Err(bad_path(&path, "it is a store in use; `check` proves that"));
        }
        identify_untouched(&path)?;
        let store = Sqlite::of(untouched(&path)?);
        store.set_text("cell_size_check", "ON")?;
        store.set_text("query_only", "ON")?;
        Ok(store)
    }

    /// Whether its steps are those that this program knows; an older copy is brought up when it is restored.
    pub fn is_of_today(&self) -> Result<bool, Error> {
        Ok(read_setting(&self.connection, "user_version")? == KNOWN.to_string())
    }

    /// Copies the store as it stands into a new file. `prove` sees the copy before it bears its name; if it refuses, or
    /// anything fails, nothing is left.
    pub fn copy_to<T, E: From<Error>>(
        &self,
        target: &Path,
        waiting: fn(),
        prove: impl FnOnce(&Sqlite) -> Result<T, E>,
    ) -> Result<T, E> {
        let target = checked_path(target)?;
        nothing_there(&target)?;
        let part = Part::of(&target);
        let taken = self.fill_copy(part.path(), &target).map_err(E::from);
        let proved = taken.and_then(|()| {
            let copy = Sqlite::open_keeping(part.path(), Purpose::Read, waiting, false)?;
            copy.transaction(false, prove)
        });
        let placed = proved.and_then(|proved| {
            let placed = place(part.path(), &target);
            placed.map(|()| proved).map_err(E::from)
        });
        if placed.is_err() {
            clear(part.path())?;
        }
        placed
    }

    /// Copies everything in one go, so that the copy is of one moment.
    pub(super) fn fill_copy(&self, part: &Path, target: &Path) -> Result<(), Error> {
        make_empty(part, mode_for(target))?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut copy = Connection::open_with_flags(part, flags).map_err(from_driver)?;
        let backup = Backup::new(&self.connection, &mut copy).map_err(from_driver)?;
        let mut waited = Duration::ZERO;
        loop {
            match backup.step(-1).map_err(from_driver)? {
                StepResult::Done => return Ok(()),
                _ if waited >= DEADLINE => return Err(Error::Busy),
                _ => std::thread::sleep(BETWEEN_TRIES),
            }
            waited += BETWEEN_TRIES;
        }
    }
}

/// The file that a copy is made in before it bears its name.
pub(super) struct Part(PathBuf);

impl Part {
    /// A name beside the target that no other process takes.
    pub(super) fn of(target: &Path) -> Part {
        // Where our stack lies differs from process to process, so that two copies at once do not meet.
        let ours = (std::ptr::from_ref(&target) as usize).to_string();
        Part(beside(target, &[".", &ours, ".part"].concat()))
    }

    /// Where it lies.
    pub(super) fn path(&self) -> &Path {
        &self.0
    }
}

/// The name of a file beside another.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Refused where there is something of that name, or what the engine would take for its own.
pub(super) fn nothing_there(target: &Path) -> Result<(), Error> {
    if std::fs::symlink_metadata(target).is_ok() {
        return Err(Error::Exists(target.to_owned()));
    }
    for ending in BESIDE {
        let found = beside(target, ending);
        if std::fs::symlink_metadata(&found).is_ok() {
            return Err(Error::Exists(found));
        }
    }
    Ok(())
}

/// Makes the file that the copy goes into; the folder alone decides who shares it.
// A copy is made here and nowhere else.
#[allow(clippy::disallowed_methods)]
fn make_empty(part: &Path, mode: u32) -> Result<(), Error> {
    let cannot = |error: std::io::Error| Error::CannotCreate {
        path: part.to_owned(),
        because: error.to_string(),
    };
    let file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .mode(mode)
        .open(part)
        .map_err(cannot)?;
    file.set_permissions(Permissions::from_mode(mode)).map_err(cannot)
}

/// Gives a proved copy its name once it is safe on the disk, and never over another file.
// A copy is synced and named here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub(super) fn place(part: &Path, target: &Path) -> Result<(), Error> {
    let failed = |error: std::io::Error| Error::Io(error.to_string());
    File::open(part)
        .and_then(|file| file.sync_all())
        .map_err(failed)?;
    match std::fs::hard_link(part, target) {
        Ok(()) => std::fs::remove_file(part).map_err(failed)?,
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            return Err(Error::Exists(target.to_owned()));
        }
        // A disk that knows no second name for a file gives the name itself.
        Err(_) => {
            nothing_there(target)?;
            std::fs::rename(part, target).map_err(failed)?;
        }
    }
    let folder = target.parent().unwrap_or(Path::new("/"));
    File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(failed)
}

/// Removes a copy that is not to be, with what the engine laid beside it.
// A copy that failed is removed here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub(super) fn clear(part: &Path) -> Result<(), Error> {
    for path in BESIDE
        .iter()
        .map(|ending| beside(part, ending))
        .chain([part.to_owned()])
    {
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() != ErrorKind::NotFound => {
                return Err(Error::Io(
                    [&*path.to_string_lossy(), &error.to_string()].join(": "),
                ));
            }
            _ => {}
        }
    }
    Ok(())
}
