//! What is done in a test workshop, each act on the real way: facts gathered, decided by the domain, posted.

use super::world::{self, *};
use bincard::db::books::Open;
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::post;
use bincard::db::written::{gather as gather_written, written};
use bincard::domain::kitting::alter::{Alter, alter, cancel};
use bincard::domain::kitting::close::close;
use bincard::domain::measure::{Money, Qty};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, HoldId, JobId, LineId, LotId, OrderLineId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{Held, Posting, Source};
use bincard::domain::stores::stock::{Method, Stock};
use bincard::domain::stores::verbs::birth::{Birth, bear};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output, make_up, open};
use bincard::domain::stores::verbs::moves::post_moves;
use bincard::domain::stores::verbs::{holding, late_cost, restate, swap, undo};

/// Why an act did not happen.
#[derive(Debug)]
pub enum Fault {
    /// The domain refused it.
    Refused(Refusal),
    /// The books did.
    Books(Error),
}

impl From<Error> for Fault {
    fn from(error: Error) -> Fault {
        Fault::Books(error)
    }
}

impl From<Refusal> for Fault {
    fn from(refusal: Refusal) -> Fault {
        Fault::Refused(refusal)
    }
}

/// The document of an act, or why there is none.
pub type Done = Result<DocId, Fault>;

/// Insists on a refusal by the domain, whose words hold some others.
#[track_caller]
pub fn refused<T: std::fmt::Debug>(done: Result<T, Fault>, words: &str) {
    match done {
        Err(Fault::Refused(refusal)) if refusal.to_string().contains(words) => {}
        other => panic!("not refused with {words:?}: {other:?}"),
    }
}

/// The job that a line is of.
pub fn job_of(line: LineId) -> JobId {
    JobId((line.0 - 1) / LINES + 1)
}

/// Gathers what a movement is decided on.
pub fn gather_move(facts: &mut Gather<'_, '_>, asked: &Move) -> Result<(), Error> {
    facts.lot(asked.lot)?;
    facts.place(asked.from)?;
    facts.place(asked.to)?;
    for line in [asked.from_line, asked.to_line].into_iter().flatten() {
        facts.job(job_of(line))?;
    }
    if let Some(order) = asked.order_line {
        facts.order_line(order)?;
    }
    if asked.movement == Movement::TakeOff && asked.from.is(Kind::Engine) {
        facts.engine(asked.from)?;
    }
    Ok(())
}

