//! A small workshop made by hand, in the words of the trade: one shelf each named lot lies on, jobs with lines; what a
//! verb posts is carried into it by the net changes that the books would write.

use bincard::db::derive::deltas;
use bincard::domain::kitting::job::{Job, JobState, Line};
use bincard::domain::kitting::reserve::reserve;
use bincard::domain::measure::{Day, Money, Qty, Unit};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, HoldId, JobId, LayerId, LineId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Role};
use bincard::domain::stores::lot::Lot;
use bincard::domain::stores::part::Part;
use bincard::domain::stores::place::Place;
use bincard::domain::stores::posting::{Held, Posting, Source};
use bincard::domain::stores::stock::{Balance, Layer, LiveHold, Method, Person, Position, Stock};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A day written `YYYY-MM-DD`.
pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// A quantity as it is typed.
pub fn qty(text: &str) -> Qty {
    Qty::parse(text).unwrap()
}

/// The head of a document written by the clerk.
pub fn head(kind: DocKind, stock: &Stock) -> Head {
    Head::new(kind, stock.day, "TW")
}

/// The workshop.
pub struct Shelves {
    /// The facts, as the books would hand them over.
    pub stock: Stock,
    /// What each lot is called here.
    pub names: BTreeMap<LotId, String>,
}

impl Shelves {
    /// Bare shelves on a day; the clock stands there too. Customers: Brack (1) and Tow (2).
    pub fn on(today: &str) -> Shelves {
        let person = Person {
            initials: "TW".to_owned(),
            roles: vec![Role::Clerk],
        };
        let mut shelves = Shelves {
            stock: Stock::empty(day(today), day(today), Method::Actual, person),
            names: BTreeMap::new(),
        };
        for (kind, n, code, walk) in [
            (Kind::Receiving, 1, "IN", Some(10)),
            (Kind::Shelf, 1, "A-1", Some(20)),
            (Kind::Shelf, 2, "B-1", Some(30)),
            (Kind::Bench, 1, "BENCH", Some(60)),
            (Kind::Quarantine, 1, "CAGE", Some(70)),
            (Kind::Customer, 1, "Brack", None),
            (Kind::Customer, 2, "Tow", None),
        ] {
            shelves.place(PlaceId::of(kind, n), code, walk);
        }
        shelves
    }

    /// Adds a place.
    pub fn place(&mut self, id: PlaceId, code: &str, walk: Option<i64>) {
        let place = Place {
            id,
            code: code.to_owned(),
            name: code.to_owned(),
            walk,
            owner: None,
            held: 0,
        };
        self.stock.places.insert(id, place);
    }

    /// The place of this code.
    pub fn at(&self, code: &str) -> PlaceId {
        let found = self.stock.places.values().find(|place| place.code == code);
        found.unwrap_or_else(|| panic!("no place {code}")).id
    }

    /// Adds a part in this unit that moves in these steps; `hand_out` empty where it has no hand-out unit.
    pub fn part(&mut self, number: &str, unit: Unit, step: &str, hand_out: &str) -> PartId {
        let id = PartId(self.stock.parts.len() as i64 + 1);
        let part = Part {
            id,
            number: number.to_owned(),
            name: number.to_lowercase(),
            class: "component".to_owned(),
            unit,
            step: qty(step),
            hand_out: (!hand_out.is_empty()).then(|| qty(hand_out)),
            life: None,
            opened_life: None,
            bench_stock: false,
            critical: false,
            whole_pack: false,
        };
        self.stock.parts.insert(id, part);
        id
    }

