//! `today`: the morning page: what is due in, what is short this week, which kits wait, what dies, what to inspect.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::{engine_serial, gather_jobs, jobs};
use crate::db::stores::approvals::ending;
use crate::db::stores::away::out_with_others;
use crate::db::stores::notes::open_notes;
use crate::db::stores::orders::{due_by, waiting};
use crate::db::stores::stock::expiring;
use crate::domain::kitting::shorts::shorts;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::JobId;
use crate::domain::stores::law::Kind;
use crate::print::kitting::job_sheet::called;
use crate::print::making::away_list::due_in_words;
use crate::print::stores::morning::{Sort, ToDo, morning};
use crate::print::words::{count, measured, until};
use clap::Args;

/// How far the page looks ahead, in days.
const WEEK_DAYS: i64 = 7;

/// How far ahead the ends of approvals are told, in days.
const MONTH_DAYS: i64 = 30;

/// The morning page: due in, short this week, kits waiting, dying, to inspect
#[derive(Args, Debug)]
pub struct Ask {}

/// Prints the page.
pub fn run(shop: &mut Shop<'_, '_>, _: &Ask) -> Result<Done, Failure> {
    shop.read(page)
}

fn page(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let today = scene.day.max(scene.today);
    let last = today.plus_days(WEEK_DAYS).unwrap_or(today);
    let mut todo = due_in(scene, today)?;
    todo.extend(jobs_by(scene, last)?);
    todo.extend(dying_by(scene, today, last)?);
    todo.extend(to_inspect(scene)?);
    todo.extend(away(scene, today)?);
    todo.extend(approvals(scene, today)?);
    for note in open_notes(scene.books)? {
        todo.push(ToDo {
            sort: Sort::Note,
            about: note.id.to_string(),
            what: note.text,
            day: Some(note.day),
            state: note.by,
        });
    }
    todo.sort_by_key(|one| one.sort);
    let mut paper = morning(&todo, scene.paper("today", ""));
    let horizon = format!("looks ahead to {last}; `bincard shorts` has every job");
    paper.notes.push(horizon);
    Ok(Done::yes(paper))
}

/// What is away and should be back by now.
fn away(scene: &Scene<'_, '_>, today: Day) -> Result<Vec<ToDo>, Failure> {
    let out = out_with_others(scene.books)?;
    let due = out.into_iter().filter(|one| one.is_due(today));
    let told = due.map(|one| ToDo {
        sort: Sort::Away,
        what: format!(
            "{} of {} with {}",
            measured(one.qty, one.unit),
            one.part,
            one.with
        ),
        day: one.due,
        state: due_in_words(one.due, today),
        about: one.lot,
    });
    Ok(told.collect())
}

/// The suppliers whose approval ends within a month.
fn approvals(scene: &Scene<'_, '_>, today: Day) -> Result<Vec<ToDo>, Failure> {
    let last = today.plus_days(MONTH_DAYS).unwrap_or(today);
    let told = ending(scene.books, today, last)?
        .into_iter()
        .map(|(code, name, until)| ToDo {
            sort: Sort::Approval,
            about: code,
            what: name,
            day: Some(until),
            state: match today.days_until(until) {
                0 => "ENDS today".to_owned(),
                left => format!("ENDS in {}", count(usize::try_from(left).unwrap_or(0), "day")),
            },
        });
    Ok(told.collect())
}

fn due_in(scene: &Scene<'_, '_>, today: Day) -> Result<Vec<ToDo>, Failure> {
    let due = due_by(scene.books, today)?;
    let told = due.into_iter().map(|due| ToDo {
        sort: Sort::DueIn,
        about: due.order,
        what: format!(
            "{} {} of {} from {}",
            due.qty.0, due.qty.1, due.part, due.supplier
        ),
        day: Some(due.promised),
        state: match due.promised.days_until(today) {
            0 => "today".to_owned(),
            late => format!("{} LATE", count(usize::try_from(late).unwrap_or(0), "day")),
        },
    });
    Ok(told.collect())
}

