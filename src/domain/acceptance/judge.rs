//! What goods lack that are about to be accepted.

use crate::domain::acceptance::certificate::PaperKind;
use crate::domain::acceptance::life::LifeLeft;
use crate::domain::acceptance::papers::LotPapers;
use crate::domain::acceptance::rules::{ClassRules, Known, Point};
use crate::domain::measure::Qty;
use crate::domain::stores::law::Kind;
use crate::domain::stores::lot::{Lot, NEW};

/// Goods about to be accepted, with what was shown and answered for them.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The lot.
    pub lot: &'a Lot,
    /// How much of it.
    pub qty: Qty,
    /// What its papers come to so far.
    pub papers: &'a LotPapers,
    /// The sorts of the certificates that are shown for it.
    pub shown: &'a [PaperKind],
    /// Why its supplier's approval does not bear it.
    pub held: Option<&'a str>,
    /// The points that were looked at.
    pub checked: &'a [Point],
}

impl Case<'_> {
    /// Whether some of it comes from outside and was never accepted; what an engine or an opened pack gave back, and
    /// what stood on the old cards, was.
    pub fn is_fresh(&self) -> bool {
        let from_outside = !self.lot.child && self.lot.off_engine.is_none() && self.lot.condition == NEW;
        from_outside && (self.papers.accepted + self.qty).is_positive()
    }

    /// Everything that is lacking by the rules of its class, each in words.
    pub fn lacks(&self, rules: &ClassRules) -> Vec<String> {
        if !self.is_fresh() {
            return Vec::new();
        }
        let mut lacks = Vec::new();
        lacks.extend(self.held.map(str::to_owned));
        lacks.extend(self.paper(rules));
        let unknown = rules.source.iter().filter(|known| !self.knows(**known));
        lacks.extend(unknown.map(|known| format!("its {} is not known", known.word())));
        lacks.extend(self.life(rules));
        lacks.extend(self.unchecked(rules));
        lacks
    }

    /// The paper that is lacking: none of those that will do covers it, and none is shown.
    fn paper(&self, rules: &ClassRules) -> Option<String> {
        let covers =
            |kind: &PaperKind| self.shown.contains(kind) || self.papers.uncovered(*kind, self.qty).is_zero();
        if rules.papers.is_empty() || rules.papers.iter().any(covers) {
            return None;
        }
        let words: Vec<&str> = rules.papers.iter().map(|kind| kind.word()).collect();
        Some(format!("no {}", words.join(" or ")))
    }

    fn knows(&self, known: Known) -> bool {
        match known {
            Known::Maker => self.lot.maker.is_some(),
            Known::Supplier => self.papers.from.is_some_and(|from| from.is(Kind::Supplier)),
            Known::Batch => self.lot.batch.is_some() || self.lot.serial.is_some(),
        }
    }

    /// The life that is lacking; what does not die lacks none.
    fn life(&self, rules: &ClassRules) -> Option<String> {
        let least = rules.least_life_percent?;
        self.lot.expiry?;
        match self.life_left() {
            None => Some(format!(
                "at least {least} % of its life is asked for, and the day it was made is not known"
            )),
            Some(left) if left.at_least(least) => None,
            Some(left) => Some(format!(
                "{} of {} days were left when it came: {} % of its life, at least {least} % is asked for",
                left.left_days,
                left.total_days,
                left.percent()
            )),
        }
    }

    /// What of its life was left on the day it came.
    pub fn life_left(&self) -> Option<LifeLeft> {
        LifeLeft::of(self.lot, self.papers.came?)
    }

    /// The points of its class that must be looked at: those of life only where it dies.
    pub fn points(&self, rules: &ClassRules) -> Vec<Point> {
        let counts = |point: &&Point| **point != Point::Life || self.lot.expiry.is_some();
        rules.checks.iter().filter(counts).copied().collect()
    }

    fn unchecked(&self, rules: &ClassRules) -> Option<String> {
        let open: Vec<&str> = self
            .points(rules)
            .into_iter()
            .filter(|point| !self.checked.contains(point))
            .map(Point::word)
            .collect();
        (!open.is_empty()).then(|| format!("not looked at: {}", open.join(", ")))
    }
}

/// Why goods go into the cage: the shop's short list, one of which the reason begins with.
pub const CAGE_CODES: [&str; 8] = [
    "no papers",
    "papers differ",
    "damaged",
    "wrong part",
    "over",
    "life",
    "suspect",
    "found",
];

/// The code that a reason begins with, as a word or words of their own.
pub fn cage_code(reason: &str) -> Option<&'static str> {
    let begins = |code: &&&str| {
        reason
            .strip_prefix(**code)
            .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    };
    CAGE_CODES.iter().find(begins).copied()
}
