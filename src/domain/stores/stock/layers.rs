//! The cost layers among the facts, found by their number, by the lot whose own they are, and by their part.

use crate::domain::measure::{Money, Qty};
use crate::domain::stores::ids::{LayerId, LotId, PartId};
use std::collections::{BTreeMap, BTreeSet};

/// A cost layer of a part on the shelves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layer {
    /// Under which number the books keep it.
    pub id: LayerId,
    /// Whose part.
    pub part: PartId,
    /// The lot whose own it is, or that made it; none for an average.
    pub lot: Option<LotId>,
    /// Whether other lots draw on it.
    pub shared: bool,
    /// How much it covers.
    pub qty: Qty,
    /// What that cost.
    pub value: Money,
}

/// The cost layers, each found without looking through the others: an import makes tens of thousands of them.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Layers {
    by_id: BTreeMap<LayerId, Layer>,
    /// Invariant: for each lot the first layer that is its own.
    own: BTreeMap<LotId, LayerId>,
    /// Invariant: the same layers as `by_id`, by part and age.
    of_part: BTreeSet<(PartId, LayerId)>,
}

impl Layers {
    /// Puts a layer among the facts; one of that number that was there is forgotten.
    pub fn insert(&mut self, layer: Layer) {
        if let Some(old) = self.by_id.insert(layer.id, layer) {
            self.of_part.remove(&(old.part, old.id));
        }
        self.of_part.insert((layer.part, layer.id));
        if let Some(lot) = layer.lot.filter(|_| !layer.shared) {
            let first = self.own.entry(lot).or_insert(layer.id);
            *first = layer.id.min(*first);
        }
    }

    /// The layer of this number.
    pub fn get(&self, id: LayerId) -> Option<&Layer> {
        self.by_id.get(&id)
    }

    /// Adds to what a layer covers and what that cost; whether there is such a layer.
    pub fn add(&mut self, id: LayerId, qty: Qty, value: Money) -> bool {
        let Some(layer) = self.by_id.get_mut(&id) else {
            return false;
        };
        layer.qty += qty;
        layer.value += value;
        true
    }

    /// The layer that is a lot's own.
    pub fn own(&self, lot: LotId) -> Option<&Layer> {
        self.own.get(&lot).and_then(|id| self.by_id.get(id))
    }

    /// The layers of a part, the oldest first.
    pub fn of_part(&self, part: PartId) -> impl DoubleEndedIterator<Item = &Layer> {
        let (first, last) = ((part, LayerId(i64::MIN)), (part, LayerId(i64::MAX)));
        self.of_part
            .range(first..=last)
            .filter_map(|(_, id)| self.by_id.get(id))
    }

    /// Forgets every layer.
    pub fn clear(&mut self) {
        *self = Layers::default();
    }
}
