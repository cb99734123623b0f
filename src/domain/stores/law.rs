//! The law of stock: the kinds of place, the movements, and which movement may go from where to where.
//!
//! The same rows stand in the table `law` of the store, where a foreign key and a CHECK enforce them.

use std::fmt;

/// What sort of place a place is; its code is the front of the place's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Goods that came in and wait for inspection.
    Receiving = 1,
    /// Storage from which kits are picked, valued by cost layers.
    Shelf = 2,
    /// Bench stock, expensed as it crosses.
    Bench = 3,
    /// Not to be used until somebody decides; what can be mended stays here.
    Quarantine = 4,
    /// What may never be used again.
    Reject = 5,
    /// The kit of one job.
    Kit = 6,
    /// The take-off parts of one job.
    Crate = 7,
    /// Still ours, with somebody else: outworker, loan, a fitter's tool.
    Away = 8,
    /// Issued to one engine serial.
    Engine = 20,
    /// Scrapped.
    Scrap = 21,
    /// Used up in the workshop, for no engine.
    Shop = 22,
    /// A supplier.
    Supplier = 30,
    /// A customer.
    Customer = 31,
    /// Found over or short in a count.
    Counted = 32,
    /// Stock that becomes other stock.
    Making = 33,
    /// The old cards that the books were opened with.
    BroughtForward = 34,
}

/// Every kind of place, in the order of their codes.
pub const KINDS: [Kind; 16] = [
    Kind::Receiving,
    Kind::Shelf,
    Kind::Bench,
    Kind::Quarantine,
    Kind::Reject,
    Kind::Kit,
    Kind::Crate,
    Kind::Away,
    Kind::Engine,
    Kind::Scrap,
    Kind::Shop,
    Kind::Supplier,
    Kind::Customer,
    Kind::Counted,
    Kind::Making,
    Kind::BroughtForward,
];

impl Kind {
    /// The code that stands at the front of a place's number.
    pub fn code(self) -> i64 {
        self as i64
    }

    /// The kind with this code.
    pub fn from_code(code: i64) -> Option<Kind> {
        KINDS.into_iter().find(|kind| kind.code() == code)
    }

    /// The word for this kind of place.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Receiving => "receiving",
            Kind::Shelf => "shelf",
            Kind::Bench => "bench",
            Kind::Quarantine => "quarantine",
            Kind::Reject => "reject",
            Kind::Kit => "kit",
            Kind::Crate => "crate",
            Kind::Away => "away",
            Kind::Engine => "engine",
            Kind::Scrap => "scrap",
            Kind::Shop => "shop",
            Kind::Supplier => "supplier",
            Kind::Customer => "customer",
            Kind::Counted => "counted",
            Kind::Making => "making",
            Kind::BroughtForward => "brought forward",
        }
    }

    /// Whether goods of this kind of place are in the house.
    pub fn in_the_house(self) -> bool {
        self.code() < 20
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// Whose decision a movement is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// The stores clerk, and anybody who may act for him.
    Clerk,
    /// The shop manager.
    Manager,
    /// The inspector.
    Inspector,
}

impl Role {
    /// The word for the role.
    pub fn word(self) -> &'static str {
        match self {
            Role::Clerk => "clerk",
            Role::Manager => "manager",
            Role::Inspector => "inspector",
        }
    }
}

macro_rules! movements {
    ($($name:ident = $code:literal $word:literal),+ $(,)?) => {
        /// What happens to goods; the code is the front of a law row's number.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        // Each name is the word of the trade that `word` spells.
        #[allow(missing_docs)]
        pub enum Movement { $($name = $code),+ }

        /// Every movement, in the order of the codes.
        pub const MOVEMENTS: [Movement; 30] = [$(Movement::$name),+];

        impl Movement {
            /// The word of the trade for this movement.
            pub fn word(self) -> &'static str {
                match self { $(Movement::$name => $word),+ }
            }
        }
    };
}

