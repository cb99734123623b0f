//! A posting: one document with everything it writes, decided but not yet written.

use crate::domain::measure::{Money, Qty};
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{HoldId, LayerId, LineId, LotId, OrderLineId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Law, Movement};
use crate::domain::stores::lot::Lot;
use std::sync::Arc;

/// One line of a bin card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What happens.
    pub movement: Movement,
    /// Which lot.
    pub lot: LotId,
    /// The place that gives.
    pub from: PlaceId,
    /// The place that receives.
    pub to: PlaceId,
    /// The line that gives; on book in and first acceptance the order line.
    pub from_line: Option<i64>,
    /// The line that receives.
    pub to_line: Option<i64>,
    /// How much, never below zero.
    pub qty: Qty,
    /// Its value, never below zero.
    pub value: Money,
    /// The cost layer drawn from or fed, where one side is a shelf.
    pub layer: Option<LayerId>,
}

impl Entry {
    /// The law row that allows it, where one does.
    pub fn law(&self) -> Option<Law> {
        crate::domain::stores::law::find(self.movement, self.from.kind()?, self.to.kind()?)
    }

    /// Whether the place of this side's kind gives (`from`) or receives (`to`) a line's goods.
    pub fn counts_on_line(place: PlaceId) -> bool {
        place.is(Kind::Kit) || place.is(Kind::Engine)
    }
}

/// What a claim is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// Stock of a lot: a reservation.
    Lot(LotId),
    /// Goods still to come on an order line: a peg.
    Order(OrderLineId),
}

/// Why a claim was made or ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
// Each name is the word that stands in the books.
#[allow(missing_docs)]
pub enum Why {
    Reserve,
    Free,
    Pick,
    Shed,
    Arrive,
    Follow,
    Undo,
}

impl Why {
    /// The word that stands in the books.
    pub fn word(self) -> &'static str {
        match self {
            Why::Reserve => "reserve",
            Why::Free => "free",
            Why::Pick => "pick",
            Why::Shed => "shed",
            Why::Arrive => "arrive",
            Why::Follow => "follow",
            Why::Undo => "undo",
        }
    }

    /// The reason behind a word of the books.
    pub fn from_word(word: &str) -> Option<Why> {
        [
            Why::Reserve,
            Why::Free,
            Why::Pick,
            Why::Shed,
            Why::Arrive,
            Why::Follow,
            Why::Undo,
        ]
        .into_iter()
        .find(|why| why.word() == word)
    }
}

/// A claim made (+) or ended (−).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Claim {
    /// For which job line.
    pub line: LineId,
    /// On what.
    pub source: Source,
    /// How much, below zero where it ends.
    pub qty: Qty,
    /// Why.
    pub why: Why,
}

/// What a hold lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Held {
    /// A lot, wherever it lies.
    Lot(LotId),
    /// A place and everything in it.
    Place(PlaceId),
}

/// A hold put on, or the lifting of one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldRow {
    /// Under which number the books keep it.
    pub id: HoldId,
    /// What it lies on.
    pub on: Held,
    /// Why.
    pub cause: String,
    /// The hold that this row lifts.
    pub lifts: Option<HoldId>,
}

/// A record whose field is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
// Each name is table and column.
#[allow(missing_docs)]
pub enum Field {
    JobUseDay,
    JobState,
    JobChoices,
    JobTag,
    JobPriority,
    JobEngine,
    LineNeed,
    LineMost,
    LineAllows,
    LineDropped,
    LotExpiry,
    LotExpiryHow,
    LotCondition,
    LotOwner,
    LotPending,
    OrderClosed,
    OrderState,
    Method,
    Training,
    PersonName,
    PersonRoles,
    PersonFrom,
    PersonUntil,
    PlaceName,
    PlaceParent,
    PlaceWalk,
    PlaceOneLot,
    PlaceLimits,
    PlaceOwner,
    PartyCurrency,
    PartyLeadDays,
    PartyFrom,
    PartyUntil,
    PartyScope,
    PartName,
    PartClass,
    PartUnit,
    PartStep,
    PartHandOut,
    PartBenchStock,
    PartLife,
    PartOpenedLife,
    PartPackPolicy,
    PartCritical,
    PartMaker,
    PartIssue,
    PartGrams,
    BillFrom,
    BillUntil,
    BillFits,
    BillSource,
    BillLineKind,
    BillLinePart,
    BillLineQty,
    BillLinePer,
    BillLineGroup,
    BillLineChoice,
    BillLineText,
    BillLineWaste,
    OrderOrdered,
    OrderValue,
    OrderPromised,
    PriceAmount,
    PriceCurrency,
    Papers,
    RuleText,
    StandInBounds,
    StandInAuthority,
    StandInFrom,
    StandInUntil,
    CertificateCovers,
    CertificateDay,
    CertificateFile,
    CertificateDigest,
}

