//! The frame of every command on a store: read in one transaction, or read, decide, post and commit in one.

use crate::cmd::args::Globals;
use crate::cmd::dating;
use crate::cmd::desk::{Desk, Moment, default_store, read_up_to_most};
use crate::cmd::error::{Failure, exit};
use crate::db;
use crate::db::books::{Books, Open};
use crate::db::canon::digest;
use crate::db::check::check;
use crate::db::load::Gather;
use crate::db::people;
use crate::db::post::{Stamp, post};
use crate::db::schema::KNOWN;
use crate::db::sqlite::Purpose;
use crate::db::written::number;
use crate::domain::measure::{Currency, Day};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::{DocKind, Head};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::record::Table;
use crate::domain::stores::stock::Person;
use crate::print::escape::escape;
use crate::print::paper::{Heading, Paper, TypedAs};
use std::cell::RefCell;
use std::path::PathBuf;

/// A paper and the exit it goes with.
#[derive(Debug)]
pub struct Done {
    /// What is said.
    pub paper: Paper,
    /// The exit.
    pub exit: u8,
}

impl Done {
    /// A paper whose answer is yes.
    pub fn yes(paper: Paper) -> Done {
        Done {
            paper,
            exit: exit::DONE,
        }
    }

    /// A paper whose answer is no.
    pub fn no(paper: Paper) -> Done {
        Done {
            paper,
            exit: exit::NO,
        }
    }
}

/// One store, one command line.
pub struct Shop<'d, 'a> {
    pub(super) desk: &'d mut Desk<'a>,
    /// What stood before or after the command.
    pub globals: Globals,
    request: String,
}

/// The books in front of a command, with the days, the person and the heading of its paper.
pub struct Scene<'s, 'b> {
    /// The books, in one transaction.
    pub books: &'s Open<'b>,
    /// The day it happened, or is asked about.
    pub day: Day,
    /// The day of the clock; in a training store the training day.
    pub today: Day,
    /// The instant of writing.
    pub at: String,
    /// Who writes; nobody where a command only reads.
    pub person: Person,
    /// The heading of the paper.
    pub heading: Heading,
    /// The base currency.
    pub currency: Currency,
    /// What was typed otherwise than it is kept, as it was understood; the frame tells it on the paper.
    pub understood: RefCell<Vec<TypedAs>>,
}

impl<'s, 'b> Scene<'s, 'b> {
    /// Begins gathering facts for a decision.
    pub fn gather(&self) -> Result<Gather<'s, 'b>, Failure> {
        Ok(Gather::begin(
            self.books,
            self.day,
            self.today,
            self.person.clone(),
        )?)
    }

    /// The head of a document of this kind.
    pub fn head(&self, kind: DocKind) -> Head {
        Head::new(kind, self.day, &self.person.initials)
    }

    /// A paper under this scene's heading.
    pub fn paper(&self, kind: &'static str, answer: impl Into<String>) -> Paper {
        Paper::new(kind, answer, self.heading.clone())
    }
}

/// What a changing command decided: what to post, and the paper to print once it stands in the books.
pub struct Decision<'p> {
    posting: Option<Posting>,
    paper: PaperMaker<'p>,
    exit: u8,
}

/// Makes the paper of a decision from the books after the posting.
type PaperMaker<'p> = Box<dyn FnOnce(&Scene<'_, '_>) -> Result<Paper, Failure> + 'p>;

impl<'p> Decision<'p> {
    /// Posts, then prints what `paper` makes of the books as they then stand.
    pub fn post(
        posting: Posting,
        exit: u8,
        paper: impl FnOnce(&Scene<'_, '_>) -> Result<Paper, Failure> + 'p,
    ) -> Decision<'p> {
        Decision {
            posting: Some(posting),
            paper: Box::new(paper),
            exit,
        }
    }

    /// Posts nothing.
    pub fn nothing(exit: u8, paper: Paper) -> Decision<'p> {
        Decision {
            posting: None,
            paper: Box::new(|_| Ok(paper)),
            exit,
        }
    }
}

impl<'d, 'a> Shop<'d, 'a> {
    /// A store as the command line and the environment name it.
    pub fn new(desk: &'d mut Desk<'a>, globals: Globals, request: String) -> Shop<'d, 'a> {
        Shop {
            desk,
            globals,
            request,
        }
    }

