//! The rows about the house and those it deals with: people, customers, suppliers, places, engines.

use super::cells::Cells;
use super::rows::{Row, joined, said, yes_or_no};
use super::words::{PartClass, Role, Word};
use crate::domain::acceptance::approval::{Approval, BETWEEN};
use crate::domain::keeping::bin::Limits;
use crate::domain::measure::{Currency, Day};
use crate::domain::stores::law::Kind;

/// A person who may sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PersonRow {
    /// The initials that he signs with.
    pub initials: String,
    /// His name.
    pub name: String,
    /// What he may decide.
    pub roles: Vec<Role>,
    /// The first day on which he may.
    pub authorised_from: Option<Day>,
    /// The last day on which he may.
    pub authorised_until: Option<Day>,
}

impl Row for PersonRow {
    const HEADINGS: &'static [&'static str] =
        &["initials", "name", "roles", "authorised_from", "authorised_until"];
    const KEY: &'static [&'static str] = &["initials"];

    fn read(cells: &mut Cells) -> Option<PersonRow> {
        let (initials, name, roles) = (cells.single("initials"), cells.text("name"), cells.words("roles"));
        let (authorised_from, authorised_until) = cells.span("authorised_from", "authorised_until")?;
        Some(PersonRow {
            initials: initials?,
            name: name?,
            roles: roles?,
            authorised_from,
            authorised_until,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.initials.clone(),
            self.name.clone(),
            joined(self.roles.iter()),
            said(self.authorised_from.as_ref()),
            said(self.authorised_until.as_ref()),
        ]
    }
}

/// A customer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerRow {
    /// The shop's code for him.
    pub code: String,
    /// His name.
    pub name: String,
}

impl Row for CustomerRow {
    const HEADINGS: &'static [&'static str] = &["code", "name"];
    const KEY: &'static [&'static str] = &["code"];

    fn read(cells: &mut Cells) -> Option<CustomerRow> {
        let (code, name) = (cells.text("code"), cells.text("name"));
        Some(CustomerRow {
            code: code?,
            name: name?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![self.code.clone(), self.name.clone()]
    }
}

/// A supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SupplierRow {
    /// The shop's code for it.
    pub code: String,
    /// Its name.
    pub name: String,
    /// The currency it writes its invoices in.
    pub currency: Currency,
    /// How many days it takes to deliver.
    pub lead_days: Option<i64>,
    /// The first and the last day of its approval.
    pub approved: (Option<Day>, Option<Day>),
    /// The classes of part that it is approved for, `;` between them; all where none is named.
    pub scope: Option<String>,
}

impl Row for SupplierRow {
    const HEADINGS: &'static [&'static str] = &[
        "code",
        "name",
        "currency",
        "lead_days",
        "approved_from",
        "approved_until",
        "scope",
    ];
    const LATER: &'static [&'static str] = &["approved_from", "approved_until", "scope"];
    const KEY: &'static [&'static str] = &["code"];

    fn read(cells: &mut Cells) -> Option<SupplierRow> {
        let (code, name) = (cells.text("code"), cells.text("name"));
        let (currency, lead_days) = (cells.currency("currency"), cells.maybe_count("lead_days"));
        let approved = cells.span("approved_from", "approved_until");
        let scope = scope(cells);
        Some(SupplierRow {
            code: code?,
            name: name?,
            currency: currency?,
            lead_days: lead_days?,
            approved: approved?,
            scope: scope?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.code.clone(),
            self.name.clone(),
            self.currency.code().to_owned(),
            said(self.lead_days.as_ref()),
            said(self.approved.0.as_ref()),
            said(self.approved.1.as_ref()),
            said(self.scope.as_ref()),
        ]
    }
}

/// The classes of a scope, each known.
fn scope(cells: &mut Cells) -> Option<Option<String>> {
    let Some(text) = cells.maybe_text("scope")? else {
        return Some(None);
    };
    let classes = Approval::classes(&text);
    let known = |class: &str| PartClass::ALL.iter().any(|of| of.word() == class);
    match classes.iter().find(|class| !known(class)) {
        None => Some(Some(classes.join(&BETWEEN.to_string()))),
        Some(strange) => {
            let reason = format!("names {strange}, which is no class of part");
            cells.fault(
                "scope",
                reason,
                "classes of part with ; between them, or blank for all",
            );
            None
        }
    }
}

/// A bin, or another place of the house.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BinRow {
    /// The shop's code for it.
    pub code: String,
    /// What people call it.
    pub name: String,
    /// What kind of place it is.
    pub kind: Kind,
    /// The code of the place that it is in.
    pub parent: Option<String>,
    /// Where it stands on the walk through the stores.
    pub walk: Option<i64>,
    /// Its temperatures and its litres of flammables.
    pub limits: Option<Limits>,
    /// Whether it takes one lot only.
    pub one_lot: bool,
}

/// The kinds of place that a shop names itself; kits, crates and what lies outside come from elsewhere.
const BIN_KINDS: [Kind; 6] = [
    Kind::Receiving,
    Kind::Shelf,
    Kind::Bench,
    Kind::Quarantine,
    Kind::Reject,
    Kind::Away,
];

impl Row for BinRow {
    const HEADINGS: &'static [&'static str] =
        &["code", "name", "kind", "parent", "walk", "limits", "one_lot"];
    const LATER: &'static [&'static str] = &["limits", "one_lot"];
    const KEY: &'static [&'static str] = &["code"];

    fn read(cells: &mut Cells) -> Option<BinRow> {
        let (code, name) = (cells.text("code"), cells.text("name"));
        let kind = cells.one_of("kind", "kind of place", &BIN_KINDS, Kind::word);
        let (parent, walk) = (cells.maybe_text("parent"), cells.maybe_count("walk"));
        let limits = cells.unless_blank("limits", |cells| cells.parsed("limits", Limits::parse));
        let one_lot = cells.unless_blank("one_lot", |cells| cells.flag("one_lot"));
        Some(BinRow {
            code: code?,
            name: name?,
            kind: kind?,
            parent: parent?,
            walk: walk?,
            limits: limits?,
            one_lot: one_lot?.unwrap_or_default(),
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.code.clone(),
            self.name.clone(),
            self.kind.word().to_owned(),
            said(self.parent.as_ref()),
            said(self.walk.as_ref()),
            said(self.limits.as_ref()),
            yes_or_no(self.one_lot),
        ]
    }
}

/// An engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EngineRow {
    /// The part number of its model.
    pub model: String,
    /// Its serial number.
    pub serial: String,
    /// The code of its customer.
    pub customer: Option<String>,
}

impl Row for EngineRow {
    const HEADINGS: &'static [&'static str] = &["model", "serial", "customer"];
    const KEY: &'static [&'static str] = &["model", "serial"];

    fn read(cells: &mut Cells) -> Option<EngineRow> {
        let (model, serial) = (cells.text("model"), cells.text("serial"));
        let customer = cells.maybe_text("customer");
        Some(EngineRow {
            model: model?,
            serial: serial?,
            customer: customer?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.model.clone(),
            self.serial.clone(),
            said(self.customer.as_ref()),
        ]
    }
}