/// A field's table and column in the books.
const FIELDS: [(Field, &str, &str); 74] = [
    (Field::JobUseDay, "job", "use_day"),
    (Field::JobState, "job", "state"),
    (Field::JobChoices, "job", "choices"),
    (Field::JobTag, "job", "tag"),
    (Field::JobPriority, "job", "priority"),
    (Field::JobEngine, "job", "engine"),
    (Field::LineNeed, "job_line", "need"),
    (Field::LineMost, "job_line", "most"),
    (Field::LineAllows, "job_line", "allows"),
    (Field::LineDropped, "job_line", "dropped"),
    (Field::LotExpiry, "lot", "expiry"),
    (Field::LotExpiryHow, "lot", "expiry_how"),
    (Field::LotCondition, "lot", "condition"),
    (Field::LotOwner, "lot", "owner"),
    (Field::LotPending, "lot", "pending"),
    (Field::OrderClosed, "order_line", "closed"),
    (Field::OrderState, "supplier_order", "state"),
    (Field::Method, "setting", "method"),
    (Field::Training, "setting", "training"),
    (Field::PersonName, "person", "name"),
    (Field::PersonRoles, "person", "roles"),
    (Field::PersonFrom, "person", "authorised_from"),
    (Field::PersonUntil, "person", "authorised_until"),
    (Field::PlaceName, "place", "name"),
    (Field::PlaceParent, "place", "parent"),
    (Field::PlaceWalk, "place", "walk"),
    (Field::PlaceOneLot, "place", "one_lot"),
    (Field::PlaceLimits, "place", "limits"),
    (Field::PlaceOwner, "place", "owner"),
    (Field::PartyCurrency, "party", "currency"),
    (Field::PartyLeadDays, "party", "lead_days"),
    (Field::PartyFrom, "party", "approved_from"),
    (Field::PartyUntil, "party", "approved_until"),
    (Field::PartyScope, "party", "scope"),
    (Field::PartName, "part", "name"),
    (Field::PartClass, "part", "class"),
    (Field::PartUnit, "part", "unit"),
    (Field::PartStep, "part", "step"),
    (Field::PartHandOut, "part", "hand_out"),
    (Field::PartBenchStock, "part", "bench_stock"),
    (Field::PartLife, "part", "life"),
    (Field::PartOpenedLife, "part", "opened_life_days"),
    (Field::PartPackPolicy, "part", "pack_policy"),
    (Field::PartCritical, "part", "critical"),
    (Field::PartMaker, "part", "maker"),
    (Field::PartIssue, "part", "issue"),
    (Field::PartGrams, "part", "grams_per_unit"),
    (Field::BillFrom, "bill", "from_day"),
    (Field::BillUntil, "bill", "until_day"),
    (Field::BillFits, "bill", "fits"),
    (Field::BillSource, "bill", "data_source"),
    (Field::BillLineKind, "bill_line", "kind"),
    (Field::BillLinePart, "bill_line", "part"),
    (Field::BillLineQty, "bill_line", "qty"),
    (Field::BillLinePer, "bill_line", "per"),
    (Field::BillLineGroup, "bill_line", "choice_group"),
    (Field::BillLineChoice, "bill_line", "choice"),
    (Field::BillLineText, "bill_line", "text"),
    (Field::BillLineWaste, "bill_line", "waste"),
    (Field::OrderOrdered, "order_line", "ordered"),
    (Field::OrderValue, "order_line", "value"),
    (Field::OrderPromised, "order_line", "promised"),
    (Field::PriceAmount, "price", "amount"),
    (Field::PriceCurrency, "price", "currency"),
    (Field::Papers, "setting", "papers"),
    (Field::RuleText, "class_rule", "text"),
    (Field::StandInBounds, "stand_in", "bounds"),
    (Field::StandInAuthority, "stand_in", "authority"),
    (Field::StandInFrom, "stand_in", "from_day"),
    (Field::StandInUntil, "stand_in", "until_day"),
    (Field::CertificateCovers, "certificate", "covers"),
    (Field::CertificateDay, "certificate", "day"),
    (Field::CertificateFile, "certificate", "file"),
    (Field::CertificateDigest, "certificate", "digest"),
];