    /// Where the store lies, and why there.
    pub fn path(&self) -> Result<PathBuf, Failure> {
        let given = self
            .globals
            .store
            .clone()
            .or_else(|| (self.desk.env)("BINCARD_STORE").map(PathBuf::from));
        given.or_else(|| default_store(self.desk.env)).ok_or_else(|| {
            Failure::usage(
                "no store named, and no home folder to look in",
                "name one: `--store PATH`",
            )
        })
    }

    /// Whether the path is the default one, which nobody named.
    pub fn path_is_default(&self) -> bool {
        self.globals.store.is_none() && (self.desk.env)("BINCARD_STORE").is_none()
    }

    /// What to call while another process keeps us waiting.
    pub fn waiting(&self) -> fn() {
        self.desk.waiting
    }

    /// Opens the store; one that this brought up is proved, and it is told where the store as it was is kept.
    pub fn open(&mut self, purpose: Purpose) -> Result<Books, Failure> {
        let books = Books::open(&self.path()?, purpose, self.waiting())?;
        if let Some(kept) = books.kept() {
            let (faults, at) = (books.read(check)?.faults.len(), kept.to_owned());
            if faults > 0 {
                return Err(db::error::Error::BroughtUpUnsound { faults, kept: at }.into());
            }
            let kept = escape(&kept.display().to_string());
            let line = format!(
                "the store was brought up to version {KNOWN} and its books hold; as it was it is kept at {kept}\n"
            );
            let told = self.desk.err.write_all(line.as_bytes());
            told.map_err(Failure::of_stream)?;
        }
        Ok(books)
    }

    /// The instant and day of the clock.
    pub fn moment(&self) -> Result<Moment, Failure> {
        let told = (self.desk.clock)();
        told.ok_or_else(|| Failure::usage("the clock of this machine tells no day", "set the clock"))
    }

    /// The request as it is digested.
    pub fn request(&self) -> String {
        format!("{}\n{:?}\n{:?}", self.request, self.globals.on, self.globals.by)
    }

    /// The stamp of a document written now.
    pub fn stamp(&mut self, at: &str) -> Stamp {
        let op = self.globals.op_id.clone().unwrap_or_else(|| (self.desk.new_op)());
        Stamp {
            at: at.to_owned(),
            op,
            request: digest(self.request().as_bytes()),
        }
    }

    /// The initials, as given or as asked for.
    pub fn initials(&mut self) -> Result<String, Failure> {
        if let Some(by) = &self.globals.by {
            return Ok(by.clone());
        }
        let needed = || {
            Failure::usage(
                "whose initials? every document bears some",
                "say who: `--by INITIALS`",
            )
        };
        let typed = self
            .ask("initials: ")
            .filter(|typed| !typed.is_empty())
            .ok_or_else(needed)?;
        self.globals.by = Some(typed.clone());
        Ok(typed)
    }

    /// Asks the person at the keyboard; nothing where nobody sits there, nobody is to be asked, or nothing more
    /// is typed. Never while the books are locked.
    pub fn ask(&mut self, question: &str) -> Option<String> {
        if self.globals.no_input || !self.desk.input_is_person {
            return None;
        }
        let mut line = String::new();
        self.desk
            .err
            .write_all(question.as_bytes())
            .and_then(|()| self.desk.err.flush())
            .ok()?;
        let read = self.desk.input.read_line(&mut line).ok()?;
        (read > 0).then(|| line.trim().to_owned())
    }

    /// Everything that is typed or piped in, up to the largest file that is read; a person is told that we wait for him.
    pub fn read_input(&mut self) -> Result<Vec<u8>, std::io::Error> {
        if self.desk.input_is_person {
            self.desk
                .err
                .write_all(b"reading what you type, up to Ctrl-D on a line of its own\n")?;
            self.desk.err.flush()?;
        }
        read_up_to_most(self.desk.input)
    }