impl World {
    /// Gathers, decides and posts in one transaction; whatever refuses leaves the books as they were.
    pub fn act(
        &mut self,
        gather: impl FnOnce(&mut Gather<'_, '_>) -> Result<(), Error>,
        decide: impl FnOnce(&Stock) -> Result<Posting, Refusal>,
    ) -> Done {
        let stamp = self.stamp();
        let (day, today, person) = (self.day, self.today, self.person());
        self.books.write(|books: &Open<'_>| {
            let mut facts = Gather::begin(books, day, today, person)?;
            gather(&mut facts)?;
            let posting = decide(&facts.done())?;
            Ok(post(books, &posting, &stamp)?)
        })
    }

    /// One document of movements under this head.
    pub fn moves(&mut self, head: Head, moves: &[Move]) -> Done {
        let gather =
            |facts: &mut Gather<'_, '_>| moves.iter().try_for_each(|asked| gather_move(facts, asked));
        self.act(gather, |stock| post_moves(stock, head, moves))
    }

    /// One movement, with everything on its paper that could be wanted.
    pub fn go(&mut self, asked: Move) -> Done {
        let mut head = self.head(DocKind::Movement(asked.movement));
        head.due = Some(world::day(60));
        head.owner_word = Some("by telephone".into());
        self.moves(head, &[asked])
    }

    /// Lots that come into the books.
    pub fn bear(&mut self, birth: Birth) -> Result<(DocId, LotId), Fault> {
        let head = self.head(DocKind::Movement(birth.movement));
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.part(birth.part)?;
            facts.place(birth.from)?;
            facts.place(birth.to)?;
            birth.lot.owner.map_or(Ok(()), |owner| facts.place(owner))?;
            birth
                .lot
                .order_line
                .map_or(Ok(()), |order| facts.order_line(order))?;
            birth.line.map_or(Ok(()), |line| facts.job(job_of(line)))
        };
        let births = [birth.clone()];
        let document = self.act(gather, |stock| bear(stock, head, &births))?;
        Ok((
            document,
            LotId(self.number(&format!("SELECT id FROM lot WHERE document = {document}"))),
        ))
    }

    /// Books a lot in from the first supplier.
    #[track_caller]
    pub fn book_in(&mut self, part: PartId, qty: Qty, value: i64, lot: NewLot) -> LotId {
        let from = lot.owner.unwrap_or(SUPPLIER);
        let value = Money::whole(value);
        let birth = Birth {
            movement: Movement::BookIn,
            part,
            lot,
            from,
            to: RECEIVING,
            qty,
            value,
            line: None,
        };
        self.bear(birth).unwrap().1
    }

    /// Books a plain lot in and accepts all of it to the first shelf.
    #[track_caller]
    pub fn shelved(&mut self, part: PartId, qty: Qty, value: i64) -> LotId {
        self.shelved_as(part, qty, value, NewLot::default())
    }

    /// Books a lot in and accepts all of it to the first shelf.
    #[track_caller]
    pub fn shelved_as(&mut self, part: PartId, qty: Qty, value: i64, lot: NewLot) -> LotId {
        let lot = self.book_in(part, qty, value, lot);
        self.accept(lot, qty).unwrap();
        lot
    }

    /// Accepts from receiving to the first shelf.
    pub fn accept(&mut self, lot: LotId, qty: Qty) -> Done {
        self.go(Move::new(Movement::Accept, lot, RECEIVING, SHELF, qty))
    }

    /// Reserves for a line.
    pub fn reserve(&mut self, line: LineId, lot: LotId, qty: Qty) -> Done {
        let head = self.head(DocKind::Reserve);
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.lot(lot)?;
            facts.job(job_of(line))
        };
        self.act(gather, |stock| {
            let mut draft = Draft::new(stock, head);
            draft.reserve(line, lot, qty)?;
            draft.finish()
        })
    }

    /// Promises what is still to come on an order line.
    pub fn peg(&mut self, line: LineId, order: OrderLineId, qty: Qty) -> Done {
        let head = self.head(DocKind::Reserve);
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.order_line(order)?;
            facts.job(job_of(line))
        };
        self.act(gather, |stock| {
            let mut draft = Draft::new(stock, head);
            draft.peg(line, order, qty)?;
            draft.finish()
        })
    }

    /// Gives a claim up.
    pub fn free(&mut self, line: LineId, source: Source) -> Done {
        let head = self.head(DocKind::Free);
        let gather = |facts: &mut Gather<'_, '_>| {
            match source {
                Source::Lot(lot) => facts.lot(lot)?,
                Source::Order(order) => facts.order_line(order)?,
            }
            facts.job(job_of(line))
        };
        self.act(gather, |stock| {
            let mut draft = Draft::new(stock, head);
            draft.free(line, source, None)?;
            draft.finish()
        })
    }

    /// Picks at the hatch from the first shelf.
    pub fn pick(&mut self, line: LineId, lot: LotId, qty: Qty) -> Done {
        self.go(Move::new(Movement::Pick, lot, SHELF, kit(job_of(line)), qty).onto(line))
    }

    /// Picks by a numbered list.
    pub fn pick_by(&mut self, list: i64, line: LineId, lot: LotId, qty: Qty) -> Done {
        let mut head = self.head(DocKind::Movement(Movement::Pick));
        head.list = Some(list);
        let asked = Move::new(Movement::Pick, lot, SHELF, kit(job_of(line)), qty).onto(line);
        self.moves(head, &[asked])
    }

    /// Puts back from the kit to the first shelf.
    pub fn put_back(&mut self, line: LineId, lot: LotId, qty: Qty) -> Done {
        self.go(Move::new(Movement::PutBack, lot, kit(job_of(line)), SHELF, qty).off(line))
    }

    /// Issues from the kit to the engine.
    pub fn issue(&mut self, line: LineId, lot: LotId, qty: Qty) -> Done {
        let job = job_of(line);
        self.go(Move::new(Movement::Issue, lot, kit(job), engine(job), qty)
            .off(line)
            .onto(line))
    }

    /// Returns from the engine to receiving.
    pub fn give_back(&mut self, line: LineId, lot: LotId, qty: Qty) -> Done {
        self.go(Move::new(Movement::Return, lot, engine(job_of(line)), RECEIVING, qty).off(line))
    }

    /// Opens, repacks, sorts, matches or re-identifies.
    pub fn open(&mut self, inputs: &[Input], outputs: &[Output]) -> Done {
        let head = self.head(DocKind::Movement(Movement::Open));
        self.open_under(head, inputs, outputs)
    }

    /// The same under a head of its own.
    pub fn open_under(&mut self, head: Head, inputs: &[Input], outputs: &[Output]) -> Done {
        let gather = |facts: &mut Gather<'_, '_>| gather_making(facts, inputs, outputs);
        self.act(gather, |stock| open(stock, head, MAKING, inputs, outputs))
    }

    /// Makes up one lot.
    pub fn make_up(&mut self, inputs: &[Input], output: Output) -> Done {
        let head = self.head(DocKind::Movement(Movement::MakeUp));
        let gather = |facts: &mut Gather<'_, '_>| gather_making(facts, inputs, std::slice::from_ref(&output));
        self.act(gather, |stock| {
            make_up(stock, head, MAKING, inputs, RECEIVING, output.clone())
        })
    }

    /// Opens one tube of the sealant on the first shelf; the opened lot.
    #[track_caller]
    pub fn open_tube(&mut self, lot: LotId) -> LotId {
        let input = Input {
            lot,
            place: SHELF,
            qty: n(50),
            line: None,
        };
        let opened = NewLot {
            opened: Some(self.day),
            expiry: self.day.plus_days(30),
            ..NewLot::default()
        };
        let document = self
            .open(
                &[input],
                &[Output {
                    part: SEALANT,
                    qty: n(50),
                    lot: opened,
                }],
            )
            .unwrap();
        LotId(self.number(&format!("SELECT id FROM lot WHERE document = {document}")))
    }

    /// Changes a job or its lines.
    pub fn alter(&mut self, job: JobId, changes: &[Alter]) -> Done {
        let head = self.head(DocKind::Change);
        self.act(|facts| facts.job(job), |stock| alter(stock, head, job, changes))
    }

    /// Gives a job up.
    pub fn cancel(&mut self, job: JobId) -> Done {
        let head = self.head(DocKind::Change);
        self.act(|facts| facts.job(job), |stock| cancel(stock, head, job))
    }

    /// Closes a job.
    pub fn close(&mut self, job: JobId) -> Done {
        let head = self.head(DocKind::Close);
        let stamp = self.stamp();
        let (day, today, person) = (self.day, self.today, self.person());
        self.books.write(|books: &Open<'_>| -> Done {
            let mut facts = Gather::begin(books, day, today, person)?;
            let sent_out = facts.sent_out_for(job)?;
            facts.job_with_goods(job)?;
            let posting = close(&facts.done(), head, job, &sent_out)?;
            Ok(post(books, &posting, &stamp)?)
        })
    }

    /// Puts a hold on a lot or a place; its number.
    #[track_caller]
    pub fn hold(&mut self, on: Held) -> HoldId {
        self.try_hold(on).unwrap();
        HoldId(self.number("SELECT MAX(id) FROM hold"))
    }

    /// The same, as a document.
    pub fn try_hold(&mut self, on: Held) -> Done {
        let head = self.head(DocKind::Hold);
        let gather = |facts: &mut Gather<'_, '_>| match on {
            Held::Lot(lot) => facts.lot(lot),
            Held::Place(place) => facts.place_with_lots(place),
        };
        self.act(gather, |stock| {
            holding::hold(stock, head, on, "dropped on the floor")
        })
    }

    /// Lifts a hold.
    pub fn lift(&mut self, hold: HoldId) -> Done {
        let head = self.head(DocKind::Hold);
        self.act(|facts| facts.hold(hold), |stock| holding::lift(stock, head, hold))
    }

    /// Lets a late cost, or a credit, follow a lot.
    pub fn late_cost(&mut self, lot: LotId, cost: Money) -> Done {
        let head = self.head(DocKind::Movement(Movement::LateCost));
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.place(SUPPLIER)?;
            facts.place(COUNTED)?;
            facts.family(lot)
        };
        self.act(gather, |stock| {
            late_cost::late_cost(stock, head, SUPPLIER, COUNTED, lot, cost)
        })
    }

    /// Changes the method of value.
    pub fn restate(&mut self, method: Method) -> Done {
        let head = self.head(DocKind::Movement(Movement::Restate));
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.place(MAKING)?;
            facts.shelves()
        };
        self.act(gather, |stock| restate::restate(stock, head, MAKING, method))
    }

    /// Another engine becomes the job's.
    pub fn swap(&mut self, job: JobId, to: PlaceId) -> Done {
        let head = self.head(DocKind::Movement(Movement::Swap));
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.job_with_goods(job)?;
            facts.place(to)
        };
        self.act(gather, |stock| swap::swap_engine(stock, head, job, to))
    }

    /// Undoes a document.
    pub fn undo(&mut self, document: DocId) -> Done {
        let head = self.head(DocKind::Movement(Movement::Undo));
        let stamp = self.stamp();
        let (day, today, person) = (self.day, self.today, self.person());
        self.books.write(|books: &Open<'_>| -> Done {
            let document = written(books, document)?.unwrap();
            let mut facts = Gather::begin(books, day, today, person)?;
            gather_written(&mut facts, &document)?;
            let posting = undo::undo(&facts.done(), head, &document)?;
            Ok(post(books, &posting, &stamp)?)
        })
    }

    /// Undoes the newest document and insists that everything derived is as it was before that document.
    #[track_caller]
    pub fn undone_exactly(&mut self, act: impl FnOnce(&mut World) -> Done) {
        let stood = self.stood();
        let before = self.derived(stood);
        let done = act(self).unwrap();
        assert_ne!(self.derived(stood), before, "the act changed nothing");
        self.undo(done).unwrap();
        assert_eq!(self.derived(stood), before);
        self.sound();
    }
}

/// Gathers what a making is decided on.
pub fn gather_making(facts: &mut Gather<'_, '_>, inputs: &[Input], outputs: &[Output]) -> Result<(), Error> {
    facts.place(MAKING)?;
    facts.place(RECEIVING)?;
    for input in inputs {
        facts.lot(input.lot)?;
        facts.place(input.place)?;
        input.line.map_or(Ok(()), |line| facts.job(job_of(line)))?;
    }
    for output in outputs {
        facts.part(output.part)?;
        output.lot.owner.map_or(Ok(()), |owner| facts.place(owner))?;
    }
    Ok(())
}