/// The tables whose records no decision about stock looks back at.
const OF_RECORDS: &str = "person place party part bill bill_line price certificate class_rule stand_in";

impl Field {
    /// The table whose record is changed.
    pub fn table(self) -> &'static str {
        FIELDS
            .iter()
            .find(|(field, _, _)| *field == self)
            .map_or("", |(_, table, _)| table)
    }

    /// The column that is changed.
    pub fn column(self) -> &'static str {
        FIELDS
            .iter()
            .find(|(field, _, _)| *field == self)
            .map_or("", |(_, _, column)| column)
    }

    /// Whether it belongs to a record that no decision about stock looks back at, so that it is written as it is given.
    /// What stands on such a field already is asked of the books before it is changed.
    pub fn is_of_a_record(self) -> bool {
        use Field::{OrderOrdered, OrderPromised, OrderValue};
        matches!(self, OrderOrdered | OrderValue | OrderPromised | Field::Papers)
            || OF_RECORDS.split(' ').any(|table| table == self.table())
    }

    /// The field behind a table and a column of the books.
    pub fn from_names(table: &str, column: &str) -> Option<Field> {
        FIELDS
            .iter()
            .find(|(_, t, c)| *t == table && *c == column)
            .map(|(field, _, _)| *field)
    }
}

/// One field of one record altered; values as the books write them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Which field.
    pub field: Field,
    /// Of which record.
    pub id: i64,
    /// What stood there.
    pub old: Option<String>,
    /// What stands there now.
    pub new: Option<String>,
}

/// A cost layer that a posting opens, empty until its entries feed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewLayer {
    /// Under which number the books keep it.
    pub id: LayerId,
    /// Whose part.
    pub part: PartId,
    /// The lot whose own it is, or that made it; none for an average.
    pub lot: Option<LotId>,
    /// Whether other lots draw on it.
    pub shared: bool,
}

/// One document with everything it writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Posting {
    /// Its head.
    pub head: Head,
    /// Records it makes other than lots, in an order in which each finds what it names.
    pub records: Vec<crate::domain::stores::record::Record>,
    /// Lots it makes.
    pub lots: Vec<Arc<Lot>>,
    /// Which lots went into which: (child, parent).
    pub parents: Vec<(LotId, LotId)>,
    /// Layers it opens.
    pub layers: Vec<NewLayer>,
    /// The lines of bin cards.
    pub entries: Vec<Entry>,
    /// Claims made and ended.
    pub claims: Vec<Claim>,
    /// Holds put on and lifted.
    pub holds: Vec<HoldRow>,
    /// Fields changed.
    pub changes: Vec<Change>,
    /// Claims that broke without being asked for, to be named with their jobs.
    pub stripped: Vec<Claim>,
}

impl Posting {
    /// A document that writes nothing yet.
    pub fn new(head: Head) -> Posting {
        Posting {
            head,
            records: Vec::new(),
            lots: Vec::new(),
            parents: Vec::new(),
            layers: Vec::new(),
            entries: Vec::new(),
            claims: Vec::new(),
            holds: Vec::new(),
            changes: Vec::new(),
            stripped: Vec::new(),
        }
    }
}
