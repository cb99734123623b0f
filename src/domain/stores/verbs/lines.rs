//! The rules of a job's lines: what may go into a kit, onto an engine and off again.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;

impl Draft {
    /// Judges the lines that a movement takes goods off and puts them on.
    pub(super) fn judge_lines(&self, asked: &Move) -> Result<(), Refusal> {
        match asked.to_line {
            Some(line) => self.judge_receiving_line(asked, line)?,
            None if needs_to_line(asked) => {
                return Err(Refusal::NoLine {
                    movement: asked.movement,
                });
            }
            None => {}
        }
        match asked.from_line {
            Some(line) => self.judge_giving_line(asked, line),
            None if needs_from_line(asked) => Err(Refusal::NoLine {
                movement: asked.movement,
            }),
            None => Ok(()),
        }
    }

    /// The line takes this part, from this owner, in this condition, and its job is open and has this kit or engine.
    fn judge_receiving_line(&self, asked: &Move, line: LineId) -> Result<(), Refusal> {
        let job = self.stock.job_of(line)?;
        open(&self.stock, job.id)?;
        let swapped = asked.movement == Movement::Swap && asked.to.is(Kind::Engine);
        if asked.to != job.kit && asked.to != job.engine && !swapped {
            return Err(Refusal::WrongKit {
                job: job.number.clone(),
                place: self.stock.place(asked.to)?.code.clone(),
            });
        }
        if asks_again(asked.movement) {
            fits(&self.stock, line, asked.lot)?;
        } else {
            right_part(&self.stock, line, asked.lot)?;
        }
        let chosen = matches!(asked.movement, Movement::Pick | Movement::Rob | Movement::Use);
        if chosen {
            self.judge_room(asked, line)?;
        }
        if asked.movement == Movement::Pick {
            whole_hand_out(&self.stock, asked.lot, asked.qty)?;
        }
        if asked.movement == Movement::Issue {
            self.judge_dropped(job.id)?;
        }
        Ok(())
    }

    /// A chosen quantity stays within what the line may take.
    fn judge_room(&self, asked: &Move, id: LineId) -> Result<(), Refusal> {
        let line = self.stock.line(id)?;
        let room = (line.most - line.kitted - line.fitted).max(Qty::ZERO);
        if asked.qty <= room {
            return Ok(());
        }
        let unit = self.stock.part(line.part)?.unit.to_string();
        Err(Refusal::OverLine {
            job: self.stock.job(line.job)?.number.clone(),
            n: line.n,
            asked: asked.qty,
            room,
            unit,
        })
    }

    /// Nothing is issued while a line whose choice was taken away still has parts in the kit or on the engine.
    fn judge_dropped(&self, job: JobId) -> Result<(), Refusal> {
        let found = self
            .stock
            .lines
            .values()
            .find(|line| line.job == job && line.dropped && (line.kitted + line.fitted).is_positive());
        match found {
            None => Ok(()),
            Some(line) => Err(Refusal::DroppedChoice {
                job: self.stock.job(job)?.number.clone(),
                n: line.n,
                part: self.stock.part(line.part)?.number.clone(),
            }),
        }
    }

    /// The goods lie in the kit or on the engine of the line's job, and are issued on the line they lie for; off an engine only while the job is open, because
    /// a closed job keeps what it fitted.
    fn judge_giving_line(&self, asked: &Move, line: LineId) -> Result<(), Refusal> {
        let job = self.stock.job_of(line)?;
        let other_job = asked.movement == Movement::Issue && asked.to_line != Some(line);
        if (asked.from != job.kit && asked.from != job.engine) || other_job {
            let place = self.stock.place(asked.from)?.code.clone();
            return Err(Refusal::WrongKit {
                job: job.number.clone(),
                place,
            });
        }
        if asked.from.is(Kind::Engine) {
            open(&self.stock, job.id)?;
        }
        right_part(&self.stock, line, asked.lot)
    }
}

