//! What is done in a history by chance: goods that lie somewhere go on the ways the law knows, mostly as they should.

use super::super::acts::Done;
use super::super::world::*;
use super::History;
use bincard::db::value::Row;
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{JobId, LineId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::verbs::birth::Birth;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

/// Goods that lie somewhere.
#[derive(Clone, Copy, Debug)]
pub struct Lying {
    pub lot: LotId,
    pub place: PlaceId,
    pub qty: Qty,
    pub part: PartId,
    pub whole: bool,
    pub unopened: bool,
    pub owner: Option<PlaceId>,
}

impl History {
    /// The rows that a statement gives; one of them by chance.
    pub fn any(&mut self, sql: &str) -> Option<Row> {
        let rows = self.world.rows(sql);
        self.chance.one_of(&rows).cloned()
    }

    /// Some goods in a place of one of these kinds.
    pub fn lying(&mut self, kinds: &[Kind]) -> Option<Lying> {
        self.lying_where(kinds, "1 = 1")
    }

    /// Some goods in a place of one of these kinds, of which something more is true.
    pub fn lying_where(&mut self, kinds: &[Kind], and: &str) -> Option<Lying> {
        let kinds: Vec<String> = kinds.iter().map(|kind| kind.code().to_string()).collect();
        let row = self.any(&format!(
            "SELECT b.lot, b.place, b.qty, l.part, l.size, l.opened, l.owner FROM balance b JOIN lot l ON l.id = b.lot \
             WHERE b.qty > 0 AND b.place / 1000000 IN ({}) AND {and}",
            kinds.join(", ")
        ))?;
        Some(Lying {
            lot: LotId(row.int(0).unwrap()),
            place: PlaceId(row.int(1).unwrap()),
            qty: row.qty(2).unwrap(),
            part: PartId(row.int(3).unwrap()),
            whole: row.maybe_int(4).unwrap().is_some(),
            unopened: row.maybe_text(5).unwrap().is_none(),
            owner: row.maybe_int(6).unwrap().map(PlaceId),
        })
    }

    /// Some of what lies there: all of it, whole units, or a few steps; now and then more than there is.
    pub fn some_of(&mut self, lying: Lying) -> Qty {
        if self.chance.percent(2) {
            return lying.qty + Qty::whole(1);
        }
        if lying.whole || self.chance.percent(35) {
            return lying.qty;
        }
        let part = bare_part(lying.part);
        let step = part
            .hand_out
            .filter(|_| lying.unopened && self.chance.percent(85))
            .unwrap_or(part.step);
        let steps = lying.qty.millionths() / step.millionths();
        let most = if part.hand_out == Some(step) {
            steps
        } else {
            steps.min(12_000)
        };
        if most < 1 {
            return lying.qty;
        }
        Qty::from_millionths(self.chance.within(1, most) * step.millionths())
    }

    /// A line of the job whose kit or engine a place is, for a part; now and then another.
    pub fn line_at(&mut self, place: PlaceId, part: PartId) -> Option<LineId> {
        let part = if self.chance.percent(1) { WIRE } else { part };
        let row = self.any(&format!(
            "SELECT n.id FROM job_line n JOIN job j ON j.id = n.job WHERE (j.kit = {place} OR j.engine = {place}) AND n.part = {part} \
             ORDER BY n.kitted + n.fitted DESC LIMIT 1"
        ))?;
        Some(LineId(row.int(0).unwrap()))
    }

    /// An open job.
    pub fn open_job(&mut self) -> Option<JobId> {
        self.any("SELECT id FROM job WHERE state = 'open'")
            .map(|row| JobId(row.int(0).unwrap()))
    }

    /// A line of an open job for a part, one that is short before others.
    pub fn wanting(&mut self, part: PartId) -> Option<LineId> {
        let short = "AND n.need > n.reserved + n.pegged + n.kitted + n.fitted";
        let short = if self.chance.percent(90) { short } else { "" };
        let sql = format!(
            "SELECT n.id FROM job_line n JOIN job j ON j.id = n.job WHERE j.state = 'open' AND n.part = {part} {short}"
        );
        self.any(&sql).map(|row| LineId(row.int(0).unwrap()))
    }

    /// Where the kit or the engine of a line's job is.
    pub fn job_place(&self, line: LineId, column: &str) -> PlaceId {
        PlaceId(self.world.number(&format!(
            "SELECT j.{column} FROM job_line n JOIN job j ON j.id = n.job WHERE n.id = {line}"
        )))
    }

    /// One of the two places of a kind.
    pub fn either(&mut self, kind: Kind) -> PlaceId {
        place(kind, if self.chance.percent(75) { 1 } else { 2 })
    }

    /// Goods go from where they lie to a place, off and onto the lines that belong there.
    pub fn carry(&mut self, movement: Movement, lying: Lying, to: PlaceId) -> Done {
        let qty = self.some_of(lying);
        let asked = Move::new(movement, lying.lot, lying.place, to, qty);
        let takes_off =
            lying.place.is(Kind::Kit) || (lying.place.is(Kind::Engine) && movement != Movement::TakeOff);
        let from_line = if takes_off {
            self.line_at(lying.place, lying.part)
        } else {
            None
        };
        let onto = to.is(Kind::Kit) || to.is(Kind::Engine);
        let to_line = if onto { self.line_at(to, lying.part) } else { None };
        self.world.go(Move {
            from_line,
            to_line,
            ..asked
        })
    }

    /// Goods come into the books.
    pub fn birth(&mut self) -> Option<Done> {
        let part = PartId(self.chance.within(1, 8));
        let qty = self.lot_size(part);
        let today = self.world.today;
        let mut lot = NewLot::default();
        if self.chance.percent(45) {
            lot.expiry = today.plus_days(self.chance.within(-2, 60));
        }
        if part == BLOWER {
            self.serials += 1;
            lot.serial = Some(format!("S-{}", self.serials));
        }
        if part == PISTON && self.chance.percent(80) {
            lot.size = Some(qty);
        }
        if self.chance.percent(8) {
            lot.condition = "used".into();
        }
        let value = Money::from_millionths(self.chance.within(0, 90_000_000));
        Some(self.birth_of(Birth {
            movement: Movement::BookIn,
            part,
            lot,
            from: SUPPLIER,
            to: RECEIVING,
            qty,
            value,
            line: None,
        }))
    }

    /// How a birth goes on: from where to where, with what must be said of its lot.
    fn birth_of(&mut self, birth: Birth) -> Done {
        let customer = self.either(Kind::Customer);
        let onto = |this: &mut History, part| {
            let line = this.wanting(part)?;
            Some((this.job_place(line, "engine"), line))
        };
        let mut birth = birth;
        let part = birth.part;
        match self.chance.within(1, 20) {
            1..=8 => {
                if part.0 <= LINES && self.chance.percent(60) {
                    birth.lot.order_line = Some(order_line(self.chance.within(1, 2), part));
                }
            }
            9 | 10 => (birth.from, birth.lot.owner, birth.value) = (customer, Some(customer), Money::ZERO),
            11..=13 => {
                let to = [RECEIVING, SHELF, SHELF_2, BENCH, CAGE];
                (birth.movement, birth.from, birth.to) =
                    (Movement::BringForward, CARDS, *self.chance.one_of(&to).unwrap());
            }
            14 | 15 => {
                (birth.movement, birth.from, birth.to, birth.lot.size) = (Movement::Gain, COUNTED, CAGE, None)
            }
            16 => {
                let Some((engine, line)) = onto(self, part) else {
                    return self.bear(birth);
                };
                birth.lot.pending = true;
                (birth.movement, birth.to, birth.line) = (Movement::FittedEarly, engine, Some(line));
            }
            17 | 18 => {
                let Some((engine, line)) = onto(self, part) else {
                    return self.bear(birth);
                };
                birth.lot.owner = Some(customer);
                (birth.movement, birth.from, birth.to, birth.line) =
                    (Movement::FoundFitted, customer, engine, Some(line));
            }
            _ => {
                let job = self.open_job().unwrap_or(BLUE);
                birth.lot.off_engine = Some(engine(BLUE));
                birth.lot.owner = self.chance.percent(60).then_some(customer);
                (birth.movement, birth.from, birth.to) = (Movement::TakeOff, customer, crate_of(job));
            }
        }
        self.bear(birth)
    }

    fn bear(&mut self, birth: Birth) -> Done {
        self.world.bear(birth).map(|(document, _)| document)
    }

    /// How much of a part comes at once.
    fn lot_size(&mut self, part: PartId) -> Qty {
        match part {
            SEALANT | PRIMER => n(50 * self.chance.within(1, 4)),
            BLOWER => n(1),
            PISTON => n(4),
            WIRE => Qty::from_millionths(self.chance.within(1, 30_000) * 1_000),
            _ => n(self.chance.within(1, 30)),
        }
    }

    /// Opens a pack, or re-identifies, sorts, matches or breaks what lies together.
    pub fn opening(&mut self) -> Option<Done> {
        let kinds = [
            Kind::Receiving,
            Kind::Shelf,
            Kind::Shelf,
            Kind::Bench,
            Kind::Quarantine,
            Kind::Kit,
        ];
        let kind = *self.chance.one_of(&kinds).unwrap();
        let lying = self.lying(&[kind])?;
        let mut inputs = vec![self.input(lying)];
        let together = format!(
            "b.place = {} AND l.part = {} AND b.lot <> {}",
            lying.place, lying.part, lying.lot
        );
        if self.chance.percent(25)
            && let Some(other) = self.lying_where(&[kind], &together)
        {
            inputs.push(self.input(other));
        }
        let qty: Qty = inputs.iter().map(|input| input.qty).sum();
        let mut lot = NewLot {
            owner: lying.owner,
            ..NewLot::default()
        };
        if lying.part == SEALANT && lying.unopened {
            lot.opened = Some(self.world.day);
            lot.expiry = self.world.day.plus_days(30);
        }
        if self.chance.percent(15) {
            lot.condition = "used".into();
        }
        if self.chance.percent(6) {
            lot.owner = Some(self.either(Kind::Customer));
        }
        if lying.part == PISTON && qty == n(4) {
            lot.size = self.chance.percent(60).then_some(qty);
        }
        let part = lying.part;
        let first = Qty::from_millionths(
            qty.millionths() / 2 / bare_part(part).step.millionths() * bare_part(part).step.millionths(),
        );
        let split = first.is_positive() && lot.size.is_none() && self.chance.percent(40);
        let one = |qty| Output {
            part,
            qty,
            lot: lot.clone(),
        };
        let outputs = if split {
            vec![one(first), one(qty - first)]
        } else {
            vec![one(qty)]
        };
        let mut head = self.world.head(DocKind::Movement(Movement::Open));
        head.owner_word = self.chance.percent(30).then(|| "by letter".to_owned());
        Some(self.world.open_under(head, &inputs, &outputs))
    }

    fn input(&mut self, lying: Lying) -> Input {
        let line = if lying.place.is(Kind::Kit) {
            self.line_at(lying.place, lying.part)
        } else {
            None
        };
        Input {
            lot: lying.lot,
            place: lying.place,
            qty: self.some_of(lying),
            line,
        }
    }

    /// Makes a spacer up out of one or two lots.
    pub fn making(&mut self) -> Option<Done> {
        let kinds = [Kind::Shelf, Kind::Shelf, Kind::Bench, Kind::Kit];
        let mut inputs = Vec::new();
        for _ in 0..self.chance.within(1, 2) {
            let kind = *self.chance.one_of(&kinds).unwrap();
            let lying = self.lying(&[kind])?;
            if inputs.iter().all(|input: &Input| input.lot != lying.lot) {
                inputs.push(self.input(lying));
            }
        }
        let owner = self
            .world
            .rows(&format!("SELECT owner FROM lot WHERE id = {}", inputs[0].lot))[0]
            .maybe_int(0)
            .unwrap();
        let lot = NewLot {
            owner: owner.map(PlaceId),
            ..NewLot::default()
        };
        let qty = n(self.chance.within(1, 5));
        Some(self.world.make_up(
            &inputs,
            Output {
                part: SPACER,
                qty,
                lot,
            },
        ))
    }

    /// Picks for a line: what is reserved for it, or whatever lies there; by the list or at the hatch.
    pub fn picking(&mut self) -> Option<Done> {
        let listed = "SELECT c.line, c.lot, SUM(c.qty) FROM claim c JOIN job_line n ON n.id = c.line WHERE c.lot IS NOT NULL \
                      GROUP BY c.line, c.lot HAVING SUM(c.qty) > 0";
        if self.chance.percent(75)
            && let Some(row) = self.any(listed)
        {
            let (line, lot, qty) = (
                LineId(row.int(0).unwrap()),
                LotId(row.int(1).unwrap()),
                row.qty(2).unwrap(),
            );
            let lying = self.lying_where(&[Kind::Shelf, Kind::Bench], &format!("b.lot = {lot}"))?;
            let kit = self.job_place(line, "kit");
            let asked = Move::new(Movement::Pick, lot, lying.place, kit, qty.min(lying.qty)).onto(line);
            let mut head = self.world.head(DocKind::Movement(Movement::Pick));
            if self.chance.percent(50) {
                let list = self.world.number(&format!(
                    "SELECT j.list FROM job_line n JOIN job j ON j.id = n.job WHERE n.id = {line}"
                ));
                head.list = Some(list - i64::from(self.chance.percent(8)));
            }
            return Some(self.world.moves(head, &[asked]));
        }
        let lying = self.lying(&[Kind::Shelf, Kind::Bench])?;
        let line = self.wanting(lying.part)?;
        let qty = self.needed(line, lying);
        let kit = self.job_place(line, "kit");
        Some(
            self.world
                .go(Move::new(Movement::Pick, lying.lot, lying.place, kit, qty).onto(line)),
        )
    }

    /// How much a line would take of some goods.
    pub fn needed(&mut self, line: LineId, lying: Lying) -> Qty {
        let short = self.world.number(&format!(
            "SELECT need - reserved - pegged - kitted - fitted FROM job_line WHERE id = {line}"
        ));
        let part = bare_part(lying.part);
        let unit = part
            .hand_out
            .filter(|_| lying.unopened)
            .unwrap_or(part.step)
            .millionths();
        let whole = (short.max(0) + unit - 1) / unit * unit;
        let wanted = Qty::from_millionths(whole).min(lying.qty);
        if lying.whole || !wanted.is_positive() || self.chance.percent(5) {
            self.some_of(lying)
        } else {
            wanted
        }
    }

    /// Goods leave a kit for the kit of another job.
    pub fn robbing(&mut self) -> Option<Done> {
        let lying = self.lying(&[Kind::Kit])?;
        let line = self.wanting(lying.part)?;
        let from = self.line_at(lying.place, lying.part)?;
        let (to, qty) = (self.job_place(line, "kit"), self.needed(line, lying));
        Some(
            self.world
                .go(Move::new(Movement::Rob, lying.lot, lying.place, to, qty)
                    .off(from)
                    .onto(line)),
        )
    }

    /// Bench stock is used, on an engine or in the workshop.
    pub fn using(&mut self) -> Option<Done> {
        let which = if self.chance.percent(90) {
            "l.part = 5"
        } else {
            "1 = 1"
        };
        let lying = self.lying_where(&[Kind::Shelf, Kind::Bench], which)?;
        if self.chance.percent(40) {
            return Some(self.carry(Movement::Use, lying, SHOP));
        }
        let line = self.wanting(lying.part)?;
        let (to, qty) = (self.job_place(line, "engine"), self.needed(line, lying));
        Some(
            self.world
                .go(Move::new(Movement::Use, lying.lot, lying.place, to, qty).onto(line)),
        )
    }

    /// What was lost is found, some of it, or more.
    pub fn finding(&mut self) -> Option<Done> {
        let lying = self.lying(&[Kind::Counted])?;
        let kinds = [
            Kind::Receiving,
            Kind::Shelf,
            Kind::Bench,
            Kind::Quarantine,
            Kind::Reject,
            Kind::Away,
            Kind::Kit,
            Kind::Crate,
        ];
        let kind = *self.chance.one_of(&kinds).unwrap();
        let to = match kind {
            Kind::Kit => kit(self.open_job()?),
            Kind::Crate => crate_of(self.open_job()?),
            _ => self.either(kind),
        };
        Some(self.carry(Movement::Gain, lying, to))
    }

    /// The number of a document that brought it about that a job closes: one step towards it, or the closing itself.
    pub fn wind_up(&mut self) -> Option<Done> {
        let job = self.open_job()?;
        let at = |place: PlaceId| format!("b.place = {place}");
        if let Some(row) = self.any(&format!(
            "SELECT n.n FROM job_line n WHERE n.job = {job} AND n.reserved + n.pegged > 0"
        )) {
            return self.free_line(job, row.int(0).unwrap());
        }
        if let Some(lying) = self.lying_where(&[Kind::Kit], &at(kit(job))) {
            let whole = Lying { whole: true, ..lying };
            let engine = self
                .world
                .number(&format!("SELECT engine FROM job WHERE id = {job}"));
            let to = [(Movement::Return, RECEIVING), (Movement::Issue, PlaceId(engine))];
            let (movement, to) = to[usize::from(self.chance.percent(70))];
            return Some(self.carry(movement, whole, to));
        }
        if let Some(lying) = self.lying_where(&[Kind::Crate], &at(crate_of(job))) {
            return Some(self.carry(Movement::TakeIn, Lying { whole: true, ..lying }, RECEIVING));
        }
        if let Some(pending) = self.lying_where(&[Kind::Engine], "l.pending = 1") {
            let head = self.world.head(DocKind::Change);
            let came = bincard::domain::stores::verbs::relabel::papers_came;
            return Some(self.world.act(
                |facts| facts.lot(pending.lot),
                |stock| came(stock, head, pending.lot),
            ));
        }
        Some(self.world.close(job))
    }
}
