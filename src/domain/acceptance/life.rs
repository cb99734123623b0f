//! How much of its life on the shelf a lot had left when it came.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::lot::Lot;
use rust_decimal::{Decimal, RoundingStrategy};

/// Days that are left of days that there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LifeLeft {
    /// From the day it came to the last day.
    pub left_days: i64,
    /// From the day it was made to the last day.
    pub total_days: i64,
}

impl LifeLeft {
    /// What a lot had left on a day; nothing where its making or its last day is not known, or no life lies between.
    pub fn of(lot: &Lot, came: Day) -> Option<LifeLeft> {
        let (made, last) = (lot.made?, lot.expiry?);
        let total_days = made.days_until(last);
        (total_days > 0).then(|| LifeLeft {
            left_days: came.days_until(last),
            total_days,
        })
    }

    /// Whether the share is no less than so many percent, decided exactly.
    pub fn at_least(self, percent: Qty) -> bool {
        let wanted = i128::from(percent.millionths()) * i128::from(self.total_days);
        i128::from(self.left_days) * 100_000_000 >= wanted
    }

    /// The share in percent, to a tenth, half away from zero.
    pub fn percent(self) -> Decimal {
        let share = Decimal::from(self.left_days) * Decimal::ONE_HUNDRED / Decimal::from(self.total_days);
        share.round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero)
    }
}
