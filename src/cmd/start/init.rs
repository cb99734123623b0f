//! `init`: makes a store, with the places that every store has and its method of value.

use crate::cmd::desk::make_folder;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Done, Shop};
use crate::cmd::start::settings::Papers;
use crate::db::books::{Books, Open};
use crate::db::post::{Stamp, post};
use crate::domain::measure::{Currency, Day};
use crate::domain::stores::document::{DocKind, Head};
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::{Record, Table};
use crate::domain::stores::stock::Method;
use crate::print::paper::{Heading, Paper};
use clap::{Args, ValueEnum};

/// Make a store where there is none
#[derive(Args, Debug)]
pub struct Ask {
    /// What the stores are called
    #[arg(long, value_name = "NAME")]
    name: String,
    /// How what leaves a shelf is priced; cannot be changed lightly later
    #[arg(long, value_enum, default_value_t)]
    method: MethodWord,
    /// The base currency, ISO 4217
    #[arg(long, value_name = "CODE", default_value = "GBP")]
    currency: String,
    /// The day at which the clock of a training store stands
    #[arg(long, value_name = "DATE")]
    training_day: Option<String>,
    /// Whether goods are accepted only with the papers and checks that their class asks for
    #[arg(long, value_enum, default_value_t, value_name = "WHETHER")]
    papers: Papers,
}

/// The methods of value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum MethodWord {
    /// Each lot at its own cost
    #[default]
    Actual,
    /// First in, first out
    Fifo,
    /// Moving average
    Average,
}

/// The places that every store has: code, name, kind.
const PLACES: &[(&str, &str, Kind)] = &[
    ("SCRAP", "scrapped", Kind::Scrap),
    ("SHOP", "used up in the workshop", Kind::Shop),
    ("COUNTED", "over and short in counts", Kind::Counted),
    ("MAKING", "stock that becomes other stock", Kind::Making),
    ("BROUGHT-FORWARD", "the old cards", Kind::BroughtForward),
];

/// Makes the store.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let currency = Currency::parse(&ask.currency)
        .map_err(|fault| Failure::usage(fault.to_string(), "give an ISO 4217 code: `--currency GBP`"))?;
    let training = ask.training_day.as_deref().map(Day::parse).transpose();
    let training = training
        .map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--training-day 2026-11-25`"))?;
    if ask.name.trim().is_empty() || ask.name.chars().count() > 200 || ask.name.contains('\0') {
        return Err(Failure::usage(
            "the name of the stores is empty, too long or no text",
            "`--name \"Tern Slip\"`",
        ));
    }
    if shop.globals.dry_run {
        return Err(Failure::usage(
            "a store cannot be made on trial",
            "leave `--dry-run` out",
        ));
    }
    let path = shop.path()?;
    let by = shop.initials()?;
    let moment = shop.moment()?;
    let day = training.unwrap_or(moment.day);
    let stamp = shop.stamp(&training.map_or(moment.at, |day| format!("{day}T12:00:00Z")));
    if let (true, Some(folder)) = (shop.path_is_default(), path.parent()) {
        make_folder(folder).map_err(|error| Failure::File {
            path: folder.display().to_string(),
            because: error.to_string(),
            exit: exit::CANNOT_CREATE,
        })?;
    }
    let method = match ask.method {
        MethodWord::Actual => Method::Actual,
        MethodWord::Fifo => Method::Fifo,
        MethodWord::Average => Method::Average,
    };
    Books::create(&path, shop.waiting(), |books| -> Result<(), Failure> {
        books.set_setting("name", ask.name.trim())?;
        books.set_setting("currency", currency.code())?;
        books.set_setting("method", method.word())?;
        books.set_setting("papers", ask.papers.word())?;
        if let Some(day) = training {
            books.set_setting("training", &day.to_string())?;
        }
        found(books, Head::new(DocKind::Founding, day, &by), &stamp)
    })?;
    let heading = Heading {
        store: ask.name.trim().to_owned(),
        day: Some(day),
        training: training.is_some(),
        trial: false,
    };
    let mut paper = Paper::new(
        "init",
        format!("the store of {} is made", ask.name.trim()),
        heading,
    );
    paper.notes.push(format!(
        "it lies at {}; what leaves a shelf is priced by {}",
        path.display(),
        method.word()
    ));
    paper
        .next
        .push("bincard import FOLDER --by INITIALS   takes on your parts, bins and opening stock".to_owned());
    Ok(Done::yes(paper))
}

/// The first document: the places that every store has.
fn found(books: &Open<'_>, head: Head, stamp: &Stamp) -> Result<(), Failure> {
    let mut posting = Posting::new(head);
    for (code, name, kind) in PLACES {
        let nothing = || None::<i64>.into();
        posting.records.push(Record {
            table: Table::Place,
            data: vec![
                PlaceId::of(*kind, 1).0.into(),
                (*code).into(),
                (*name).into(),
                nothing(),
                nothing(),
                false.into(),
                nothing(),
                nothing(),
            ],
        });
    }
    post(books, &posting, stamp)?;
    Ok(())
}
