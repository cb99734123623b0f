//! A document of plain movements: each judged by the law, with what it does to claims, pegs and the list it answers.

use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;

/// One document of movements.
pub fn post_moves(stock: &Stock, head: Head, moves: &[Move]) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    for asked in moves {
        draft.go(asked)?;
    }
    draft.finish()
}

impl Draft {
    /// One movement with what it does to claims and pegs.
    pub fn go(&mut self, asked: &Move) -> Result<(), Refusal> {
        match asked.movement {
            Movement::Pick => self.pick(asked),
            Movement::Accept => self.accept(asked),
            _ => self.enter(*asked),
        }
    }

    /// A pick answers the list that holds, ends the line's claim and leaves the claims of others alone.
    fn pick(&mut self, asked: &Move) -> Result<(), Refusal> {
        self.judge(asked)?;
        let line = asked.to_line.ok_or(Refusal::NoLine {
            movement: asked.movement,
        })?;
        let job = self.stock.job_of(line)?;
        if let Some(answered) = self.posting.head.list {
            // A paper is of one job: the number it bears means nothing to another.
            if answered != job.list || self.posting.head.job.is_some_and(|of| of != job.id) {
                return Err(Refusal::OldList {
                    job: job.number.clone(),
                    answered,
                    now: job.list,
                });
            }
            self.posting.head.job = Some(job.id);
        }
        self.end_claim_by_picking(asked, line)?;
        self.write(asked)
    }

    /// What was never accepted before counts on its order line, and pegs on that line arrive.
    fn accept(&mut self, asked: &Move) -> Result<(), Refusal> {
        let never = self.stock.unaccepted.get(&asked.lot).copied().unwrap_or_default();
        let Some(order) = self
            .stock
            .lot(asked.lot)?
            .order_line
            .filter(|_| never.is_positive())
        else {
            return self.enter(*asked);
        };
        let first = asked.qty.min(never);
        self.judge(asked)?;
        self.write(&Move {
            qty: first,
            order_line: Some(order),
            ..*asked
        })?;
        if asked.qty > first {
            self.write(&Move {
                qty: asked.qty - first,
                ..*asked
            })?;
        }
        self.arrive(order, asked.lot, first)
    }
}
