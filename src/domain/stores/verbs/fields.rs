//! Fields of records that stock and claims depend on: changed in one place, old and new written down.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId, OrderId, OrderLineId, PlaceId};
use crate::domain::stores::posting::{Change, Field};
use crate::domain::stores::stock::Method;
use crate::domain::stores::verbs::draft::Draft;
use std::sync::Arc;

impl Draft {
    /// Changes a field among the facts and writes the change down; values as the books write them.
    pub fn set_field(&mut self, field: Field, id: i64, new: Option<String>) -> Result<(), Refusal> {
        let old = match field.table() {
            "job" => self.set_job(field, JobId(id), &new)?,
            "job_line" => self.set_line(field, LineId(id), &new)?,
            "lot" => self.set_lot(field, LotId(id), &new)?,
            "order_line" => self.set_order(OrderLineId(id), &new)?,
            "supplier_order" => self.set_order_state(OrderId(id), &new)?,
            "setting" if field == Field::Method => self.set_method(&new)?,
            table => {
                return Err(Refusal::Impossible {
                    what: format!("{} of the {table}", field.column()),
                    because: "it is no fact of stock, so it is changed by itself".to_owned(),
                });
            }
        };
        if old != new {
            self.posting.changes.push(Change { field, id, old, new });
        }
        Ok(())
    }

    /// Changes a field of a job; its claims are looked at again.
    fn set_job(&mut self, field: Field, id: JobId, new: &Option<String>) -> Result<Option<String>, Refusal> {
        let lines: Vec<LineId> = self
            .stock
            .lines
            .values()
            .filter(|line| line.job == id)
            .map(|line| line.id)
            .collect();
        self.touched_lines.extend(lines);
        let job = self.stock.jobs.get_mut(&id).ok_or(Refusal::Unread {
            what: "job",
            id: id.0,
        })?;
        Ok(match field {
            Field::JobUseDay => Some(std::mem::replace(&mut job.use_day, day(new)?).to_string()),
            Field::JobState => {
                let state = new
                    .as_deref()
                    .and_then(JobState::from_word)
                    .ok_or(unwritten("state"))?;
                Some(std::mem::replace(&mut job.state, state).word().to_owned())
            }
            Field::JobChoices => Some(std::mem::replace(&mut job.choices, text(new)?)),
            Field::JobTag => std::mem::replace(&mut job.tag, new.clone()),
            Field::JobEngine => Some(
                std::mem::replace(&mut job.engine, PlaceId(whole(new)?))
                    .0
                    .to_string(),
            ),
            _ => Some(std::mem::replace(&mut job.priority, whole(new)?).to_string()),
        })
    }

    /// Changes a field of a job line; its claims are looked at again.
    fn set_line(
        &mut self,
        field: Field,
        id: LineId,
        new: &Option<String>,
    ) -> Result<Option<String>, Refusal> {
        self.touched_lines.insert(id);
        let line = self.stock.lines.get_mut(&id).ok_or(Refusal::Unread {
            what: "job line",
            id: id.0,
        })?;
        Ok(Some(match field {
            Field::LineNeed => std::mem::replace(&mut line.need, qty(new)?)
                .millionths()
                .to_string(),
            Field::LineMost => std::mem::replace(&mut line.most, qty(new)?)
                .millionths()
                .to_string(),
            Field::LineAllows => std::mem::replace(&mut line.allows, text(new)?),
            _ => flag(std::mem::replace(&mut line.dropped, whole(new)? == 1)),
        }))
    }

