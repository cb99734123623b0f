//! The engine's own checks of the file, and the schema held against the steps that made it.

use super::{Sqlite, from_driver};
use crate::db::error::Error;
use crate::db::schema;
use rusqlite::Connection;
use std::collections::BTreeMap;

/// Every table, index and trigger by its kind and name, with the statement that made it.
type Objects = BTreeMap<(String, String), String>;

impl Sqlite {
    /// What `PRAGMA integrity_check` and `foreign_key_check` find, a line each; nothing where all is well.
    pub fn integrity(&self) -> Result<Vec<String>, Error> {
        let mut faults = Vec::new();
        for row in self.rows("PRAGMA integrity_check(20)", &[])? {
            let text = row.text(0)?;
            if text != "ok" {
                faults.push(text);
            }
        }
        for row in self.rows("PRAGMA foreign_key_check", &[])? {
            faults.push(format!(
                "a row of {} names a record of {} that is not there",
                row.text(0)?,
                row.text(2)?
            ));
        }
        Ok(faults)
    }

    /// Tables, indexes and guards that are not as the steps of this store made them: what it is about, what should be
    /// there, what is there.
    pub fn schema_faults(&self) -> Result<Vec<[String; 3]>, Error> {
        let version = self.setting("user_version")?.parse().unwrap_or(0);
        let made = Connection::open_in_memory().map_err(from_driver)?;
        for step in schema::STEPS.iter().take(version) {
            made.execute_batch(step).map_err(from_driver)?;
        }
        let (mut wanted, found) = (objects(&made)?, objects(&self.connection)?);
        let mut faults = Vec::new();
        let about = |(kind, name): &(String, String)| format!("{kind} {name}");
        for (key, sql) in found {
            let should_be = wanted.remove(&key).unwrap_or_else(|| "not there".to_owned());
            if should_be != sql {
                faults.push([about(&key), should_be, sql]);
            }
        }
        for (key, sql) in wanted {
            faults.push([about(&key), sql, "not there".to_owned()]);
        }
        Ok(faults)
    }
}

fn objects(connection: &Connection) -> Result<Objects, Error> {
    let sql = "SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL";
    let mut statement = connection.prepare(sql).map_err(from_driver)?;
    let rows = statement.query_map([], |row| Ok(((row.get(0)?, row.get(1)?), row.get(2)?)));
    rows.map_err(from_driver)?
        .collect::<Result<Objects, _>>()
        .map_err(from_driver)
}
