//! The tables that records are made in: how a row goes in, and which columns stand in the chain of documents.

use crate::domain::stores::record::Table;

/// One table's statements; the columns are named in the order of a record's data.
pub struct Shape {
    /// The table's name, as `change` rows bear it.
    pub name: &'static str,
    /// Puts a row in.
    pub insert: &'static str,
    /// Reads back everything that was made, document by document, the columns of `insert` alone; the document is last.
    pub made_by: &'static str,
    /// The columns in order; a later change of one is walked back before the row is proved.
    pub columns: &'static [&'static str],
    /// Whether the first column is the number under which `change` names the row.
    pub numbered: bool,
}

macro_rules! shape {
    ($name:literal, $numbered:literal, [$($column:literal),+], $values:literal) => {
        Shape {
            name: $name,
            insert: concat!("INSERT INTO ", $name, " (", shape!(@list $($column),+), ") VALUES (", $values, ")"),
            made_by: concat!(
                "SELECT ", shape!(@list $($column),+), " FROM ", $name, " ORDER BY document"
            ),
            columns: &[$($column),+],
            numbered: $numbered,
        }
    };
    (@list $first:literal $(, $rest:literal)*) => { concat!($first $(, ", ", $rest)*) };
}

static PERSON: Shape = shape!(
    "person",
    true,
    [
        "id",
        "initials",
        "name",
        "roles",
        "authorised_from",
        "authorised_until",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7"
);
static PLACE: Shape = shape!(
    "place",
    true,
    [
        "id", "code", "name", "parent", "walk", "one_lot", "limits", "owner", "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9"
);
static PARTY: Shape = shape!(
    "party",
    true,
    [
        "place",
        "address",
        "currency",
        "approved_from",
        "approved_until",
        "scope",
        "lead_days",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8"
);
static ENGINE: Shape = shape!(
    "engine",
    true,
    ["place", "model", "serial", "document"],
    "$1, $2, $3, $4"
);
static PART: Shape = shape!(
    "part",
    true,
    [
        "id",
        "number",
        "name",
        "class",
        "unit",
        "step",
        "life",
        "opened_life_days",
        "bench_stock",
        "critical",
        "pack_policy",
        "hand_out",
        "grams_per_unit",
        "maker",
        "issue",
        "status",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17"
);
static PART_SIZE: Shape = shape!(
    "part_size",
    false,
    ["part", "name", "value", "text", "document"],
    "$1, $2, $3, $4, $5"
);
static PACK: Shape = shape!(
    "pack",
    false,
    ["part", "supplier", "unit", "holds", "document"],
    "$1, $2, $3, $4, $5"
);
static BILL: Shape = shape!(
    "bill",
    true,
    [
        "id",
        "part",
        "revision",
        "from_day",
        "until_day",
        "fits",
        "data_source",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8"
);
static BILL_LINE: Shape = shape!(
    "bill_line",
    true,
    [
        "id",
        "bill",
        "n",
        "kind",
        "part",
        "qty",
        "per",
        "choice_group",
        "choice",
        "waste",
        "text",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12"
);
static JOB: Shape = shape!(
    "job",
    true,
    [
        "id", "number", "bill", "choices", "tag", "kit", "crate", "engine", "customer", "use_day",
        "priority", "state", "quote", "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14"
);
static JOB_LINE: Shape = shape!(
    "job_line",
    true,
    [
        "id", "job", "n", "part", "position", "how", "allows", "dropped", "need", "most", "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11"
);
static SUPPLIER_ORDER: Shape = shape!(
    "supplier_order",
    true,
    ["id", "number", "supplier", "day", "currency", "state", "document"],
    "$1, $2, $3, $4, $5, $6, $7"
);
static ORDER_LINE: Shape = shape!(
    "order_line",
    true,
    [
        "id",
        "supplier_order",
        "n",
        "part",
        "ordered",
        "value",
        "promised",
        "closed",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9"
);
static PRICE: Shape = shape!(
    "price",
    true,
    [
        "id", "part", "supplier", "basis", "from_day", "from_qty", "unit", "amount", "currency", "rules",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11"
);
static RATE: Shape = shape!(
    "rate",
    false,
    ["kind", "name", "from_day", "amount", "document"],
    "$1, $2, $3, $4, $5"
);
static COUNT_LINE: Shape = shape!(
    "count_line",
    true,
    [
        "id",
        "place",
        "lot",
        "marked_at",
        "book",
        "counted",
        "cause",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8"
);
static NOTE: Shape = shape!(
    "note",
    true,
    ["id", "what", "what_id", "topic", "text", "answers", "document"],
    "$1, $2, $3, $4, $5, $6, $7"
);
static CERTIFICATE: Shape = shape!(
    "certificate",
    true,
    [
        "id", "number", "kind", "issuer", "day", "part", "covers", "file", "digest", "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10"
);
static CERTIFICATE_LOT: Shape = shape!(
    "certificate_lot",
    true,
    ["id", "certificate", "lot", "qty", "document"],
    "$1, $2, $3, $4, $5"
);
static CLASS_RULE: Shape = shape!(
    "class_rule",
    true,
    ["id", "class", "name", "text", "document"],
    "$1, $2, $3, $4, $5"
);
static LIFE_RULE: Shape = shape!(
    "life_rule",
    true,
    [
        "id", "family", "months", "source", "issue", "from_day", "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7"
);
static STAND_IN: Shape = shape!(
    "stand_in",
    true,
    [
        "id",
        "part",
        "other",
        "manner",
        "bounds",
        "authority",
        "from_day",
        "until_day",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9"
);
static CAUTION: Shape = shape!(
    "caution",
    true,
    ["id", "trigger", "text", "source", "document"],
    "$1, $2, $3, $4, $5"
);
/// Lots are records too, made by movements.
pub static LOT: Shape = shape!(
    "lot",
    true,
    [
        "id",
        "number",
        "part",
        "child",
        "pending",
        "owner",
        "size",
        "specific",
        "off_engine",
        "batch",
        "serial",
        "maker",
        "condition",
        "made",
        "opened",
        "expiry",
        "expiry_how",
        "order_line",
        "document"
    ],
    "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19"
);

/// The statements of a table.
pub fn shape(table: Table) -> &'static Shape {
    match table {
        Table::Person => &PERSON,
        Table::Place => &PLACE,
        Table::Party => &PARTY,
        Table::Engine => &ENGINE,
        Table::Part => &PART,
        Table::PartSize => &PART_SIZE,
        Table::Pack => &PACK,
        Table::Bill => &BILL,
        Table::BillLine => &BILL_LINE,
        Table::Job => &JOB,
        Table::JobLine => &JOB_LINE,
        Table::SupplierOrder => &SUPPLIER_ORDER,
        Table::OrderLine => &ORDER_LINE,
        Table::Price => &PRICE,
        Table::Rate => &RATE,
        Table::CountLine => &COUNT_LINE,
        Table::Note => &NOTE,
        Table::Certificate => &CERTIFICATE,
        Table::CertificateLot => &CERTIFICATE_LOT,
        Table::ClassRule => &CLASS_RULE,
        Table::LifeRule => &LIFE_RULE,
        Table::StandIn => &STAND_IN,
        Table::Caution => &CAUTION,
    }
}
