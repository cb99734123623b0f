//! `people`: who may sign, for what, from when until when; nobody is removed, only ended.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::people::{Registered, register};
use crate::domain::measure::Day;
use crate::domain::measure::near::distance;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::posting::{Change, Field, Posting};
use crate::domain::stores::record::{Record, Table as Sort};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;
use clap::{Args, Subcommand, ValueEnum};

/// Who may sign: list, show, add, change
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `list`.
    #[command(after_help = "examples:\n  bincard people list\n  bincard people list --format csv")]
    List(ListAsk),
    /// `show`.
    #[command(after_help = "examples:\n  bincard people show TW\n  bincard people show OQ --on 2027-01-09")]
    Show(ShowAsk),
    /// `add`.
    #[command(
        after_help = "examples:\n  bincard people add NB \"Nell Barrow\" --roles clerk --by DA\n  bincard people add NB \"Nell Barrow\" --roles clerk,inspector --from-day 2026-12-01 --by DA"
    )]
    Add(AddAsk),
    /// `change`.
    #[command(
        after_help = "examples:\n  bincard people change TW --until 2026-12-31 --by DA\n  bincard people change HP --roles clerk,manager --by DA"
    )]
    Change(ChangeAsk),
}

/// List everybody, and whether each may sign today
#[derive(Args, Debug)]
pub struct ListAsk {}

/// Show one person
#[derive(Args, Debug)]
pub struct ShowAsk {
    /// The initials he signs with
    #[arg(value_name = "INITIALS")]
    initials: String,
}

/// Add somebody to the register; the first makes it the only list of who may sign
#[derive(Args, Debug)]
pub struct AddAsk {
    /// The initials he signs with
    #[arg(value_name = "INITIALS")]
    initials: String,
    /// His name
    #[arg(value_name = "NAME")]
    name: String,
    /// What he may decide
    #[arg(long, value_enum, value_delimiter = ',', required = true, value_name = "ROLE")]
    roles: Vec<Role>,
    /// The first day on which he may sign
    #[arg(long = "from-day", value_name = "DATE")]
    from: Option<String>,
    /// The last day on which he may sign
    #[arg(long, value_name = "DATE")]
    until: Option<String>,
}

/// Change a person's name, roles or days; whoever leaves gets a last day
#[derive(Args, Debug)]
pub struct ChangeAsk {
    /// The initials he signs with
    #[arg(value_name = "INITIALS")]
    initials: String,
    /// His name
    #[arg(long = "full-name", value_name = "NAME")]
    name: Option<String>,
    /// What he may decide
    #[arg(long, value_enum, value_delimiter = ',', value_name = "ROLE")]
    roles: Vec<Role>,
    /// The first day on which he may sign
    #[arg(long = "from-day", value_name = "DATE")]
    from: Option<String>,
    /// The last day on which he may sign
    #[arg(long, value_name = "DATE")]
    until: Option<String>,
}

/// What somebody may decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
enum Role {
    /// Gives, takes, counts
    Clerk,
    /// Decides what is scrapped and given up
    Manager,
    /// Quotes
    Estimator,
    /// Accepts, holds and lifts
    Inspector,
}

/// Lists, shows, adds or changes.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::List(_) => shop.read(list),
        Command::Show(ask) => shop.read(|scene| show(scene, &ask.initials)),
        Command::Add(ask) => shop.change(|scene| add(scene, &ask)),
        Command::Change(ask) => shop.change(|scene| change(scene, &ask)),
    }
}

fn list(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let (everybody, day) = (register(scene.books)?, scene.day.max(scene.today));
    let may = everybody.iter().filter(|one| one.may_on(day)).count();
    let answer = match everybody.len() {
        0 => "nobody is registered: any initials may sign anything".to_owned(),
        all => format!("{may} of {all} may sign on {day}"),
    };
    let mut paper = scene.paper("people", answer);
    if !everybody.is_empty() {
        paper.tables.push(table(&everybody, day));
    }
    Ok(Done::yes(paper))
}

