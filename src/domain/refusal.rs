//! Why the stores refuse something: data here, the wording only in `Display`. A short line is an answer, not a refusal.

mod wording;

use crate::domain::acceptance::fault::PaperFault;
use crate::domain::keeping::fault::KeepingFault;
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::making::fault::OutFault;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::tracing::dating::DayFault;

/// A refusal, with what it is about; what to type next is said by the command that was refused.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The law knows no such movement.
    NotLawful {
        movement: Movement,
        from: Kind,
        to: Kind,
    },
    /// A quantity of nothing.
    Nothing,
    /// Less than the smallest quantity of the part that may move.
    Step { part: String, step: Qty, unit: String },
    /// A serial or a matched set moves only whole.
    Whole { lot: String, size: Qty },
    /// The lot or the place is on hold.
    OnHold { what: String, causes: Vec<String> },
    /// The lot is dead on the day it is judged on.
    Dead {
        lot: String,
        part: String,
        last: Day,
        judged: Day,
    },
    /// More than there is.
    TooMuch {
        lot: String,
        place: String,
        asked: Qty,
        there: Qty,
        unit: String,
    },
    /// The rest of the lot is reserved for others.
    Reserved {
        lot: String,
        asked: Qty,
        free: Qty,
        unit: String,
        jobs: Vec<String>,
    },
    /// The lot is another part than the line's.
    WrongPart {
        lot: String,
        part: String,
        wanted: String,
    },
    /// The lot belongs to somebody whose job this is not.
    WrongOwner { lot: String, owner: String, job: String },
    /// The line does not take goods in this condition.
    WrongCondition {
        lot: String,
        condition: String,
        allows: String,
    },
    /// The job is closed or cancelled.
    JobNotOpen { job: String, state: &'static str },
    /// The goods are not in the kit, crate or engine of the line named.
    WrongKit { job: String, place: String },
    /// The movement needs the line of a job.
    NoLine { movement: Movement },
    /// The paper answered is no longer the one that holds.
    OldList { job: String, answered: i64, now: i64 },
    /// More than the line may still take.
    OverLine {
        job: String,
        n: i64,
        asked: Qty,
        room: Qty,
        unit: String,
    },
    /// Less stands on the line than is to be taken off it.
    UnderLine { job: String, n: i64 },
    /// The line is not short.
    NotShort { job: String, n: i64 },
    /// Unopened stock goes out in whole hand-out units.
    HandOut {
        part: String,
        hand_out: Qty,
        asked: Qty,
        unit: String,
    },
    /// Parts of a choice that was taken away are still in the kit or on the engine.
    DroppedChoice { job: String, n: i64, part: String },
    /// It is not ours: its owner must have a say.
    OwnersWord { lot: String, owner: String },
    /// What is not ours carries no value.
    OwnedValue { lot: String },
    /// What goes out needs a day on which it should be back.
    NoDueDay,
    /// Only bench stock is used without a kit.
    NotBenchStock { part: String },
    /// The initials may not do this.
    NotAuthorised {
        by: String,
        role: &'static str,
        what: String,
    },
    /// Goods of different owners, or of a customer and the house, are not made up together.
    MixedOwners { lot: String },
    /// What came out of a making is not what went in.
    MakingUneven { put_in: Qty, came_out: Qty },
    /// A child may not outlive what it was made of.
    Outlives { lot: String, last: Day },
    /// A serial or set stands somewhere already.
    SecondBirth { lot: String },
    /// Without papers it goes to quarantine.
    NoPapers { lot: String },
    /// Nothing is promised any more on that order line.
    OrderLineFull { order: String, asked: Qty, coming: Qty },
    /// The job cannot close yet.
    NotEmpty { job: String, because: String },
    /// Something later stands on the document that is to be undone.
    Later {
        document: String,
        because: String,
        later: Vec<String>,
        instead: Option<Movement>,
    },
    /// The document was undone already, or is itself an undo.
    NoSecondUndo { document: String, by: String },
    /// The document only changed fields, which are changed again rather than undone.
    OnlyFields { document: String },
    /// A choice of the bill is missing.
    ChoiceMissing { group: String, choices: Vec<String> },
    /// Two choices of one group.
    ChoiceDoubled {
        group: String,
        first: String,
        second: String,
    },
    /// A choice or a group that the bill does not have.
    ChoiceUnknown { asked: String, known: Vec<String> },
    /// A name that the books do not have.
    Unknown {
        what: &'static str,
        asked: String,
        near: Vec<String>,
    },
    /// A name that fits more than one.
    Ambiguous {
        what: &'static str,
        asked: String,
        fits: Vec<String>,
    },
    /// A record that is there already.
    Doubled { what: &'static str, name: String },
    /// Something that cannot be worked out, with the reason.
    Impossible { what: String, because: String },
    /// More came than was still to come, and nobody said that it really did.
    MoreThanOrdered {
        order: String,
        n: i64,
        open: Qty,
        came: Qty,
        unit: String,
    },
    /// The part dies on the shelf, and nobody said when.
    NoLastDay { part: String, life: String },
    /// A list was printed before goods moved in the bin that it lists.
    OldCount { place: String, by: String },
    /// The papers of goods do not do.
    Papers(PaperFault),
    /// A document cannot bear the day that was given.
    Day(DayFault),
    /// One part is not another.
    Likeness(LikenessFault),
    /// What is not used up, weighed, made up or sent out.
    Outgoing(OutFault),
    /// Goods cannot be kept so.
    Keeping(KeepingFault),
    /// A fact was asked for that the books did not hand over: our fault.
    Unread { what: &'static str, id: i64 },
}