    /// Changes a field of a lot; claims on it are looked at again.
    fn set_lot(&mut self, field: Field, id: LotId, new: &Option<String>) -> Result<Option<String>, Refusal> {
        self.touched_lots.insert(id);
        let lot = self.stock.lots.get_mut(&id).ok_or(Refusal::Unread {
            what: "lot",
            id: id.0,
        })?;
        let lot = Arc::make_mut(lot);
        Ok(match field {
            Field::LotExpiry => {
                let expiry = new.as_ref().map(|_| day(new)).transpose()?;
                std::mem::replace(&mut lot.expiry, expiry).map(|day| day.to_string())
            }
            Field::LotExpiryHow => std::mem::replace(&mut lot.expiry_how, new.clone()),
            Field::LotCondition => Some(std::mem::replace(&mut lot.condition, text(new)?)),
            Field::LotOwner => {
                let owner = new.as_ref().map(|_| whole(new).map(PlaceId)).transpose()?;
                std::mem::replace(&mut lot.owner, owner).map(|owner| owner.0.to_string())
            }
            _ => Some(flag(std::mem::replace(&mut lot.pending, whole(new)? == 1))),
        })
    }

    /// Changes how much of an order line was closed short; pegs on it are looked at again.
    fn set_order(&mut self, id: OrderLineId, new: &Option<String>) -> Result<Option<String>, Refusal> {
        self.touched_orders.insert(id);
        let line = self.stock.orders.get_mut(&id).ok_or(Refusal::Unread {
            what: "order line",
            id: id.0,
        })?;
        Ok(Some(
            std::mem::replace(&mut line.closed, qty(new)?)
                .millionths()
                .to_string(),
        ))
    }

    /// Changes the state of an order.
    fn set_order_state(&mut self, id: OrderId, new: &Option<String>) -> Result<Option<String>, Refusal> {
        let state = self.stock.order_states.get_mut(&id).ok_or(Refusal::Unread {
            what: "order",
            id: id.0,
        })?;
        Ok(Some(std::mem::replace(state, text(new)?)))
    }

    /// Changes the method of value in force.
    fn set_method(&mut self, new: &Option<String>) -> Result<Option<String>, Refusal> {
        let method = new
            .as_deref()
            .and_then(Method::from_word)
            .ok_or(unwritten("method"))?;
        Ok(Some(
            std::mem::replace(&mut self.stock.method, method)
                .word()
                .to_owned(),
        ))
    }

    /// Sets what a line needs, and with it the most that may stand on it.
    pub fn set_need(&mut self, id: LineId, need: Qty) -> Result<(), Refusal> {
        let part = self.stock.line(id)?.part;
        let most = self.stock.part(part)?.most(need);
        self.set_field(Field::LineNeed, id.0, Some(need.millionths().to_string()))?;
        self.set_field(Field::LineMost, id.0, Some(most.millionths().to_string()))
    }

    /// Takes a line's choice away, so that it needs nothing.
    pub fn drop_line(&mut self, id: LineId) -> Result<(), Refusal> {
        self.set_need(id, Qty::ZERO)?;
        self.set_field(Field::LineDropped, id.0, Some("1".to_owned()))
    }

    /// Gives a line's choice back, so that it needs this much again.
    pub fn take_line_back(&mut self, id: LineId, need: Qty) -> Result<(), Refusal> {
        self.set_field(Field::LineDropped, id.0, Some("0".to_owned()))?;
        self.set_need(id, need)
    }
}

fn unwritten(what: &'static str) -> Refusal {
    Refusal::Impossible {
        what: what.to_owned(),
        because: "no such value".to_owned(),
    }
}

fn text(new: &Option<String>) -> Result<String, Refusal> {
    new.clone().ok_or(unwritten("text"))
}

fn day(new: &Option<String>) -> Result<Day, Refusal> {
    new.as_deref()
        .and_then(|text| Day::parse(text).ok())
        .ok_or(unwritten("day"))
}

fn whole(new: &Option<String>) -> Result<i64, Refusal> {
    new.as_deref()
        .and_then(|text| text.parse().ok())
        .ok_or(unwritten("number"))
}

fn qty(new: &Option<String>) -> Result<Qty, Refusal> {
    whole(new).map(Qty::from_millionths)
}

fn flag(set: bool) -> String {
    i64::from(set).to_string()
}