/// Whether the movement puts goods on a line.
fn needs_to_line(asked: &Move) -> bool {
    let to_kit = asked.to.is(Kind::Kit);
    let onto_engine = asked.to.is(Kind::Engine)
        && matches!(
            asked.movement,
            Movement::FittedEarly | Movement::Issue | Movement::Use | Movement::Swap | Movement::FoundFitted
        );
    to_kit || onto_engine
}

/// Whether the movement takes goods off a line; what is taken off an engine, or sold with it, stays on its line.
fn needs_from_line(asked: &Move) -> bool {
    let off_engine = matches!(
        asked.movement,
        Movement::Return | Movement::Swap | Movement::Scrap | Movement::Loss
    );
    asked.from.is(Kind::Kit) || (asked.from.is(Kind::Engine) && off_engine)
}

/// Whether owner and condition are asked again as the goods come onto a line.
fn asks_again(movement: Movement) -> bool {
    matches!(
        movement,
        Movement::FittedEarly
            | Movement::Pick
            | Movement::Rob
            | Movement::Issue
            | Movement::Use
            | Movement::FoundFitted
    )
}

/// The lot is the line's part.
fn right_part(stock: &Stock, line: LineId, lot: LotId) -> Result<(), Refusal> {
    if stock.lot(lot)?.part == stock.line(line)?.part {
        Ok(())
    } else {
        Err(wrong_part(stock, lot, line)?)
    }
}

/// The job is open.
pub fn open(stock: &Stock, job: JobId) -> Result<(), Refusal> {
    let job = stock.job(job)?;
    if job.state == JobState::Open {
        Ok(())
    } else {
        Err(Refusal::JobNotOpen {
            job: job.number.clone(),
            state: job.state.word(),
        })
    }
}

/// The lot is the line's part, from an owner the job may use, in a condition the line takes.
pub fn fits(stock: &Stock, line: LineId, lot: LotId) -> Result<(), Refusal> {
    let (wanted, job, goods) = (stock.line(line)?, stock.job_of(line)?, stock.lot(lot)?);
    right_part(stock, line, lot)?;
    if !job.may_use(goods) {
        let owner = goods
            .owner
            .map_or(Ok(String::new()), |owner| owner_name(stock, owner))?;
        return Err(Refusal::WrongOwner {
            lot: goods.number.clone(),
            owner,
            job: job.number.clone(),
        });
    }
    if !wanted.allows(&goods.condition) {
        let allows = wanted.allows.trim_matches(',').replace(',', " or ");
        return Err(Refusal::WrongCondition {
            lot: goods.number.clone(),
            condition: goods.condition.clone(),
            allows,
        });
    }
    Ok(())
}

/// What people call an owner.
fn owner_name(stock: &Stock, owner: PlaceId) -> Result<String, Refusal> {
    Ok(stock.place(owner)?.name.clone())
}

/// The refusal of a lot of another part.
fn wrong_part(stock: &Stock, lot: LotId, line: LineId) -> Result<Refusal, Refusal> {
    Ok(Refusal::WrongPart {
        lot: stock.lot(lot)?.number.clone(),
        part: stock.part_of(lot)?.number.clone(),
        wanted: stock.part(stock.line(line)?.part)?.number.clone(),
    })
}

/// Unopened stock of a part with a hand-out unit goes in whole ones.
pub fn whole_hand_out(stock: &Stock, lot: LotId, qty: Qty) -> Result<(), Refusal> {
    let (goods, part) = (stock.lot(lot)?, stock.part_of(lot)?);
    match part.hand_out {
        Some(unit) if goods.opened.is_none() && qty.millionths() % unit.millionths() != 0 => {
            Err(Refusal::HandOut {
                part: part.number.clone(),
                hand_out: unit,
                asked: qty,
                unit: part.unit.to_string(),
            })
        }
        _ => Ok(()),
    }
}
