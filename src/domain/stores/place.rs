//! A place: a bin, and everything else that can hold goods or be owed them.

use crate::domain::stores::ids::PlaceId;

/// What the stores know of a place; its kind stands in its number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Under which number the books keep it.
    pub id: PlaceId,
    /// The shop's own code for it.
    pub code: String,
    /// What people call it.
    pub name: String,
    /// Where it stands on the walk through the stores.
    pub walk: Option<i64>,
    /// An engine's customer.
    pub owner: Option<PlaceId>,
    /// How many live holds lie on it.
    pub held: i64,
}
