//! The counter's papers.

pub mod certificate_sheet;
pub mod count_list;
pub mod cycle_sheet;
pub mod find_answer;
pub mod goods_in_note;
pub mod inspection;
pub mod label_sheet;
pub mod morning;
pub mod order_sheet;
pub mod scan_answer;
pub mod slip;
pub mod stock_list;