fn table(people: &[Registered], day: Day) -> Table {
    let mut table = Table::new(
        "people",
        &[
            ("initials", "initials"),
            ("name", "name"),
            ("roles", "roles"),
            ("authorised_from", "from"),
            ("authorised_until", "until"),
            ("may_sign", "may sign"),
            ("documents", "documents"),
        ],
    )
    .spare(&["documents"]);
    for one in people {
        table.row(vec![
            Cell::text(one.initials.clone()),
            Cell::text(one.name.clone()),
            Cell::text(one.roles.clone()),
            one.from.map_or(Cell::Empty, Cell::Day),
            one.until.map_or(Cell::Empty, Cell::Day),
            Cell::text(if one.may_on(day) { "yes" } else { "no" }),
            Cell::Count(one.documents),
        ]);
    }
    table
}

/// The person of these initials, or those near them.
fn person_called(scene: &Scene<'_, '_>, initials: &str) -> Result<Registered, Failure> {
    let everybody = register(scene.books)?;
    let known: Vec<String> = everybody.iter().map(|one| one.initials.clone()).collect();
    let found = everybody
        .into_iter()
        .find(|one| one.initials.eq_ignore_ascii_case(initials));
    found.ok_or_else(|| {
        let near = |one: &&String| distance(initials, one).is_some();
        let mut offered: Vec<String> = known.iter().filter(near).cloned().collect();
        if offered.is_empty() {
            offered = known;
        }
        Refusal::Unknown {
            what: "initials",
            asked: initials.to_owned(),
            near: offered,
        }
        .into()
    })
}

fn show(scene: &Scene<'_, '_>, initials: &str) -> Result<Done, Failure> {
    let (one, day) = (person_called(scene, initials)?, scene.day.max(scene.today));
    Ok(Done::yes(told(scene, &one, day, "")))
}

/// What one person may, in a line and a table.
fn told(scene: &Scene<'_, '_>, one: &Registered, day: Day, verb: &str) -> Paper {
    let name: String = one.name.chars().take(30).collect();
    let answer = match (one.may_on(day), one.until) {
        (true, None) => format!("{} {name}{verb}: may sign as {}", one.initials, one.roles),
        (true, Some(until)) => format!("{} {name}{verb}: {} until {until}", one.initials, one.roles),
        (false, _) => format!("{} {name}{verb}: may NOT sign on {day}", one.initials),
    };
    let mut paper = scene.paper("people", answer);
    paper.tables.push(table(std::slice::from_ref(one), day));
    paper.notes.push(format!(
        "{} under these initials",
        count(usize::try_from(one.documents).unwrap_or(0), "document")
    ));
    paper
}

fn day(flag: &str, text: Option<&String>) -> Result<Option<Day>, Failure> {
    let parsed = text.map(|text| Day::parse(text)).transpose();
    parsed.map_err(|fault| {
        Failure::usage(
            format!("{flag}: {fault}"),
            format!("give a day: `{flag} 2026-12-01`"),
        )
    })
}