    /// Adds a lot from words: `A 5 exp 2026-09-30`, then any of `opened`, `whole`, `overhauled`, `Brack`, `Tow`,
    /// `held`, and the place, `A-1` where none is named; a second place as `B-1:3` has so much more.
    pub fn lot(&mut self, part: PartId, words: &str) -> LotId {
        let mut words = words.split(' ');
        let name = words.next().unwrap();
        let amount = qty(words.next().unwrap());
        let id = LotId(self.stock.lots.len() as i64 + 1);
        let mut lot = plain(id, part);
        let (mut place, mut more, mut held) = (self.at("A-1"), Vec::new(), false);
        while let Some(word) = words.next() {
            match word {
                "exp" => lot.expiry = Some(day(words.next().unwrap())),
                "opened" => lot.opened = Some(day("2026-01-02")),
                "whole" => lot.size = Some(amount),
                "overhauled" => "overhauled".clone_into(&mut lot.condition),
                "Brack" | "Tow" => lot.owner = Some(self.at(word)),
                "held" => held = true,
                _ => match word.split_once(':') {
                    Some((code, much)) => more.push((self.at(code), qty(much))),
                    None => place = self.at(word),
                },
            }
        }
        lot.specific = lot.opened.is_some() || lot.size.is_some() || lot.owner.is_some();
        self.names.insert(id, name.to_owned());
        self.stock.lots.insert(id, Arc::new(lot));
        self.stock.positions.insert(id, Position::default());
        self.lay(id, place, amount);
        for (place, amount) in more {
            self.lay(id, place, amount);
        }
        if held {
            self.hold(Held::Lot(id), "burr on the thread");
        }
        id
    }

    /// Lays so much of a lot on a place, at no value.
    fn lay(&mut self, lot: LotId, place: PlaceId, amount: Qty) {
        let value = Money::ZERO;
        self.stock
            .balances
            .insert((lot, place), Balance { qty: amount, value });
        if place.pickable() {
            self.stock.positions.get_mut(&lot).unwrap().pickable += amount;
        }
        if place.is(Kind::Shelf) {
            let id = LayerId(lot.0);
            let part = self.stock.lots[&lot].part;
            let empty = Layer {
                id,
                part,
                lot: Some(lot),
                shared: false,
                qty: Qty::ZERO,
                value,
            };
            if self.stock.layers.get(id).is_none() {
                self.stock.layers.insert(empty);
            }
            assert!(self.stock.layers.add(id, amount, Money::ZERO));
        }
    }

    /// Puts a hold on a lot or a place, as the books would show it afterwards.
    pub fn hold(&mut self, on: Held, cause: &str) {
        let id = HoldId(self.stock.holds.len() as i64 + 1);
        self.stock.holds.push(LiveHold {
            id,
            on,
            cause: cause.to_owned(),
            document: DocId(1),
        });
        match on {
            Held::Lot(lot) => self.stock.positions.get_mut(&lot).unwrap().held += 1,
            Held::Place(place) => self.stock.places.get_mut(&place).unwrap().held += 1,
        }
        self.count_pickable();
    }

    /// Counts what may be picked of each lot anew.
    fn count_pickable(&mut self) {
        for lot in self.stock.lots.keys().copied().collect::<Vec<_>>() {
            let there = self.stock.places_of(lot);
            let pickable = there
                .filter(|(place, _)| self.stock.counts_as_pickable(lot, *place))
                .map(|(_, balance)| balance.qty)
                .sum();
            self.stock.positions.get_mut(&lot).unwrap().pickable = pickable;
        }
    }

    /// Adds an open job of a customer, with kit, crate and engine of its own.
    pub fn job(&mut self, tag: &str, customer: &str, use_day: &str, priority: i64) -> JobId {
        let n = self.stock.jobs.len() as i64 + 1;
        let of = |kind| PlaceId::of(kind, n);
        for (kind, code) in [
            (Kind::Kit, "KIT"),
            (Kind::Crate, "CRATE"),
            (Kind::Engine, "ENGINE"),
        ] {
            self.place(of(kind), &format!("{code}-{n}"), None);
        }
        let job = Job {
            id: JobId(n),
            number: format!("J-000{n}"),
            bill: None,
            choices: String::new(),
            tag: Some(tag.to_owned()),
            kit: of(Kind::Kit),
            crate_place: Some(of(Kind::Crate)),
            engine: of(Kind::Engine),
            customer: Some(self.at(customer)),
            list: 1,
            use_day: day(use_day),
            priority,
            state: JobState::Open,
            document: DocId(1),
        };
        self.stock.jobs.insert(JobId(n), job);
        JobId(n)
    }

