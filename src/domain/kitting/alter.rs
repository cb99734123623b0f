//! What a job needs, changed: claims that no longer fit its lines are stripped in the same document.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId};
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::open;

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
        }
    }

    /// The line, which must be the job's.
    fn own_line(&self, job: JobId, line: LineId) -> Result<&crate::domain::kitting::job::Line, Refusal> {
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
