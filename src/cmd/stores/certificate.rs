//! `certificate`: the register of papers that came with goods: what each covers, what is drawn on it, what is left.

use crate::cmd::desk::read_file;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::quantity;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::canon::digest;
use crate::db::post::hex;
use crate::db::stores::certificates::{certificates, certificates_called, lots_on, next_certificate};
use crate::db::stores::stock::part_numbered;
use crate::domain::acceptance::certificate::{Certificate, PaperKind, may_cover};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::{Change, Field, Posting};
use crate::domain::stores::record::{Record, Table as Sort};
use crate::intake::csv_file::MOST_BYTES;
use crate::print::paper::Paper;
use crate::print::stores::certificate_sheet::{in_a_line, register, sheet};
use clap::{Args, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

/// Certificates: what each covers, what is drawn on it, what is left
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `list`.
    #[command(
        after_help = "examples:\n  bincard certificate list\n  bincard certificate list FP-12 --format csv"
    )]
    List(ListAsk),
    /// `show`.
    #[command(
        after_help = "examples:\n  bincard certificate show RC-4471\n  bincard certificate show \"Pellam RC-4471\" --format json"
    )]
    Show(ShowAsk),
    /// `add`.
    #[command(
        after_help = "examples:\n  bincard certificate add RC-4471 FP-12 20 --sort release --issuer Pellam --by TW\n  bincard certificate add CS-90 ST-160 100 --sort conformity --issuer Quoyle --dated 2026-11-20 --by TW"
    )]
    Add(AddAsk),
    /// `change`.
    #[command(
        after_help = "examples:\n  bincard certificate change RC-4471 --covers 24 --by OQ\n  bincard certificate change RC-4471 --file scans/rc-4471.pdf --by TW"
    )]
    Change(ChangeAsk),
}

/// List the certificates, or those of one part
#[derive(Args, Debug)]
pub struct ListAsk {
    /// Those of this part only
    #[arg(value_name = "PART")]
    part: Option<String>,
}

/// Show one certificate and the lots drawn on it
#[derive(Args, Debug)]
pub struct ShowAsk {
    /// Its number; `ISSUER NUMBER` where several issuers use the same
    #[arg(value_name = "NUMBER")]
    number: String,
}

/// Enter a certificate that came with goods
#[derive(Args, Debug)]
pub struct AddAsk {
    /// Its number, as its issuer wrote it
    #[arg(value_name = "NUMBER")]
    number: String,
    /// The part that it covers
    #[arg(value_name = "PART")]
    part: String,
    /// How much of it
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    covers: String,
    /// What sort of paper
    #[arg(long, value_enum, value_name = "SORT")]
    sort: SortWord,
    /// Who issued it
    #[arg(long, value_name = "NAME")]
    issuer: String,
    /// The day that it bears
    #[arg(long, value_name = "DATE")]
    dated: Option<String>,
    /// Its scan, whose SHA-256 is kept
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
}

/// Change what a certificate covers, its day or its scan
#[derive(Args, Debug)]
pub struct ChangeAsk {
    /// Its number; `ISSUER NUMBER` where several issuers use the same
    #[arg(value_name = "NUMBER")]
    number: String,
    /// How much it covers
    #[arg(long, value_name = "QTY")]
    covers: Option<String>,
    /// The day that it bears
    #[arg(long, value_name = "DATE")]
    dated: Option<String>,
    /// Its scan, whose SHA-256 is kept
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
}

/// The sorts of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum SortWord {
    /// Who released it to service
    Release,
    /// That it is what the order or the standard asks for
    Conformity,
    /// What was measured on it
    Test,
    /// How it was made in the house
    Work,
}

impl SortWord {
    fn kind(self) -> PaperKind {
        match self {
            SortWord::Release => PaperKind::Release,
            SortWord::Conformity => PaperKind::Conformity,
            SortWord::Test => PaperKind::Test,
            SortWord::Work => PaperKind::Work,
        }
    }
}

/// Lists, shows, enters or changes.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::List(ask) => shop.read(|scene| list(scene, ask.part.as_ref())),
        Command::Show(ask) => shop.read(|scene| show(scene, &ask.number)),
        Command::Add(ask) => {
            let scan = ask.file.as_deref().map(taken).transpose()?;
            shop.change(|scene| add(scene, &ask, scan))
        }
        Command::Change(ask) => {
            let scan = ask.file.as_deref().map(taken).transpose()?;
            shop.change(|scene| change(scene, &ask, scan))
        }
    }
}