    /// Adds a line to a job.
    pub fn line(&mut self, job: JobId, part: PartId, need: &str) -> LineId {
        let id = LineId(self.stock.lines.len() as i64 + 1);
        let n = 1 + self.stock.lines.values().filter(|line| line.job == job).count() as i64;
        let need = qty(need);
        let line = Line {
            id,
            job,
            n,
            part,
            allows: ",new,".to_owned(),
            dropped: false,
            need,
            most: self.stock.parts[&part].most(need),
            reserved: Qty::ZERO,
            pegged: Qty::ZERO,
            kitted: Qty::ZERO,
            fitted: Qty::ZERO,
            document: DocId(1),
        };
        self.stock.lines.insert(id, line);
        id
    }

    /// What a line has reserved, in the names of the lots: `B 10, A 2`; in order of lot.
    pub fn reserved(&self, line: LineId) -> String {
        let claims = self.stock.claims.for_line(line).into_iter();
        let told: Vec<String> = claims
            .map(|(source, qty)| match source {
                Source::Lot(lot) => format!("{} {qty}", self.names[&lot]),
                Source::Order(order) => format!("order {order} {qty}"),
            })
            .collect();
        told.join(", ")
    }

    /// Carries a posting into the facts: the net changes that the books would write, lists included.
    pub fn carry(&mut self, posting: &Posting) {
        let net = deltas(posting);
        for claim in &posting.claims {
            self.stock.claims.add(claim.line, claim.source, claim.qty);
        }
        for (key, (qty, value)) in &net.balances {
            let balance = self.stock.balances.entry(*key).or_default();
            balance.qty += *qty;
            balance.value += *value;
        }
        for (lot, qty) in &net.reserved {
            self.stock.positions.get_mut(lot).unwrap().reserved += *qty;
        }
        for (id, (qty, value)) in &net.layers {
            assert!(self.stock.layers.add(*id, *qty, *value));
        }
        let mut raised = net.raised_jobs.clone();
        for (id, delta) in &net.lines {
            let line = self.stock.lines.get_mut(id).unwrap();
            line.reserved += delta.reserved;
            line.pegged += delta.pegged;
            line.kitted += delta.kitted;
            line.fitted += delta.fitted;
        }
        raised.extend(net.raised_lines.iter().map(|line| self.stock.lines[line].job));
        for job in raised {
            self.stock.jobs.get_mut(&job).unwrap().list += 1;
        }
        self.count_pickable();
    }
}

/// A plain lot of the house, new, that lasts for ever.
fn plain(id: LotId, part: PartId) -> Lot {
    Lot {
        id,
        number: format!("L{:06}", id.0),
        part,
        child: false,
        pending: false,
        owner: None,
        size: None,
        specific: false,
        off_engine: None,
        batch: None,
        serial: None,
        maker: None,
        condition: "new".to_owned(),
        made: None,
        opened: None,
        expiry: None,
        expiry_how: None,
        order_line: None,
        document: DocId(1),
    }
}

/// Blue with one line, and the part on it; today is 2026-11-25, the day of use 2026-12-02.
pub fn blue(need: &str, lots: &[&str]) -> (Shelves, JobId, LineId, PartId) {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    for lot in lots {
        shelves.lot(part, lot);
    }
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    let line = shelves.line(job, part, need);
    (shelves, job, line, part)
}

/// Reserves for these jobs and carries it into the shelves.
pub fn reserve_all(shelves: &mut Shelves, jobs: &[JobId]) {
    let outcome = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), jobs).unwrap();
    if let Some(posting) = &outcome.posting {
        shelves.carry(posting);
    }
}
