//! What the paper of a movement must bear, and what must be true of a lot that the movement makes or finds.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::law::{Kind, Movement, Role};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;

/// The person may decide what this role decides.
pub fn authorised(stock: &Stock, role: Role, what: &str) -> Result<(), Refusal> {
    if stock.person.may(role) {
        return Ok(());
    }
    Err(Refusal::NotAuthorised {
        by: stock.person.initials.clone(),
        role: role.word(),
        what: what.to_owned(),
    })
}

impl Draft {
    /// The owner's word, the due day, bench stock, and what must be said of a lot that comes into the books.
    pub(super) fn judge_papers(&self, asked: &Move) -> Result<(), Refusal> {
        let lot = self.stock.lot(asked.lot)?;
        let head = &self.posting.head;
        match asked.movement {
            Movement::Scrap | Movement::Loss => match lot.owner {
                Some(owner) if head.owner_word.is_none() => Err(Refusal::OwnersWord {
                    lot: lot.number.clone(),
                    owner: self.stock.place(owner)?.name.clone(),
                }),
                _ => Ok(()),
            },
            Movement::SendOut if head.due.is_none() => Err(Refusal::NoDueDay),
            Movement::Use => {
                let part = self.stock.part(lot.part)?;
                if part.bench_stock {
                    Ok(())
                } else {
                    Err(Refusal::NotBenchStock {
                        part: part.number.clone(),
                    })
                }
            }
            Movement::Gain => self.judge_found(asked),
            Movement::TakeOff if asked.from.is(Kind::Engine) => self.judge_still_fitted(asked),
            Movement::BookIn
            | Movement::FittedEarly
            | Movement::TakeOff
            | Movement::BringForward
            | Movement::FoundFitted => self.judge_birth(asked, lot),
            _ => Ok(()),
        }
    }

    /// Whether the lot is made by this very document.
    fn made_here(&self, lot: &Lot) -> bool {
        // Lots are numbered as they are made.
        let made = &self.posting.lots;
        made.binary_search_by_key(&lot.id, |made| made.id).is_ok()
    }

    /// What comes into the books is a new lot; a serial or set alone is one lot for ever and comes back as itself.
    fn judge_birth(&self, asked: &Move, lot: &Lot) -> Result<(), Refusal> {
        let lot_number = lot.number.clone();
        if !self.made_here(lot) && lot.size.is_none() {
            return Err(Refusal::SecondBirth { lot: lot_number });
        }
        let because = match asked.movement {
            Movement::FittedEarly if !lot.pending => "its papers are still to follow, and it does not say so",
            Movement::TakeOff if lot.off_engine.is_none() => "it does not say which engine it came off",
            Movement::FoundFitted if lot.owner != Some(asked.from) => {
                "what is found fitted is the customer's"
            }
            Movement::BookIn if self.other_order(asked, lot)? => "the order line is of another part or lot",
            _ => return Ok(()),
        };
        Err(Refusal::Impossible {
            what: asked.movement.word().to_owned(),
            because: format!("lot {lot_number}: {because}"),
        })
    }

    /// Whether a lot is booked in on an order line that is not its own.
    fn other_order(&self, asked: &Move, lot: &Lot) -> Result<bool, Refusal> {
        let Some(order) = asked.order_line else {
            return Ok(false);
        };
        Ok(lot.order_line != Some(order) || self.stock.order(order)?.part != lot.part)
    }

    /// What an open job has fitted is returned to the stores; only what no open job has fitted is taken off.
    fn judge_still_fitted(&self, asked: &Move) -> Result<(), Refusal> {
        let part = self.stock.lot(asked.lot)?.part;
        let of_part = |lot| self.stock.lots.get(lot).is_some_and(|lot| lot.part == part);
        let there: Qty = self
            .stock
            .balances
            .iter()
            .filter(|((lot, place), _)| *place == asked.from && of_part(lot))
            .map(|(_, balance)| balance.qty)
            .sum();
        let open = |line: &&crate::domain::kitting::job::Line| {
            let job = self.stock.jobs.get(&line.job);
            job.is_some_and(|job| job.state == JobState::Open && job.engine == asked.from)
        };
        let lines = self.stock.lines.values().filter(|line| line.part == part);
        let fitted: Qty = lines.filter(open).map(|line| line.fitted).sum();
        if asked.qty <= there - fitted {
            return Ok(());
        }
        Err(Refusal::Impossible {
            what: asked.movement.word().to_owned(),
            because: "an open job has it fitted, so it is returned to the stores".to_owned(),
        })
    }

    /// What is found over: without papers only into quarantine, a serial or set only if it was lost.
    fn judge_found(&self, asked: &Move) -> Result<(), Refusal> {
        let lot = self.stock.lot(asked.lot)?;
        let lost = self.stock.balance(asked.lot, asked.from).qty;
        if lot.size.is_some() && lost < asked.qty {
            return Err(Refusal::SecondBirth {
                lot: lot.number.clone(),
            });
        }
        if self.made_here(lot) && !asked.to.is(Kind::Quarantine) {
            return Err(Refusal::NoPapers {
                lot: lot.number.clone(),
            });
        }
        Ok(())
    }
}