    fn scene<'s, 'b>(&self, books: &'s Open<'b>, person: Person) -> Result<Scene<'s, 'b>, Failure> {
        let training = books.setting("training")?;
        let strange = |found: &String| crate::db::error::Error::Strange {
            what: "training day",
            found: found.clone(),
        };
        let training = training
            .map(|text| Day::parse(&text).map_err(|_| strange(&text)))
            .transpose()?;
        let (today, at) = match training {
            Some(day) => (day, format!("{day}T12:00:00Z")),
            None => {
                let moment = self.moment()?;
                (moment.day, moment.at)
            }
        };
        let day = dating::given_day(&self.globals)?.unwrap_or(today);
        let code = books.setting("currency")?.unwrap_or_default();
        let currency = Currency::parse(&code).map_err(|fault| Refusal::Impossible {
            what: "currency".to_owned(),
            because: fault.to_string(),
        })?;
        let heading = Heading {
            store: books.setting("name")?.unwrap_or_default(),
            day: Some(day),
            training: training.is_some(),
            trial: self.globals.dry_run,
        };
        Ok(Scene {
            books,
            day,
            today,
            at,
            person,
            heading,
            currency,
            understood: RefCell::default(),
        })
    }

    /// Reads the books in one transaction that cannot write.
    pub fn read(
        &mut self,
        work: impl FnOnce(&Scene<'_, '_>) -> Result<Done, Failure>,
    ) -> Result<Done, Failure> {
        let books = self.open(Purpose::Read)?;
        books.read(|open| {
            let mut scene = self.scene(open, Person::default())?;
            scene.heading.trial = false;
            work(&scene)
        })
    }

    /// Reads, decides, posts and commits in one transaction; a trial run is the real run, rolled back.
    pub fn change(
        &mut self,
        work: impl FnOnce(&Scene<'_, '_>) -> Result<Decision<'static>, Failure>,
    ) -> Result<Done, Failure> {
        let books = self.open(Purpose::Write)?;
        let initials = self.initials()?;
        books.write(|open| {
            let mut scene = self.scene(open, Person::default())?;
            scene.person = people::person::<Failure>(open, &initials, scene.day.max(scene.today))?;
            let stamp = self.stamp(&scene.at);
            if let Some(done) = already(&scene, &stamp)? {
                return Ok(done);
            }
            dating::judge_day(&scene)?;
            let decision = work(&scene)?;
            dating::judge_lots(&scene, decision.posting.as_ref())?;
            let done = settle(&scene, decision, &stamp)?;
            if scene.heading.trial {
                return Err(Failure::Trial(Box::new(done.paper), done.exit));
            }
            Ok(done)
        })
    }
}

/// Posts what was decided and makes its paper, with the way to take it back.
fn settle(scene: &Scene<'_, '_>, decision: Decision<'_>, stamp: &Stamp) -> Result<Done, Failure> {
    let understood = scene.understood.take();
    let Some(posting) = decision.posting else {
        let mut paper = (decision.paper)(scene)?;
        paper.understood = understood;
        return Ok(Done {
            paper,
            exit: decision.exit,
        });
    };
    let kind = posting.head.kind;
    let id = post(scene.books, &posting, stamp)?;
    let mut paper = (decision.paper)(scene)?;
    paper.understood = understood;
    let document = number(kind.word(), id.0)?;
    let moved = !posting.entries.is_empty() || !posting.claims.is_empty() || !posting.holds.is_empty();
    let fields = posting
        .changes
        .iter()
        .any(|change| change.field != Field::Training);
    let raised = posting.records.iter().any(|record| record.table == Table::Job);
    let undoable = kind != DocKind::Movement(Movement::Undo) && (moved || fields || raised);
    if undoable && !scene.heading.trial {
        paper.next.push(format!(
            "bincard undo {document} --by {}   takes this back",
            posting.head.by
        ));
    }
    paper.document = Some(document);
    Ok(Done {
        paper,
        exit: decision.exit,
    })
}

/// The same operation with the same request is done already; with another request it is refused.
fn already(scene: &Scene<'_, '_>, stamp: &Stamp) -> Result<Option<Done>, Failure> {
    let Some((id, kind, request)) = people::operation(scene.books, &stamp.op)? else {
        return Ok(None);
    };
    if request != stamp.request {
        return Err(crate::db::error::Error::OtherRequest {
            op: stamp.op.clone(),
            document: id,
        }
        .into());
    }
    let document = number(&kind, id)?;
    let mut paper = scene.paper(
        "recorded",
        format!("already recorded as {document}; nothing was posted again"),
    );
    paper.document = Some(document);
    Ok(Some(Done::yes(paper)))
}
