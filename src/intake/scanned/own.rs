//! Our own labels: what stands behind the identifiers 91 to 96, and how it is written.

use crate::domain::measure::number::{
    document_number, job_number, read_document_number, read_job_number, read_lot_number,
};
use crate::domain::measure::scan::{Own, ScanFault};

/// What an internal identifier of ours says; the words are told where it says nothing of ours.
pub fn own_of(ai: &str, value: &str) -> Result<Own, ScanFault> {
    let not_ours = |because: String| ScanFault::NotOurs {
        ai: ai.to_owned(),
        value: value.to_owned(),
        because,
    };
    let number = |read: Option<Own>, wanted: &str| read.ok_or_else(|| not_ours(wanted.to_owned()));
    match ai {
        "91" => match read_lot_number(value) {
            Ok(_) => Ok(Own::Lot(value.to_ascii_uppercase())),
            Err(fault) => Err(not_ours(fault.to_string())),
        },
        "92" => Ok(Own::Bin(value.to_owned())),
        "93" => Ok(Own::Part(value.to_owned())),
        "94" => number(job(value), "ours bears a job number such as J-0012"),
        "95" => number(document(value), "ours bears a document number such as GRN-000045"),
        "96" => number(line(value), "ours bears job, list and line, such as J-0012/1/7"),
        _ => Err(not_ours("ours bear (91) to (96)".to_owned())),
    }
}

/// A number of ours that is known by its look: a lot by its check character, a job or a document as printed.
pub(super) fn numbered(text: &str) -> Option<Own> {
    if read_lot_number(text).is_ok() {
        return Some(Own::Lot(text.to_ascii_uppercase()));
    }
    // A lot label whose mark the scanner dropped: the check character leaves no doubt.
    let lot = text
        .strip_prefix("91")
        .filter(|rest| read_lot_number(rest).is_ok());
    lot.map(|lot| Own::Lot(lot.to_ascii_uppercase()))
        .or_else(|| line(text))
}

/// What a text says if it is a label of ours whose mark the scanner dropped.
pub(super) fn marked(text: &str) -> Option<Own> {
    let (ai, value) = (text.get(..2)?, text.get(2..)?);
    let ours = matches!(ai, "92" | "93" | "94" | "95") && !value.is_empty();
    ours.then(|| own_of(ai, value).ok()).flatten()
}

/// A job number as we print it.
fn job(text: &str) -> Option<Own> {
    let id = read_job_number(text).ok()?;
    (job_number(id) == text).then(|| Own::Job(text.to_owned()))
}

/// A document number as we print it.
fn document(text: &str) -> Option<Own> {
    let (prefix, id) = read_document_number(text).ok()?;
    (document_number(&prefix, id) == text).then(|| Own::Document(text.to_owned()))
}

/// `J-0012/1/7`.
fn line(text: &str) -> Option<Own> {
    let mut parts = text.split('/');
    let (of, list, n) = (parts.next()?, parts.next()?, parts.next()?);
    let figure = |text: &str| {
        let plain = text.bytes().all(|byte| byte.is_ascii_digit()) && !text.starts_with('0');
        text.parse::<i64>().ok().filter(|_| plain)
    };
    let Some(Own::Job(job)) = job(of) else { return None };
    let (list, n) = (figure(list)?, figure(n)?);
    parts.next().is_none().then_some(Own::Line { job, list, n })
}