/// The open jobs whose day of use is no later than `last`, short or whole, and every kit that is picked and waits.
fn jobs_by(scene: &Scene<'_, '_>, last: Day) -> Result<Vec<ToDo>, Failure> {
    let open = jobs(scene.books, false)?;
    let ids: Vec<JobId> = open.iter().map(|job| job.id).collect();
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &ids)?;
    let stock = facts.done();
    let short = shorts(&stock, &ids)?;
    let mut todo = Vec::new();
    for job in &open {
        let engine = engine_serial(scene.books, job.engine)?.unwrap_or_default();
        let lines = || stock.lines.values().filter(|line| line.job == job.id);
        let kitted = lines().filter(|line| line.kitted.is_positive()).count();
        let of_job = || short.iter().filter(|short| short.job == job.id);
        let one = |sort, state| ToDo {
            sort,
            about: called(job),
            what: engine.clone(),
            day: Some(job.use_day),
            state,
        };
        let whole = lines().all(|line| line.fitted >= line.need);
        if whole && kitted == 0 && lines().any(|line| line.fitted.is_positive()) {
            todo.push(one(Sort::ToClose, "all its parts are on".to_owned()));
            continue;
        }
        let covered = of_job().filter(|short| short.free >= short.short).count();
        let wanting = of_job().count() - covered;
        if job.use_day <= last && wanting > 0 {
            todo.push(one(Sort::Short, format!("SHORT of {}", count(wanting, "line"))));
        } else if job.use_day <= last && covered > 0 {
            todo.push(one(
                Sort::ToReserve,
                format!("{} to reserve", count(covered, "line")),
            ));
        } else if job.use_day <= last {
            todo.push(one(Sort::Job, "OK".to_owned()));
        }
        if kitted > 0 {
            todo.push(one(Sort::Kit, format!("{} in the kit", count(kitted, "line"))));
        }
    }
    Ok(todo)
}

fn dying_by(scene: &Scene<'_, '_>, today: Day, last: Day) -> Result<Vec<ToDo>, Failure> {
    let told = expiring(scene.books, last)?.into_iter().map(|(part, lying)| {
        let dead = !lying.lot.usable_on(today);
        let left = until(lying.lot.expiry, today);
        ToDo {
            sort: if dead { Sort::Dead } else { Sort::Dying },
            what: format!(
                "{} of {} in {}",
                measured(lying.qty, part.unit),
                part.number,
                lying.place.code
            ),
            day: lying.lot.expiry,
            state: if dead {
                left.replace("expired", "EXPIRED")
            } else {
                left
            },
            about: lying.lot.number,
        }
    });
    Ok(told.collect())
}

fn to_inspect(scene: &Scene<'_, '_>) -> Result<Vec<ToDo>, Failure> {
    let mut facts = scene.gather()?;
    let waiting = waiting(scene.books)?;
    for (lot, place) in &waiting {
        facts.lot(*lot)?;
        facts.place(*place)?;
    }
    let stock = facts.done();
    let mut todo = Vec::new();
    for (lot, place) in waiting {
        let (goods, part) = (stock.lot(lot)?, stock.part_of(lot)?);
        let there = stock.places_of(lot).find(|(at, _)| *at == place);
        let qty = there.map_or(Qty::ZERO, |(_, balance)| balance.qty);
        let at = stock.place(place)?;
        let caged = at.id.is(Kind::Quarantine);
        todo.push(ToDo {
            sort: if caged { Sort::Caged } else { Sort::Waiting },
            about: goods.number.clone(),
            what: format!("{} of {} in {}", measured(qty, part.unit), part.number, at.code),
            day: None,
            state: at
                .id
                .kind()
                .map(|kind| kind.word().to_owned())
                .unwrap_or_default(),
        });
    }
    Ok(todo)
}
