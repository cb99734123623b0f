//! The one place that knows the driver: opens a store safely, sets what must be set, runs statements.
//!
//! Identity comes first and is read without touching the file (asking for a write-ahead log rewrites a foreign
//! file); then the settings, each set and read back. Reading commands may not write.

mod copy;
mod cursor;
mod driver_error;
mod identity;
mod proof;
mod upgrade;
mod values;

use crate::db::error::Error;
use crate::db::schema;
use crate::db::value::{Given, Row, Value};
pub use cursor::Cursor;
use driver_error::from_driver;
use identity::{bad_path, checked_path, identify, identify_untouched, mode_for, read_setting};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};
use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use values::{bind, from_ref, places_of};

/// What a store is opened for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// To read: the connection may not write.
    Read,
    /// To write.
    Write,
}

/// How long we wait for another process before we give up.
const DEADLINE: Duration = Duration::from_secs(30);
/// After how long we say that we wait.
const PATIENCE: Duration = Duration::from_secs(1);

/// How the engine keeps what is not yet safe, with the syncing that loses nothing under it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Journal {
    /// A log beside the file: how a store lives.
    Wal,
    /// The old pages beside the file: how a store is made.
    Delete,
}

impl Journal {
    /// Its name as the engine reads it back, then the syncing as it is asked for and read back.
    fn settings(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Journal::Wal => ("wal", "FULL", "2"),
            Journal::Delete => ("delete", "EXTRA", "3"),
        }
    }
}

/// The switches of the engine that must stand so.
const SWITCHES: [(&str, DbConfig, bool); 5] = [
    ("defensive", DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true),
    // A plan that looks at the values bound is made anew for each of them: dear where a table has a partial index.
    ("stable_plans", DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true),
    ("dqs_dml", DbConfig::SQLITE_DBCONFIG_DQS_DML, false),
    ("dqs_ddl", DbConfig::SQLITE_DBCONFIG_DQS_DDL, false),
    (
        "trusted_schema_switch",
        DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA,
        false,
    ),
];

/// How many statements are kept ready: a posting with its facts takes some sixty.
const STATEMENTS: usize = 128;

/// An open store.
pub struct Sqlite {
    connection: Connection,
    /// Where the store as it was before it was brought up is kept, if this opening brought it up.
    kept: Option<PathBuf>,
}

impl Sqlite {
    /// A connection that nothing was set on yet.
    fn of(connection: Connection) -> Sqlite {
        Sqlite {
            connection,
            kept: None,
        }
    }

    /// Opens a store that is there; `waiting` is called once if another process keeps us waiting. An older store is
    /// copied beside itself, then brought up.
    pub fn open(path: &Path, purpose: Purpose, waiting: fn()) -> Result<Sqlite, Error> {
        Sqlite::open_keeping(path, purpose, waiting, true)
    }

    /// Where the store as it was is kept, if opening it brought it up.
    pub fn kept(&self) -> Option<&Path> {
        self.kept.as_deref()
    }

    /// Opens a store that is there; whether an older one is kept as it was before it is brought up is for the caller.
    fn open_keeping(path: &Path, purpose: Purpose, waiting: fn(), keep: bool) -> Result<Sqlite, Error> {
        let path = checked_path(path)?;
        let length = match std::fs::metadata(&path) {
            Ok(found) if found.is_dir() => return Err(bad_path(&path, "it is a folder")),
            Ok(found) => found.len(),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Err(Error::NoStore(path)),
            Err(error) => return Err(Error::Io(error.to_string())),
        };
        if length == 0 {
            return Err(Error::Empty(path));
        }
        identify_untouched(&path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(&path, flags).map_err(from_driver)?;
        let mut store = Sqlite::of(connection);
        store.wait_for_others(waiting)?;
        identify(&store.connection, &path)?;
        store.kept = upgrade::bring_up(&store.connection, &path, keep)?;
        store.settle(purpose, Journal::Wal)?;
        Ok(store)
    }

    /// Makes a store where there is none: the file, the schema and the law, in one transaction that `found` completes.
    pub fn create<T, E: From<Error>>(
        path: &Path,
        waiting: fn(),
        found: impl FnOnce(&Sqlite) -> Result<T, E>,
    ) -> Result<T, E> {
        let path = checked_path(path)?;
        // The store's own file is made here and nowhere else.
        #[allow(clippy::disallowed_methods)]
        let taken = std::fs::OpenOptions::new()
            .write(true)
            .create_new(true)
            .mode(mode_for(&path))
            .open(&path);
        match taken {
            // Said again because the umask has a say in the making, and the folder alone decides who shares a store.
            Ok(file) => file
                .set_permissions(std::fs::Permissions::from_mode(mode_for(&path)))
                .map_err(|error| Error::Io(error.to_string()))?,
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                return Err(Error::Exists(path).into());
            }
            Err(error) => {
                return Err(Error::CannotCreate {
                    path,
                    because: error.to_string(),
                }
                .into());
            }
        }
        let made = Sqlite::fill(&path, waiting, found);
        if made.is_err() {
            // A half-made store would be refused for ever; what cannot be removed is said by the next `init`.
            #[allow(clippy::disallowed_methods)]
            let gone = std::fs::remove_file(&path);
            if let Err(error) = gone {
                return Err(Error::Io(format!("{}: {error}", path.display())).into());
            }
        }
        made
    }