/// Where a scan lies and its digest.
type Scan = (String, String);

/// Reads a scan: its whole path, and the SHA-256 of what stands in it.
fn taken(path: &Path) -> Result<Scan, Failure> {
    let cannot = |because: String| Failure::File {
        path: path.display().to_string(),
        because,
        exit: exit::NO_INPUT,
    };
    let bytes = read_file(path).map_err(|error| cannot(error.to_string()))?;
    if bytes.len() > MOST_BYTES {
        return Err(cannot("it is larger than any scan that is read".to_owned()));
    }
    let whole = std::path::absolute(path).map_err(|error| cannot(error.to_string()))?;
    Ok((whole.display().to_string(), hex(&digest(&bytes))))
}

fn part_called(scene: &Scene<'_, '_>, number: &str) -> Result<PartId, Failure> {
    let part = part_numbered(scene.books, number)?.map(|part| part.id);
    part.ok_or_else(|| {
        Refusal::Unknown {
            what: "part",
            asked: number.to_owned(),
            near: Vec::new(),
        }
        .into()
    })
}

fn list(scene: &Scene<'_, '_>, part: Option<&String>) -> Result<Done, Failure> {
    let part = part.map(|number| part_called(scene, number)).transpose()?;
    let mut all = certificates(scene.books)?;
    all.retain(|one| part.is_none() || one.part == part);
    let mut facts = scene.gather()?;
    for one in &all {
        facts.certificate(one.id)?;
    }
    let paper = scene.paper("certificates", "");
    Ok(Done::yes(register(&facts.done(), &all, paper)?))
}

/// The one certificate that is meant.
fn the_one(scene: &Scene<'_, '_>, asked: &str) -> Result<Certificate, Failure> {
    let mut found = certificates_called(scene.books, asked)?;
    match (found.pop(), found.is_empty()) {
        (Some(one), true) => Ok(one),
        (None, _) => Err(unknown(scene, asked)?),
        (Some(last), false) => {
            found.push(last);
            Err(several(asked, &found))
        }
    }
}

/// That no certificate is of this number, with all there are where they are few.
pub fn unknown(scene: &Scene<'_, '_>, asked: &str) -> Result<Failure, Failure> {
    let all = certificates(scene.books)?;
    let near = all.iter().rev().take(5).map(|one| one.number.clone());
    Ok(Refusal::Unknown {
        what: "certificate",
        asked: asked.to_owned(),
        near: near.collect(),
    }
    .into())
}

/// That several certificates are of this number.
pub fn several(asked: &str, found: &[Certificate]) -> Failure {
    Refusal::Ambiguous {
        what: "certificate",
        asked: asked.to_owned(),
        fits: found
            .iter()
            .map(|one| format!("{} {}", one.issuer, one.number))
            .collect(),
    }
    .into()
}

fn show(scene: &Scene<'_, '_>, asked: &str) -> Result<Done, Failure> {
    let one = the_one(scene, asked)?;
    Ok(Done::yes(shown(scene, &one)?))
}

/// A certificate as it stands, its scan looked at.
fn shown(scene: &Scene<'_, '_>, one: &Certificate) -> Result<Paper, Failure> {
    let mut facts = scene.gather()?;
    facts.certificate(one.id)?;
    let lots = lots_on(scene.books, one.id)?;
    let scan = match (&one.file, &one.digest) {
        (Some(file), Some(kept)) => match taken(Path::new(file)) {
            Ok((_, now)) if now == *kept => format!("its scan lies at {file}, as it was entered"),
            Ok(_) => format!("its scan at {file} is NOT what was entered"),
            Err(_) => format!("its scan is MISSING: {file}"),
        },
        _ => "no scan of it is kept".to_owned(),
    };
    let paper = scene.paper("certificate", "");
    Ok(sheet(&facts.done(), one, &lots, &scan, paper)?)
}

/// A day as an option gives it.
fn dated(text: Option<&String>) -> Result<Option<Day>, Failure> {
    let day = text.map(|text| Day::parse(text)).transpose();
    day.map_err(|fault| {
        Failure::usage(
            format!("--dated: {fault}"),
            "give the day on the paper: `--dated 2026-11-20`",
        )
    })
}

