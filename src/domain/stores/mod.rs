//! The clerk's room: places, lots, bin cards and the law of stock.

pub mod ids;
pub mod law;

pub mod lot;
pub mod packs;
pub mod part;
pub mod place;
pub mod supply;

pub mod counting;
pub mod document;
pub mod goods_in;
pub mod noting;
pub mod opened;
pub mod posting;
pub mod record;
pub mod search;
pub mod standing;
pub mod stock;
pub mod verdict;
pub mod whereabouts;

pub mod verbs;
