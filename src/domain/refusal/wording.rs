//! What each refusal says, in a sentence.

use super::Refusal;
use std::fmt;

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let goods = self.about_goods(f).or_else(|| self.about_owners(f));
        let told = goods
            .or_else(|| self.about_lines(f))
            .or_else(|| self.about_papers(f));
        told.unwrap_or_else(|| self.about_names(f))
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    /// Refusals about the goods themselves.
    fn about_goods(&self, f: &mut fmt::Formatter<'_>) -> Option<fmt::Result> {
        Some(match self {
            Refusal::NotLawful { movement, from, to } => {
                write!(f, "the law of stock knows no {movement} from {from} to {to}")
            }
            Refusal::Nothing => write!(f, "the quantity is nothing"),
            Refusal::Step { part, step, unit } => {
                write!(f, "{part} moves in steps of {step} {unit}")
            }
            Refusal::Whole { lot, size } => write!(f, "lot {lot} is a whole of {size} and moves only whole"),
            Refusal::OnHold { what, causes } => write!(f, "{what} is on hold: {}", causes.join("; ")),
            Refusal::Dead {
                lot,
                part,
                last,
                judged,
            } => {
                write!(
                    f,
                    "lot {lot} of {part} is dead on {judged}: its last day is {last}"
                )
            }
            Refusal::TooMuch {
                lot,
                place,
                asked,
                there,
                unit,
            } => {
                write!(
                    f,
                    "{asked} {unit} of lot {lot} asked for, {there} {unit} there are in {place}"
                )
            }
            Refusal::Reserved {
                lot,
                asked,
                free,
                unit,
                jobs,
            } => write!(
                f,
                "{asked} {unit} of lot {lot} asked for, {free} {unit} free: reserved for {}",
                jobs.join(", ")
            ),
            Refusal::HandOut {
                part,
                hand_out,
                asked,
                unit,
            } => write!(
                f,
                "unopened {part} is handed out in whole units of {hand_out} {unit}, not {asked} {unit}"
            ),
            _ => return None,
        })
    }

    /// Refusals about whose the goods are and what became of them.
    fn about_owners(&self, f: &mut fmt::Formatter<'_>) -> Option<fmt::Result> {
        Some(match self {
            Refusal::OwnersWord { lot, owner } => {
                write!(f, "lot {lot} belongs to {owner}, whose word is not recorded")
            }
            Refusal::OwnedValue { lot } => write!(f, "lot {lot} is not ours, so it carries no value"),
            Refusal::NotBenchStock { part } => {
                write!(f, "{part} is not bench stock, so it leaves only by a kit")
            }
            Refusal::MixedOwners { lot } => {
                write!(
                    f,
                    "lot {lot} has another owner than what it would be made up with"
                )
            }
            Refusal::MakingUneven { put_in, came_out } => {
                write!(f, "{put_in} went in and {came_out} would come out")
            }
            Refusal::Outlives { lot, last } => {
                write!(f, "what is made of lot {lot} lasts no longer than {last}")
            }
            Refusal::SecondBirth { lot } => write!(f, "lot {lot} stands somewhere already"),
            Refusal::NoPapers { lot } => write!(f, "lot {lot} has no papers, so it goes to quarantine"),
            _ => return None,
        })
    }

    /// Refusals about jobs and their lines.
    fn about_lines(&self, f: &mut fmt::Formatter<'_>) -> Option<fmt::Result> {
        Some(match self {
            Refusal::WrongPart { lot, part, wanted } => {
                write!(f, "lot {lot} is {part}, the line wants {wanted}")
            }
            Refusal::WrongOwner { lot, owner, job } => {
                write!(f, "lot {lot} belongs to {owner} and {job} is not his job")
            }
            Refusal::WrongCondition {
                lot,
                condition,
                allows,
            } => {
                write!(f, "lot {lot} is {condition}, the line takes {allows}")
            }
            Refusal::JobNotOpen { job, state } => write!(f, "{job} is {state}"),
            Refusal::WrongKit { job, place } => write!(f, "{place} is not a place of {job}"),
            Refusal::NoLine { movement } => write!(f, "{movement} needs the line of a job"),
            Refusal::OldList { job, answered, now } => {
                write!(f, "list {answered} of {job} no longer holds, list {now} does")
            }
            Refusal::OverLine {
                job,
                n,
                asked,
                room,
                unit,
            } => {
                write!(
                    f,
                    "{asked} {unit} for line {n} of {job}, which takes no more than {room} {unit}"
                )
            }
            Refusal::UnderLine { job, n } => write!(f, "line {n} of {job} has less than that"),
            Refusal::NotShort { job, n } => write!(f, "line {n} of {job} is not short"),
            Refusal::DroppedChoice { job, n, part } => write!(
                f,
                "line {n} of {job} belongs to a choice that was taken away and still has {part} in its kit or on the engine"
            ),
            Refusal::OrderLineFull { order, asked, coming } => {
                write!(f, "{asked} asked of order {order}, {coming} still to come")
            }
            Refusal::NotEmpty { job, because } => write!(f, "{job} cannot close: {because}"),
            _ => return None,
        })
    }

    /// Refusals about documents and who may write them.
    fn about_papers(&self, f: &mut fmt::Formatter<'_>) -> Option<fmt::Result> {
        Some(match self {
            Refusal::Papers(fault) => write!(f, "{fault}"),
            Refusal::Likeness(fault) => write!(f, "{fault}"),
            Refusal::Outgoing(fault) => write!(f, "{fault}"),
            Refusal::Keeping(fault) => write!(f, "{fault}"),
            Refusal::Day(fault) => write!(f, "{fault}"),
            Refusal::NoDueDay => write!(f, "what goes out needs the day on which it should be back"),
            Refusal::NotAuthorised { by, role, what } => {
                write!(f, "{by} may not do this: {what} is for the {role}")
            }
            Refusal::Later {
                document,
                because,
                later,
                instead,
            } => {
                let mut told = format!("{document} cannot be undone: {because}");
                if !later.is_empty() {
                    told += &format!("; later on it stand {}", later.join(", "));
                }
                if let Some(movement) = instead {
                    told += &format!("; the ordinary way is {movement}");
                }
                write!(f, "{told}")
            }
            Refusal::NoSecondUndo { document, by } => write!(f, "{document} cannot be undone: {by}"),
            Refusal::OnlyFields { document } => {
                write!(
                    f,
                    "{document} only changed records, which are changed again rather than undone"
                )
            }
            _ => return None,
        })
    }

    /// Refusals about names and choices.
    fn about_names(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::ChoiceMissing { group, choices } => {
                write!(f, "the bill leaves {group} open: {}", choices.join(" or "))
            }
            Refusal::ChoiceDoubled { group, first, second } => {
                write!(f, "{group} is chosen twice: {first} and {second}")
            }
            Refusal::ChoiceUnknown { asked, known } => {
                write!(f, "the bill has no choice {asked}; it has {}", known.join(", "))
            }
            Refusal::Unknown { what, asked, near } if near.is_empty() => write!(f, "no {what} {asked}"),
            Refusal::Unknown { what, asked, near } => {
                write!(f, "no {what} {asked}; near it: {}", near.join(", "))
            }
            Refusal::Ambiguous { what, asked, fits } => {
                write!(f, "{asked} fits more than one {what}: {}", fits.join(", "))
            }
            Refusal::MoreThanOrdered {
                order,
                n,
                open,
                came,
                unit,
            } => write!(
                f,
                "line {n} of {order}: {open} {unit} still to come, {came} {unit} said to have come; does the note count in packs?"
            ),
            Refusal::NoLastDay { part, life } => {
                write!(f, "{part} lasts {life} on the shelf, and no day was given")
            }
            Refusal::OldCount { place, by } => {
                write!(f, "{by} moved goods in {place} since the list was printed")
            }
            Refusal::Doubled { what, name } => write!(f, "{what} {name} is there already"),
            Refusal::Impossible { what, because } => write!(f, "{what}: {because}"),
            Refusal::Unread { what, id } => write!(f, "{what} {id} was not read from the books"),
            other => write!(f, "{other:?}"),
        }
    }
}