fn named(what: &'static str, text: &str) -> Result<String, Failure> {
    let text = text.trim();
    if text.is_empty() || text.chars().count() > 200 || text.chars().any(char::is_control) {
        return Err(Refusal::Impossible {
            what: what.to_owned(),
            because: "it has between 1 and 200 letters, on one line".to_owned(),
        }
        .into());
    }
    Ok(text.to_owned())
}

fn add(scene: &Scene<'_, '_>, ask: &AddAsk, scan: Option<Scan>) -> Result<Decision<'static>, Failure> {
    let (number, issuer) = (
        named("number of the certificate", &ask.number)?,
        named("issuer", &ask.issuer)?,
    );
    let kind = ask.sort.kind();
    let twin = certificates_called(scene.books, &number)?
        .into_iter()
        .any(|one| one.issuer == issuer && one.kind == kind && one.number == number);
    if twin {
        return Err(Refusal::Doubled {
            what: "certificate",
            name: format!("{number} of {issuer}"),
        }
        .into());
    }
    let part = part_called(scene, &ask.part)?;
    let mut facts = scene.gather()?;
    facts.part(part)?;
    let covers = quantity(scene, &ask.covers, facts.so_far().part(part)?)?;
    if !covers.is_positive() {
        return Err(Refusal::Nothing.into());
    }
    let (file, digest) = scan.unzip();
    let mut posting = Posting::new(scene.head(DocKind::Change));
    posting.records.push(Record {
        table: Sort::Certificate,
        data: vec![
            next_certificate(scene.books)?.into(),
            number.as_str().into(),
            kind.word().into(),
            issuer.as_str().into(),
            dated(ask.dated.as_ref())?.unwrap_or(scene.day).into(),
            part.0.into(),
            covers.into(),
            file.into(),
            digest.into(),
        ],
    });
    Ok(posted(posting, format!("{issuer} {number}")))
}

/// Posts, and tells how the certificate stands then.
fn posted(posting: Posting, called: String) -> Decision<'static> {
    Decision::post(posting, exit::DONE, move |scene| {
        let one = the_one(scene, &called)?;
        let mut paper = shown(scene, &one)?;
        let quote = if one.number.contains(' ') { "\"" } else { "" };
        paper.next.push(format!(
            "bincard inspect GRN LINE=QTY --certificate {quote}{}{quote} --by INITIALS   draws on it",
            one.number
        ));
        Ok(paper)
    })
}

fn change(scene: &Scene<'_, '_>, ask: &ChangeAsk, scan: Option<Scan>) -> Result<Decision<'static>, Failure> {
    let one = the_one(scene, &ask.number)?;
    let mut facts = scene.gather()?;
    facts.certificate(one.id)?;
    let covers = ask.covers.as_ref().map(|text| {
        let part = one.part.map(|part| facts.so_far().part(part)).transpose()?;
        covered(scene, text, part, &one)
    });
    let (file, digest) = scan.unzip();
    let day = dated(ask.dated.as_ref())?.map(|day| day.to_string());
    let mut posting = Posting::new(scene.head(DocKind::Change));
    for (field, old, new) in [
        (
            Field::CertificateCovers,
            Some(one.covers.millionths().to_string()),
            covers.transpose()?,
        ),
        (Field::CertificateDay, Some(one.day.to_string()), day),
        (Field::CertificateFile, one.file.clone(), file),
        (Field::CertificateDigest, one.digest.clone(), digest),
    ] {
        if new.is_some() && new != old {
            posting.changes.push(Change {
                field,
                id: one.id.0,
                old,
                new,
            });
        }
    }
    if posting.changes.is_empty() {
        return Err(Failure::usage(
            format!(
                "{} stands so already, nothing is changed",
                in_a_line(&facts.done(), &one)?
            ),
            "say what is new: `--covers 24`, `--dated 2026-11-20`, `--file SCAN`",
        ));
    }
    Ok(posted(posting, format!("{} {}", one.issuer, one.number)))
}

/// What it is to cover, in millionths; no less than was drawn.
fn covered(
    scene: &Scene<'_, '_>,
    text: &str,
    part: Option<&Part>,
    one: &Certificate,
) -> Result<String, Failure> {
    let part = part.ok_or(Refusal::Unread {
        what: "part of certificate",
        id: one.id.0,
    })?;
    let covers = quantity(scene, text, part)?;
    may_cover(one, covers)?;
    Ok(covers.millionths().to_string())
}
