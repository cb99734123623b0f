//! A supplier's approval: from when until when, and for which classes of part.

use crate::domain::measure::Day;

/// A supplier's approval as the books have it.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Approval {
    /// The first day on which it holds.
    pub from: Option<Day>,
    /// The last day on which it holds; that day included.
    pub until: Option<Day>,
    /// The classes of part that it is for; all where none is named.
    pub scope: Vec<String>,
}

/// What stands between the classes of a scope.
pub const BETWEEN: char = ';';

impl Approval {
    /// The classes of a scope as it is written.
    pub fn classes(text: &str) -> Vec<String> {
        let classes = text
            .split(BETWEEN)
            .map(str::trim)
            .filter(|class| !class.is_empty());
        classes.map(str::to_owned).collect()
    }

    /// Why goods of a class that come on a day are held for the inspector; nothing where the approval bears them.
    pub fn against(&self, class: &str, came: Day) -> Option<String> {
        if let Some(from) = self.from.filter(|from| came < *from) {
            return Some(format!("its approval begins only {from}"));
        }
        if let Some(until) = self.until.filter(|until| came > *until) {
            return Some(format!("its approval ended {until}"));
        }
        let within = self.scope.is_empty() || self.scope.iter().any(|of| of == class);
        (!within).then(|| format!("it is approved for {}, not for {class}", self.scope.join(", ")))
    }
}
