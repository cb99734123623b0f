//! What a job needs, changed: claims that no longer fit its lines are stripped in the same document.

use crate::domain::kitting::job::{JobState, Line};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{DocId, JobId, LineId, PartId};
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::record::{Record, Table};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::open;

/// What a new line takes: new goods only.
const NEW_ONLY: &str = ",new,";

/// One change of a job or of one of its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Alter {
    /// The day its parts are fitted.
    UseDay(Day),
    /// The colour of its box.
    Tag(String),
    /// Which job goes first on the same day.
    Priority(i64),
    /// What a line needs.
    Need(LineId, Qty),
    /// The conditions a line takes, each between commas.
    Allows(LineId, String),
    /// A line's choice is taken away.
    Drop(LineId),
    /// A line's choice is taken back, and the line needs this much.
    TakeBack(LineId, Qty),
    /// Another part stands in for some of what a line needs.
    Instead(Instead),
}

/// A part that stands in for some of what a line needs: it gets a line of its own, which says for what and by whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instead {
    /// The line that needs so much less.
    pub line: LineId,
    /// The part that stands in.
    pub part: PartId,
    /// How much of it.
    pub qty: Qty,
    /// Under which number the books keep the new line.
    pub new_line: LineId,
    /// Its number on the papers of the job.
    pub n: i64,
    /// The choice it belongs to, as the line that it stands in for.
    pub choice: Option<String>,
    /// For what it stands in, in which manner and by whose authority.
    pub how: String,
}

/// Changes an open job.
pub fn alter(stock: &Stock, head: Head, job: JobId, changes: &[Alter]) -> Result<Posting, Refusal> {
    open(stock, job)?;
    let mut draft = Draft::new(stock, about(head, job));
    for change in changes {
        draft.alter(job, change)?;
    }
    if draft.posting.changes.is_empty() {
        return Err(Refusal::Nothing);
    }
    draft.finish()
}

/// The head of a document about a job.
fn about(head: Head, job: JobId) -> Head {
    Head {
        job: Some(job),
        ..head
    }
}

/// Gives a job up: nothing may lie in its kit or on its engine, its claims are stripped.
pub fn cancel(stock: &Stock, head: Head, job: JobId) -> Result<Posting, Refusal> {
    open(stock, job)?;
    let lines = stock.lines.values().filter(|line| line.job == job);
    for line in lines {
        if (line.kitted + line.fitted).is_positive() {
            return Err(Refusal::NotEmpty {
                job: stock.job(job)?.number.clone(),
                because: format!("line {} has parts in its kit or on its engine", line.n),
            });
        }
    }
    let mut draft = Draft::new(stock, about(head, job));
    draft.set_field(
        Field::JobState,
        job.0,
        Some(JobState::Cancelled.word().to_owned()),
    )?;
    draft.finish()
}

impl Draft {
    /// Changes one thing of a job; what no longer fits is stripped when the document is finished.
    pub fn alter(&mut self, job: JobId, change: &Alter) -> Result<(), Refusal> {
        match change {
            Alter::UseDay(day) => self.set_field(Field::JobUseDay, job.0, Some(day.to_string())),
            Alter::Tag(tag) => self.set_field(Field::JobTag, job.0, Some(tag.clone())),
            Alter::Priority(priority) => {
                self.set_field(Field::JobPriority, job.0, Some(priority.to_string()))
            }
            Alter::Need(line, need) => {
                let (n, dropped) = (self.own_line(job, *line)?.n, self.own_line(job, *line)?.dropped);
                if need.is_negative() {
                    return Err(Refusal::Nothing);
                }
                if dropped {
                    let part = self.stock.line(*line)?.part;
                    return Err(Refusal::DroppedChoice {
                        job: self.stock.job(job)?.number.clone(),
                        n,
                        part: self.stock.part(part)?.number.clone(),
                    });
                }
                self.set_need(*line, *need)
            }
            Alter::Allows(line, words) => {
                self.own_line(job, *line)?;
                self.set_field(Field::LineAllows, line.0, Some(words.clone()))
            }
            Alter::Drop(line) => {
                self.own_line(job, *line)?;
                self.drop_line(*line)
            }
            Alter::TakeBack(line, need) => {
                self.own_line(job, *line)?;
                self.take_line_back(*line, *need)
            }
            Alter::Instead(instead) => self.stand_in(job, instead),
        }
    }

    /// The line needs so much less, and a new line as much of the part that stands in. The new line is made needing
    /// nothing, so that an undo, which takes changes back, leaves it so.
    fn stand_in(&mut self, job: JobId, instead: &Instead) -> Result<(), Refusal> {
        let old = self.own_line(job, instead.line)?.clone();
        let open = old.need - old.kitted - old.fitted;
        if !instead.qty.is_positive() || instead.qty > open || old.dropped {
            return Err(Refusal::Impossible {
                what: format!("line {}", old.n),
                because: format!(
                    "{open} of it is not in the kit yet, and {} is asked for",
                    instead.qty
                ),
            });
        }
        self.free_beyond(&old, open - instead.qty)?;
        self.set_need(old.id, old.need - instead.qty)?;
        self.posting.records.push(Record {
            table: Table::JobLine,
            data: vec![
                instead.new_line.0.into(),
                job.0.into(),
                instead.n.into(),
                instead.part.0.into(),
                instead.choice.clone().into(),
                instead.how.as_str().into(),
                NEW_ONLY.into(),
                false.into(),
                Qty::ZERO.into(),
                Qty::ZERO.into(),
            ],
        });
        let line = Line {
            id: instead.new_line,
            job,
            n: instead.n,
            part: instead.part,
            allows: NEW_ONLY.to_owned(),
            dropped: false,
            need: Qty::ZERO,
            most: Qty::ZERO,
            reserved: Qty::ZERO,
            pegged: Qty::ZERO,
            kitted: Qty::ZERO,
            fitted: Qty::ZERO,
            document: DocId(self.stock.next.document),
        };
        self.stock.lines.insert(line.id, line);
        self.set_need(instead.new_line, instead.qty)
    }

    /// Gives up what is reserved for a line or promised to it beyond so much, the last first.
    fn free_beyond(&mut self, line: &Line, keeps: Qty) -> Result<(), Refusal> {
        let mut over = line.reserved + line.pegged - keeps;
        for (source, qty) in self.stock.claims.for_line(line.id).into_iter().rev() {
            if over.is_positive() {
                over -= self.free(line.id, source, Some(qty.min(over)))?;
            }
        }
        Ok(())
    }

    /// The line, which must be the job's.
    fn own_line(&self, job: JobId, line: LineId) -> Result<&Line, Refusal> {
        let found = self.stock.line(line)?;
        if found.job == job {
            return Ok(found);
        }
        Err(Refusal::Unknown {
            what: "line of the job",
            asked: found.n.to_string(),
            near: Vec::new(),
        })
    }
}
