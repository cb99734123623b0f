//! Who may write, and which operations were written already.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::DocId;
use crate::domain::stores::law::Role;
use crate::domain::stores::stock::Person;

/// The person behind some initials, on a day. While the register is empty, anybody may do anything.
pub fn person<E: From<Error> + From<Refusal>>(
    books: &Open<'_>,
    initials: &str,
    day: Day,
) -> Result<Person, E> {
    let all = || vec![Role::Clerk, Role::Manager, Role::Inspector];
    let everybody = books.rows(
        "SELECT initials, roles, authorised_from, authorised_until FROM person",
        &[],
    )?;
    if everybody.is_empty() {
        return Ok(Person {
            initials: initials.to_owned(),
            roles: all(),
        });
    }
    let mut known = Vec::new();
    for row in everybody {
        let name = row.text(0)?;
        if name.eq_ignore_ascii_case(initials) {
            let (from, until) = (row.maybe_day(2)?, row.maybe_day(3)?);
            if from.is_some_and(|from| day < from) || until.is_some_and(|until| day > until) {
                let what = format!("anything on {day}, outside the days of the authorisation");
                return Err(Refusal::NotAuthorised {
                    by: name,
                    role: "authorised",
                    what,
                }
                .into());
            }
            let roles = row.text(1)?;
            let roles = all()
                .into_iter()
                .filter(|role| roles.split(' ').any(|word| word == role.word()));
            return Ok(Person {
                initials: name,
                roles: roles.collect(),
            });
        }
        known.push(name);
    }
    Err(Refusal::Unknown {
        what: "initials",
        asked: initials.to_owned(),
        near: known,
    }
    .into())
}

/// The document that an operation wrote, its kind, and the digest of its request.
pub fn operation(books: &Open<'_>, op: &str) -> Result<Option<(i64, String, Vec<u8>)>, Error> {
    let row = books.row(
        "SELECT id, kind, request FROM document WHERE op = $1",
        &values![op],
    )?;
    row.map(|row| Ok((row.int(0)?, row.text(1)?, row.blob(2)?)))
        .transpose()
}

/// The last document of some initials that is no undo and was not undone.
pub fn last_document(books: &Open<'_>, initials: &str) -> Result<Option<DocId>, Error> {
    let row = books.row(
        "SELECT MAX(d.id) FROM document d WHERE d.by = $1 AND d.contra IS NULL \
         AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = d.id)",
        &values![initials],
    )?;
    Ok(row.map(|row| row.maybe_int(0)).transpose()?.flatten().map(DocId))
}

/// A person as the register has him.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Registered {
    /// Under which number the books keep him.
    pub id: i64,
    /// The initials that he signs with.
    pub initials: String,
    /// His name.
    pub name: String,
    /// What he may decide, words with a space between.
    pub roles: String,
    /// The first day on which he may.
    pub from: Option<Day>,
    /// The last day on which he may.
    pub until: Option<Day>,
    /// How many documents bear his initials.
    pub documents: i64,
}

impl Registered {
    /// Whether he may sign on a day; the first and the last day are his.
    pub fn may_on(&self, day: Day) -> bool {
        self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }
}

/// Everybody in the register, by initials.
pub fn register(books: &Open<'_>) -> Result<Vec<Registered>, Error> {
    let rows = books.rows(
        "SELECT p.id, p.initials, p.name, p.roles, p.authorised_from, p.authorised_until, \
         (SELECT COUNT(*) FROM document d WHERE d.by = p.initials) FROM person p ORDER BY p.initials",
        &[],
    )?;
    let read = |row: &crate::db::value::Row| {
        Ok(Registered {
            id: row.int(0)?,
            initials: row.text(1)?,
            name: row.text(2)?,
            roles: row.text(3)?,
            from: row.maybe_day(4)?,
            until: row.maybe_day(5)?,
            documents: row.int(6)?,
        })
    };
    rows.iter().map(read).collect()
}
