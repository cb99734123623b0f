//! The numbers under which the books keep their records, one type each so that none is taken for another.

use super::law::Kind;

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub i64);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    )+};
}

id! {
    /// A part, a conversion included.
    PartId,
    /// A place; its kind stands in its number: `kind × 1 000 000 + n`.
    PlaceId,
    /// A lot: pieces that came in together and are alike.
    LotId,
    /// A cost layer of a shelf.
    LayerId,
    /// A job: one engine's conversion.
    JobId,
    /// A line of a job.
    LineId,
    /// A line of an order to a supplier.
    OrderLineId,
    /// An order to a supplier.
    OrderId,
    /// A document, dense from 1.
    DocId,
    /// A hold.
    HoldId,
    /// A bill of materials in one revision.
    BillId,
    /// A certificate.
    CertificateId,
}

/// How far apart the numbers of two kinds of place stand.
pub const KIND_STEP: i64 = 1_000_000;

impl PlaceId {
    /// The number of the `n`-th place of a kind.
    pub fn of(kind: Kind, n: i64) -> PlaceId {
        PlaceId(kind.code() * KIND_STEP + n)
    }

    /// The kind that the number carries, or none where no kind has that code.
    pub fn kind(self) -> Option<Kind> {
        Kind::from_code(self.0 / KIND_STEP)
    }

    /// Whether the place is of this kind.
    pub fn is(self, kind: Kind) -> bool {
        self.kind() == Some(kind)
    }

    /// Whether lots are born here, so that the balance may stand below zero.
    pub fn may_be_owed(self) -> bool {
        self.0 >= 30 * KIND_STEP
    }

    /// Whether it is a place of the house.
    pub fn in_house(self) -> bool {
        self.0 < 20 * KIND_STEP
    }

    /// Whether stock here may be picked: a shelf or the bench.
    pub fn pickable(self) -> bool {
        self.is(Kind::Shelf) || self.is(Kind::Bench)
    }
}
