//! Goods that are still ours and with somebody else: an outworker, a loan, a fitter's tool; out with a due day, and back.

use crate::domain::making::fault::OutFault;
use crate::domain::measure::{Day, Qty, Unit};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::whereabouts::where_it_lies;

/// The class of a part that is a tool: the last day of such a lot is the end of its calibration.
const TOOL: &str = "tool";

/// From where goods go out.
const OUT_OF: [Kind; 3] = [Kind::Shelf, Kind::Receiving, Kind::Quarantine];

/// Something that is away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutWith {
    /// The number of the lot.
    pub lot: String,
    /// The number of its part.
    pub part: String,
    /// The unit it is kept in.
    pub unit: Unit,
    /// How much of it.
    pub qty: Qty,
    /// The code of the place.
    pub place: String,
    /// Who has it.
    pub with: String,
    /// When it should be back; none where it came there by a count.
    pub due: Option<Day>,
    /// Why it went.
    pub why: String,
}

impl OutWith {
    /// Whether it should have been back before this day, or on it.
    pub fn is_due(&self, day: Day) -> bool {
        self.due.is_some_and(|due| due <= day)
    }
}

/// From which bin a lot goes out; what lies on the bench is put on a shelf first.
pub fn out_of(stock: &Stock, lot: LotId, named: Option<PlaceId>) -> Result<(PlaceId, Qty), Refusal> {
    let found = where_it_lies(stock, lot, &OUT_OF, named);
    let bench = stock
        .places_of(lot)
        .find(|(place, balance)| place.is(Kind::Bench) && balance.qty.is_positive());
    match (found, bench) {
        (Err(Refusal::Impossible { what, .. }), Some((bench, _))) => Err(Refusal::Impossible {
            what,
            because: format!(
                "it lies on {}, and goes out from a shelf: move it to one first",
                stock.place(bench)?.code
            ),
        }),
        (found, _) => found,
    }
}

/// Refuses a tool whose calibration has ended, unless it goes out of the cage to be calibrated, and a day of return
/// that is past.
pub fn judge_going(stock: &Stock, lot: LotId, from: PlaceId, due: Day) -> Result<(), Refusal> {
    let (goods, part) = (stock.lot(lot)?, stock.part_of(lot)?);
    let judged = stock.latest_day();
    let used = part.class == TOOL && !from.is(Kind::Quarantine);
    if let Some(last) = goods.expiry.filter(|last| used && *last < judged) {
        return Err(Refusal::Outgoing(OutFault::OutOfCalibration {
            lot: goods.number.clone(),
            part: part.number.clone(),
            last,
            days: last.days_until(judged),
        }));
    }
    if due < stock.day {
        return Err(Refusal::Impossible {
            what: format!("lot {}", goods.number),
            because: format!("it cannot be due back on {due}, before it goes on {}", stock.day),
        });
    }
    Ok(())
}

/// What to say of a lot that ends before it is due back; nothing of one that lasts.
pub fn ends_while_away(stock: &Stock, lot: LotId, due: Day) -> Result<Option<String>, Refusal> {
    let (goods, part) = (stock.lot(lot)?, stock.part_of(lot)?);
    let what = if part.class == TOOL {
        "its calibration ends"
    } else {
        "it expires"
    };
    let last = goods.expiry.filter(|last| *last < due);
    Ok(last.map(|last| format!("{what} {last}, before it is due back")))
}