movements! {
    BookIn = 1 "book in",
    FittedEarly = 2 "fitted early",
    Accept = 3 "accept",
    Quarantine = 4 "quarantine",
    Reject = 5 "reject",
    SendBack = 6 "send back",
    Move = 7 "move",
    Open = 8 "open",
    MakeUp = 9 "make up",
    Pick = 10 "pick",
    PutBack = 11 "put back",
    Rob = 12 "rob",
    Issue = 13 "issue",
    Use = 14 "use",
    Return = 15 "return",
    TakeOff = 16 "take off",
    Swap = 17 "swap",
    Dispatch = 18 "dispatch",
    Scrap = 19 "scrap",
    Loss = 20 "loss",
    Gain = 21 "gain",
    LateCost = 22 "late cost",
    Restate = 23 "restate",
    Sold = 24 "sold",
    BringForward = 25 "bring forward",
    FoundFitted = 26 "found fitted",
    SendOut = 27 "send out",
    BackIn = 28 "back in",
    TakeIn = 29 "take in",
    Undo = 90 "undo",
}

impl Movement {
    /// The code at the front of the law row's number.
    pub fn code(self) -> i64 {
        self as i64
    }

    /// The movement with this code.
    pub fn from_code(code: i64) -> Option<Movement> {
        MOVEMENTS.into_iter().find(|movement| movement.code() == code)
    }

    /// Whose decision it is; one row of the law differs from its movement (`Law::who`).
    pub fn who(self) -> Role {
        match self {
            Movement::FittedEarly
            | Movement::Rob
            | Movement::LateCost
            | Movement::Restate
            | Movement::Sold => Role::Manager,
            Movement::Accept
            | Movement::Reject
            | Movement::Swap
            | Movement::FoundFitted
            | Movement::TakeIn => Role::Inspector,
            _ => Role::Clerk,
        }
    }

    /// Whether claims on the lot stop it: what is chosen respects them, what has happened strips them.
    pub fn respects_claims(self) -> bool {
        matches!(
            self,
            Movement::SendBack
                | Movement::MakeUp
                | Movement::Pick
                | Movement::Use
                | Movement::Dispatch
                | Movement::SendOut
        )
    }
}

impl fmt::Display for Movement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// One row of the law: a movement that may go from one kind of place to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Law {
    /// What happens.
    pub movement: Movement,
    /// The kind of place that gives.
    pub from: Kind,
    /// The kind of place that receives.
    pub to: Kind,
    /// Whether a held lot, or a lot in a held place, may go this way.
    pub while_held: bool,
    /// Whether the lot must be usable on the day.
    pub fresh: bool,
}

impl Law {
    /// The row's number: `movement × 10000 + from × 100 + to`.
    pub fn id(self) -> i64 {
        law_id(self.movement, self.from, self.to)
    }

    /// Whose decision it is: the movement's, but what is sent out of the cage is the inspector's.
    pub fn who(self) -> Role {
        match (self.movement, self.from) {
            (Movement::SendOut, Kind::Quarantine) => Role::Inspector,
            _ => self.movement.who(),
        }
    }
}

/// The number of the row for a movement between two kinds, lawful or not.
pub fn law_id(movement: Movement, from: Kind, to: Kind) -> i64 {
    movement.code() * 10_000 + from.code() * 100 + to.code()
}

/// The row for a movement between two kinds of place, or none where the law knows no such movement.
pub fn find(movement: Movement, from: Kind, to: Kind) -> Option<Law> {
    let lawful = if movement == Movement::Undo {
        MOVEMENTS
            .iter()
            .any(|m| *m != Movement::Undo && goes(*m, to, from))
    } else {
        goes(movement, from, to)
    };
    lawful.then(|| Law {
        movement,
        from,
        to,
        while_held: while_held(movement, from, to),
        fresh: fresh(movement, to),
    })
}

/// Every row of the law, in the order of their numbers.
pub fn rows() -> Vec<Law> {
    let mut rows = Vec::new();
    for movement in MOVEMENTS {
        for from in KINDS {
            rows.extend(KINDS.into_iter().filter_map(|to| find(movement, from, to)));
        }
    }
    rows
}