    /// Fills an empty file with schema and law, and lets `found` write the first document.
    ///
    /// All of it goes into the file itself and the log comes after: a store whose first page lay in a log only would
    /// be taken for another program's file if the log was never folded in.
    fn fill<T, E: From<Error>>(
        path: &Path,
        waiting: fn(),
        found: impl FnOnce(&Sqlite) -> Result<T, E>,
    ) -> Result<T, E> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(from_driver)?;
        let mut store = Sqlite::of(connection);
        store.wait_for_others(waiting)?;
        store.settle(Purpose::Write, Journal::Delete)?;
        let made = store.transaction(true, |store| {
            store
                .connection
                .pragma_update(None, "application_id", schema::APPLICATION_ID)
                .map_err(from_driver)?;
            for step in schema::STEPS {
                store.connection.execute_batch(step).map_err(from_driver)?;
            }
            store
                .connection
                .pragma_update(None, "user_version", schema::KNOWN)
                .map_err(from_driver)?;
            store.write_law()?;
            found(store)
        })?;
        store.settle(Purpose::Write, Journal::Wal)?;
        Ok(made)
    }

    /// Writes the law of stock as rows.
    fn write_law(&self) -> Result<(), Error> {
        for (id, movement, from, to, while_held, fresh, who) in schema::law_rows() {
            self.run(
                "INSERT INTO law (id, movement, from_kind, to_kind, while_held, fresh, who) \
                 VALUES ($1, $2, $3, $4, $5, $6, $7)",
                &crate::db::value::values![id, movement, from, to, while_held, fresh, who],
            )?;
        }
        Ok(())
    }

    /// Runs `work` in one transaction: all of it is kept, or nothing.
    pub fn transaction<T, E: From<Error>>(
        &self,
        write: bool,
        work: impl FnOnce(&Sqlite) -> Result<T, E>,
    ) -> Result<T, E> {
        let begin = if write { "BEGIN IMMEDIATE" } else { "BEGIN" };
        self.connection.execute_batch(begin).map_err(from_driver)?;
        match work(self) {
            Ok(done) => {
                self.connection.execute_batch("COMMIT").map_err(|error| {
                    let failed = from_driver(error);
                    self.roll_back().err().unwrap_or(failed)
                })?;
                Ok(done)
            }
            Err(error) => {
                self.roll_back()?;
                Err(error)
            }
        }
    }

    /// Takes back the transaction, if the engine has not done so itself.
    fn roll_back(&self) -> Result<(), Error> {
        if self.connection.is_autocommit() {
            return Ok(());
        }
        self.connection.execute_batch("ROLLBACK").map_err(from_driver)
    }

    /// The rows that a statement gives; `$1 … $n` are bound by name.
    pub fn rows(&self, sql: &str, values: &[Value]) -> Result<Vec<Row>, Error> {
        let mut statement = self.bound(sql, values)?;
        let columns = statement.column_count();
        let mut found = statement.raw_query();
        let mut rows = Vec::new();
        while let Some(row) = found.next().map_err(from_driver)? {
            let cells: Result<Vec<Value>, Error> = (0..columns)
                .map(|at| row.get_ref(at).map_err(from_driver).and_then(from_ref))
                .collect();
            rows.push(Row(cells?));
        }
        Ok(rows)
    }

    /// Runs a statement that gives no rows; returns how many rows it changed.
    pub fn run(&self, sql: &str, values: &[Value]) -> Result<usize, Error> {
        self.bound(sql, values)?.raw_execute().map_err(from_driver)
    }

    /// A prepared statement with its values bound by name; a name forgotten or one too many is a fault of ours.
    fn bound(&self, sql: &str, values: &[Value]) -> Result<rusqlite::CachedStatement<'_>, Error> {
        let mut statement = self.connection.prepare_cached(sql).map_err(from_driver)?;
        let places = places_of(&statement)?;
        bind(&mut statement, &places, values)?;
        Ok(statement)
    }

    /// Runs a statement that gives no rows once for each of these lists of values; it is looked up once.
    pub fn run_each<'v>(&self, sql: &str, all: impl Iterator<Item = impl Given<'v>>) -> Result<(), Error> {
        let mut statement = self.connection.prepare_cached(sql).map_err(from_driver)?;
        let places = places_of(&statement)?;
        for values in all {
            bind(&mut statement, &places, values.as_ref())?;
            statement.raw_execute().map_err(from_driver)?;
        }
        Ok(())
    }

    /// The version of the engine.
    pub fn version() -> &'static str {
        rusqlite::version()
    }

    /// Sets everything that must hold on a connection, and reads it back.
    fn settle(&self, purpose: Purpose, journal: Journal) -> Result<(), Error> {
        self.connection.set_prepared_statement_cache_capacity(STATEMENTS);
        let (journal, synchronous, synchronous_found) = journal.settings();
        for (name, value, found) in [
            ("journal_mode", journal, journal),
            ("synchronous", synchronous, synchronous_found),
            ("foreign_keys", "ON", "1"),
            ("recursive_triggers", "ON", "1"),
            ("trusted_schema", "OFF", "0"),
            ("cell_size_check", "ON", "1"),
            ("mmap_size", "0", "0"),
        ] {
            self.set_text(name, value)?;
            self.read_back(name, found)?;
        }
        for (name, switch, wanted) in SWITCHES {
            self.connection
                .set_db_config(switch, wanted)
                .map_err(from_driver)?;
            let found = self.connection.db_config(switch).map_err(from_driver)?;
            if found != wanted {
                let (wanted, found) = (wanted.to_string(), found.to_string());
                return Err(Error::Setting { name, wanted, found });
            }
        }
        self.read_back("busy_timeout", "0")?;
        if purpose == Purpose::Read {
            self.set_text("query_only", "ON")?;
            self.read_back("query_only", "1")?;
        }
        Ok(())
    }

    /// Every setting of this connection that the house cares for, as the engine reads it back.
    pub fn settings(&self) -> Result<Vec<(&'static str, String)>, Error> {
        let names = [
            "journal_mode",
            "synchronous",
            "foreign_keys",
            "recursive_triggers",
            "trusted_schema",
            "cell_size_check",
            "mmap_size",
            "busy_timeout",
            "query_only",
            "application_id",
            "user_version",
        ];
        let pragmas = names.into_iter().map(|name| Ok((name, self.setting(name)?)));
        let switches = SWITCHES.into_iter().map(|(name, switch, _)| {
            let on = self.connection.db_config(switch).map_err(from_driver)?;
            Ok((name, u8::from(on).to_string()))
        });
        pragmas.chain(switches).collect()
    }

    fn set_text(&self, name: &'static str, value: &str) -> Result<(), Error> {
        self.connection
            .pragma_update_and_check(None, name, value, |_| Ok(()))
            .or_else(|error| match error {
                rusqlite::Error::QueryReturnedNoRows => Ok(()),
                other => Err(from_driver(other)),
            })
    }

    fn setting(&self, name: &'static str) -> Result<String, Error> {
        read_setting(&self.connection, name)
    }

    fn read_back(&self, name: &'static str, wanted: &str) -> Result<(), Error> {
        let found = self.setting(name)?;
        if found == wanted {
            return Ok(());
        }
        Err(Error::Setting {
            name,
            wanted: wanted.to_owned(),
            found,
        })
    }

    /// Our own way of waiting: short jittered sleeps to a deadline, so that nobody starves (the engine's own waits
    /// grow and let newcomers pass).
    fn wait_for_others(&mut self, waiting: fn()) -> Result<(), Error> {
        let mut since: Option<Instant> = None;
        let mut said = false;
        // Any odd number will do as a start; two processes differ in where their stacks lie.
        let mut jitter = std::ptr::from_ref(&waiting) as u64 | 1;
        self.connection
            .busy_handler(Some(move |tries: i32| {
                if tries == 0 {
                    since = None;
                }
                // The clock here only measures how long we wait; no fact of the books depends on it.
                #[allow(clippy::disallowed_methods)]
                let now = Instant::now();
                let waited = now.duration_since(*since.get_or_insert(now));
                if waited > PATIENCE && !said {
                    said = true;
                    waiting();
                }
                jitter ^= jitter << 13;
                jitter ^= jitter >> 7;
                jitter ^= jitter << 17;
                std::thread::sleep(Duration::from_micros(200 + jitter % 800));
                waited < DEADLINE
            }))
            .map_err(from_driver)
    }
}