/// The words of the roles as the books write them: each once, in the order of the list.
fn words(roles: &[Role]) -> String {
    let mut roles = roles.to_vec();
    roles.sort_unstable();
    roles.dedup();
    let words = roles.iter().filter_map(|role| role.to_possible_value());
    words
        .map(|word| word.get_name().to_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Refused unless a manager asks: who may sign is for him to say, once there is one.
pub(super) fn manager_says(scene: &Scene<'_, '_>, what: &str) -> Result<(), Failure> {
    use crate::domain::stores::law::Role::Manager;
    let managed = register(scene.books)?
        .iter()
        .any(|one| one.roles.split(' ').any(|role| role == "manager"));
    if !managed || scene.person.roles.contains(&Manager) {
        return Ok(());
    }
    Err(Refusal::NotAuthorised {
        by: scene.person.initials.clone(),
        role: Manager.word(),
        what: what.to_owned(),
    }
    .into())
}

fn impossible(initials: &str, because: &str) -> Failure {
    Refusal::Impossible {
        what: format!("person {initials}"),
        because: because.to_owned(),
    }
    .into()
}

/// Refused where the last day comes before the first.
fn in_order(initials: &str, from: Option<Day>, until: Option<Day>) -> Result<(), Failure> {
    match (from, until) {
        (Some(from), Some(until)) if until < from => {
            Err(impossible(initials, "the last day comes before the first"))
        }
        _ => Ok(()),
    }
}

fn name_of(initials: &str, name: &str) -> Result<String, Failure> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > 200 {
        return Err(impossible(initials, "a name has between 1 and 200 letters"));
    }
    Ok(name.to_owned())
}

fn add(scene: &Scene<'_, '_>, ask: &AddAsk) -> Result<Decision<'static>, Failure> {
    manager_says(scene, "a change of who may sign")?;
    let initials = ask.initials.to_uppercase();
    let letters = (1..=6).contains(&initials.chars().count()) && initials.chars().all(char::is_alphanumeric);
    if !letters {
        return Err(impossible(
            &ask.initials,
            "initials are one to six letters or digits",
        ));
    }
    let everybody = register(scene.books)?;
    if everybody
        .iter()
        .any(|one| one.initials.eq_ignore_ascii_case(&initials))
    {
        return Err(Refusal::Doubled {
            what: "person",
            name: initials,
        }
        .into());
    }
    let (from, until) = (
        day("--from-day", ask.from.as_ref())?,
        day("--until", ask.until.as_ref())?,
    );
    in_order(&initials, from, until)?;
    let mut posting = Posting::new(scene.head(DocKind::Change));
    posting.records.push(Record {
        table: Sort::Person,
        data: vec![
            (everybody.iter().map(|one| one.id).max().unwrap_or(0) + 1).into(),
            initials.as_str().into(),
            name_of(&initials, &ask.name)?.into(),
            words(&ask.roles).into(),
            from.into(),
            until.into(),
        ],
    });
    Ok(posted(posting, initials, " added"))
}

/// Posts, and tells how the person stands then.
fn posted(posting: Posting, initials: String, verb: &'static str) -> Decision<'static> {
    Decision::post(posting, exit::DONE, move |scene| {
        let one = person_called(scene, &initials)?;
        let mut paper = told(scene, &one, scene.day.max(scene.today), verb);
        if verb == " added" {
            paper.next.push(format!(
                "bincard people change {initials} --until DATE --by INITIALS   ends it; nobody is removed"
            ));
        }
        Ok(paper)
    })
}

fn change(scene: &Scene<'_, '_>, ask: &ChangeAsk) -> Result<Decision<'static>, Failure> {
    manager_says(scene, "a change of who may sign")?;
    let one = person_called(scene, &ask.initials)?;
    let (from, until) = (
        day("--from-day", ask.from.as_ref())?,
        day("--until", ask.until.as_ref())?,
    );
    in_order(&one.initials, from.or(one.from), until.or(one.until))?;
    let name = ask
        .name
        .as_ref()
        .map(|name| name_of(&one.initials, name))
        .transpose()?;
    let roles = Some(words(&ask.roles)).filter(|roles| !roles.is_empty());
    let text = |day: Option<Day>| day.map(|day| day.to_string());
    let mut posting = Posting::new(scene.head(DocKind::Change));
    for (field, old, new) in [
        (Field::PersonName, Some(one.name.clone()), name),
        (Field::PersonRoles, Some(one.roles.clone()), roles),
        (Field::PersonFrom, text(one.from), text(from)),
        (Field::PersonUntil, text(one.until), text(until)),
    ] {
        if new.is_some() && new != old {
            posting.changes.push(Change {
                field,
                id: one.id,
                old,
                new,
            });
        }
    }
    if posting.changes.is_empty() {
        return Err(Failure::usage(
            format!("{} stands so already, nothing is changed", one.initials),
            "say what is new: `--until 2026-12-31`, `--roles clerk,manager`, `--from-day`, `--full-name`",
        ));
    }
    Ok(posted(posting, one.initials, ""))
}