/// Whether goods may go this way at all.
fn goes(movement: Movement, from: Kind, to: Kind) -> bool {
    use Kind::*;
    let house_all = matches!(
        from,
        Receiving | Shelf | Bench | Quarantine | Reject | Kit | Crate | Away
    );
    let into_house = matches!(
        to,
        Receiving | Shelf | Bench | Quarantine | Reject | Kit | Crate | Away
    );
    match movement {
        Movement::BookIn => matches!(from, Supplier | Customer) && to == Receiving,
        Movement::FittedEarly => (from, to) == (Supplier, Engine),
        Movement::Accept => matches!(from, Receiving | Quarantine) && matches!(to, Shelf | Bench),
        Movement::Quarantine => matches!(from, Receiving | Shelf | Bench | Kit) && to == Quarantine,
        Movement::Reject => matches!(from, Receiving | Quarantine) && to == Reject,
        Movement::SendBack => {
            matches!(from, Receiving | Shelf | Quarantine | Reject | Kit | Crate)
                && matches!(to, Supplier | Customer)
        }
        Movement::Move => {
            (matches!(from, Shelf | Bench) && matches!(to, Shelf | Bench))
                || (from == to && matches!(from, Receiving | Quarantine | Reject))
        }
        Movement::Open => {
            (matches!(from, Receiving | Shelf | Bench | Quarantine | Kit) && to == Making)
                || (from == Making && matches!(to, Receiving | Shelf | Bench | Quarantine | Kit))
        }
        Movement::MakeUp => {
            (matches!(from, Shelf | Bench | Kit) && to == Making) || (from, to) == (Making, Receiving)
        }
        Movement::Pick => matches!(from, Shelf | Bench) && to == Kit,
        Movement::PutBack => from == Kit && matches!(to, Shelf | Bench),
        Movement::Rob => (from, to) == (Kit, Kit),
        Movement::Issue => (from, to) == (Kit, Engine),
        Movement::Use => matches!(from, Shelf | Bench) && matches!(to, Engine | Shop),
        Movement::Return => matches!(from, Engine | Kit) && to == Receiving,
        Movement::TakeOff => matches!(
            (from, to),
            (Customer, Crate) | (Engine, Crate) | (Engine, Receiving)
        ),
        Movement::Swap => (from, to) == (Engine, Engine),
        Movement::Dispatch => matches!(from, Shelf | Kit) && to == Customer,
        Movement::Scrap => (house_all || from == Engine) && to == Scrap,
        Movement::Loss => (house_all || from == Engine) && to == Counted,
        Movement::Gain => from == Counted && into_house,
        Movement::LateCost => {
            let lies = |kind: Kind| kind.in_the_house() || matches!(kind, Engine | Counted);
            (from == Supplier && lies(to)) || (lies(from) && to == Supplier)
        }
        Movement::Restate => matches!((from, to), (Shelf, Making) | (Making, Shelf)),
        Movement::Sold => (from, to) == (Engine, Customer),
        Movement::BringForward => {
            from == BroughtForward && matches!(to, Receiving | Shelf | Bench | Quarantine)
        }
        Movement::FoundFitted => (from, to) == (Customer, Engine),
        Movement::SendOut => matches!(from, Receiving | Shelf | Quarantine | Kit) && to == Away,
        Movement::BackIn => (from, to) == (Away, Receiving),
        Movement::TakeIn => (from, to) == (Crate, Receiving),
        Movement::Undo => false,
    }
}

/// Whether goods on hold may go this way: towards the cage, the sender, scrap and the count always, towards use never.
fn while_held(movement: Movement, from: Kind, to: Kind) -> bool {
    match movement {
        Movement::FittedEarly
        | Movement::Accept
        | Movement::MakeUp
        | Movement::Pick
        | Movement::PutBack
        | Movement::Rob
        | Movement::Issue
        | Movement::Use
        | Movement::Dispatch
        | Movement::SendOut => false,
        Movement::Move => !matches!(from, Kind::Shelf | Kind::Bench),
        Movement::Open => from == Kind::Quarantine || to == Kind::Quarantine,
        Movement::Gain => matches!(to, Kind::Quarantine | Kind::Reject | Kind::Crate | Kind::Away),
        Movement::BringForward => matches!(to, Kind::Receiving | Kind::Quarantine),
        _ => true,
    }
}

/// Whether only a lot that is usable on the day may go this way.
fn fresh(movement: Movement, to: Kind) -> bool {
    match movement {
        Movement::Accept
        | Movement::MakeUp
        | Movement::Pick
        | Movement::PutBack
        | Movement::Rob
        | Movement::Issue
        | Movement::Use
        | Movement::Dispatch => true,
        Movement::BringForward => matches!(to, Kind::Shelf | Kind::Bench),
        _ => false,
    }
}
