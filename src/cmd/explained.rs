//! The numbers of refusals and faults, what they mean and what to do about them. A number is never given twice.

use crate::db::error::Error;
use crate::domain::acceptance::fault::PaperFault;
use crate::domain::keeping::fault::KeepingFault;
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::making::fault::OutFault;
use crate::domain::measure::scan::ScanFault;
use crate::domain::refusal::Refusal;

/// What `explain` tells of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explained {
    /// The number.
    pub number: u16,
    /// What it is called.
    pub title: &'static str,
    /// Why the stores refuse this.
    pub why: &'static str,
    /// What to do next.
    pub next: &'static str,
}

macro_rules! explained {
    ($($number:literal $title:literal $why:literal $next:literal),+ $(,)?) => {
        /// Every number there is.
        pub const EXPLAINED: &[Explained] =
            &[$(Explained { number: $number, title: $title, why: $why, next: $next }),+];
    };
}

explained! {
    201 "no such movement" "goods go only where the law of stock lets them" "`bincard card LOT` shows where the lot lies now",
    202 "quantity of nothing" "a document moves something" "give a quantity above nothing",
    203 "step" "the part moves in steps of its own" "give a whole number of steps",
    204 "moves only whole" "a serial or a matched set is one thing" "give the whole quantity",
    205 "on hold" "somebody has stopped it, and said why" "an inspector lifts the hold, or take another lot: `bincard stock PART`",
    206 "dead on the day" "a lot is judged on the latest of today, the document's day and the day of use; an earlier day makes nothing good" "take a lot that lasts: `bincard stock PART`; scrap the dead one",
    207 "more than there is" "no bin holds less than nothing" "count the bin, then give what is there",
    208 "reserved for others" "what is reserved for a job stays for it" "`bincard stock PART` shows what is free; `bincard free JOB` gives a reservation up",
    209 "another part" "the line wants another part number" "`bincard stock PART` lists its lots",
    210 "another owner" "a customer's goods serve his own jobs only" "take a lot of the house",
    211 "condition" "the line takes goods in certain conditions only" "take a lot in a condition the line takes",
    212 "job not open" "a closed or cancelled job takes and gives nothing" "`bincard job list` shows the open jobs",
    213 "not of this job" "the goods lie in another kit or on another engine" "`bincard job show JOB` shows its kit",
    214 "no line" "goods go into a kit for a line of its job" "name the line",
    215 "old list" "the job changed since that paper was printed" "print the list again: `bincard pick JOB`",
    216 "more than the line takes" "a line takes what it needs, at most one hand-out unit over" "give less, or change what the job needs",
    217 "less on the line" "that much does not stand on the line" "`bincard job show JOB` shows what does",
    218 "not short" "a line that has what it needs takes no more" "nothing to do",
    219 "hand-out unit" "unopened packs go out whole; an opened pack goes by measure" "give whole packs, or open one first",
    220 "dropped choice" "parts of a choice that was taken away must leave the kit before more is issued" "put them back, return or scrap them first",
    221 "owner's word" "what is not ours is scrapped only with its owner's yes, and he is told of a loss" "record what he said",
    222 "not ours, no value" "a customer's goods are kept at no value" "leave the value out",
    223 "no due day" "what goes out should come back" "say when",
    224 "not bench stock" "only bench stock is used without a kit" "reserve and pick it for a job",
    225 "not authorised" "some decisions belong to the manager or the inspector" "ask somebody whose initials may",
    226 "owners mixed" "goods of different owners are not made up together" "fit both to the engine",
    227 "uneven making" "as much comes out of an opened pack as was in it" "give quantities that add up",
    228 "outlives its parent" "nothing made of a lot lasts longer than it" "give an earlier last day",
    229 "stands already" "one serial stands in one place" "`bincard card LOT` shows where it is believed to be",
    230 "no papers" "found stock without papers goes to quarantine" "book it into quarantine",
    231 "order line full" "no more is still to come on that order line" "promise less",
    232 "job cannot close" "nothing of a job may be left over" "put right what is named",
    233 "something later stands on it" "an undo takes back a whole document or nothing" "undo the later documents first, or put it right the ordinary way",
    234 "no second undo" "a document is undone once, and an undo is not undone" "enter it again",
    235 "only records changed" "prices and names are changed again, not undone" "change the record again",
    236 "choice missing" "exactly one choice of each group" "name it: `-c group=choice`",
    237 "choice doubled" "exactly one choice of each group" "name one of them only",
    238 "no such choice" "the bill has no such choice" "`bincard conversion show CONVERSION` lists the choices",
    239 "no such name" "the books have nothing of that name" "look for it: `bincard stock WORDS`",
    240 "more than one fits" "nothing is changed on a guess" "type more of it",
    241 "there already" "a number or tag names one thing" "choose another",
    242 "cannot be worked out" "the figures do not allow it" "mend what the reason names, then type it again; nothing was posted",
    243 "our own fault" "a fact was not read from the books; nothing was posted" "please report it with the command that you typed",
    244 "more than ordered" "a note that counts in packs puts a hundred times too much on the shelf" "count in the part's own unit; if it really came, say `--over`",
    245 "no last day" "what dies on the shelf is not taken in without a day" "give the day printed on it: `--expiry 2027-05-31`, or the day it was made: `--made 2026-05-01`",
    246 "old count list" "a count is held against the book of the moment when the list was printed" "print the list again: `bincard count BIN`",
    250 "older store not kept" "a store is brought up to this program's version only once a proved copy of it lies beside it; nothing was changed" "make room on the disk, or see to the folder's permissions; then type it again",
    251 "no life of the family" "a family lasts as the shop's own table says, with its document and issue; none is built in" "import the table: lives.csv with family,months,source,issue,from_day; or give the day printed on it: `--expiry 2027-05-31`",
    252 "life not extended" "a life of type 1 is definite; one of type 2 is extended while unopened, on a test report, as often as the part says" "take another lot: `bincard stock PART`; or enter the report: `bincard certificate add NUMBER PART QTY --sort test --issuer NAME`",
    253 "over the cabinet's limit" "a cabinet holds so many litres of flammables, whatever lies in it" "put it into another cabinet: `--to BIN`; or say `--over-limit`, and the document says it too",
    254 "second lot" "the bin takes one lot, so that nobody draws from the wrong one" "put it into another bin: `--to BIN`",
    255 "too long out of the cold" "what is kept cold ages where it is warm, and every outing adds up" "take another lot: `bincard stock PART`; put this one aside: `bincard quarantine LOT QTY -w life`",
    256 "a customer's goods" "what is not ours serves nobody but its owner" "take a lot of the house: `bincard stock PART`",
    257 "no weight" "metres come from grams only by what one metre of this part weighs" "record it with the part: `grams_per_unit`, in grams; or count it: `bincard count BIN`",
    258 "less than its tare" "goods never weigh less than nothing" "read the scale again; give the tare of this spool: `--tare 58g`",
    259 "out of calibration" "a tool that nobody has checked in time measures nothing" "put it into the cage, from where the inspector sends it to be calibrated; take another: `bincard stock PART`",
    260 "pack of two sizes" "the same name holds more with one supplier than with another; nothing is booked on a guess" "type the number itself, in the unit the part is kept in",
    261 "serial stays" "a serial is one thing and one lot for ever" "leave it out, or make another part of it",
    264 "dangerous goods" "a carrier must know that a flammable liquid is inside, and the air mail takes none" "say how the parcel is marked: `--dangerous \"UN 1133, class 3, III, limited quantity\"`",
    265 "another part" "what looks alike is told apart by its sizes: a line takes its own part" "put it back and take the part of the line; `bincard find PART` shows what looks like it",
    266 "stand-in the wrong way" "a new part may do for an old one and the old not for the new" "take the part of the line, or wait for it: `bincard shorts`",
    267 "stand-in out of bounds" "who allowed it said where and until when" "ask who signed it; `bincard find PART` shows what may stand in, where and by whose authority",
    268 "stand-in that does not fit" "a bolt too long bottoms before it clamps, one too short holds by too little thread" "take the length that the line wants",
    269 "stand-in not asked for" "a stand-in is taken only where it was asked for by name, so that the job's papers bear both parts and the authority" "ask for it: `bincard job change JOB --instead LINE=PART`",
    270 "nothing scanned" "the scanner sent an empty line" "scan it again",
    271 "unknown identifier" "a maker's label is read as far as its identifiers are known, and never in part" "type what is printed beside the symbol: `bincard find BATCH`",
    272 "value of another shape" "each identifier says how long its value is and what may stand in it; a separator may be missing" "scan it again; else type what is printed beside the symbol: `bincard find BATCH`",
    273 "check digit" "the last figure of an article number or a parcel's is worked out from the others" "scan it again, or type the number again",
    274 "no such day on the label" "a day on a label is year, month and day in six figures, the day 00 for the month's last" "go by what is printed beside the symbol, and tell the maker",
    275 "does not go together" "some identifiers say nothing without another, or not beside it" "scan the label that bears the article number too, or type its batch: `bincard find BATCH`",
    276 "said twice" "one label says one thing of a kind" "go by what is printed beside the symbol, and tell the maker",
    277 "no label of ours" "ours bear (91) a lot, (92) a bin, (93) a part, (94) a job, (95) a document or (96) a line of a list" "scan the label again, or type what is printed beside the symbol",
    278 "no symbol for it" "a symbol bears letters, figures and some signs, no blank, no letter with an accent" "give the bin or part a code without it, or write its label by hand",
    279 "set too far apart" "a set is matched within the part's own limit; unequal thicknesses make unequal compression" "measure again, or take other pieces",
    280 "set not measured" "what a part is matched by stands among its sizes" "measure each piece and type its figure: `--measured weight=512,513,511.5,512g`",
    281 "set of two parts" "a set is pieces of one part" "take lots of one part; `bincard find PART` shows them",
    282 "brought up, not sound" "after a store is brought up to this program's version its books are proved; a fault was there before, or the steps made one" "post nothing; `bincard check` lists the faults; the store as it was lies beside it",
    283 "no day for a paper" "a paper bears the day on which it happened: not one to come, nor one before the books or the goods were there" "give the day it happened: `--on 2026-11-25`, or leave `--on` out for today",
    285 "certificate of another part" "a paper covers the part that it names" "name the lot's own: `bincard certificate list PART`",
    286 "more than the certificate covers" "what is drawn on a certificate never exceeds what it covers" "`bincard certificate show NUMBER` says what is left; accept that much, and the rest on another paper",
    287 "papers or checks lacking" "goods are accepted with the paper that their class asks for, and when they were looked at" "name the paper and what was looked at: `--certificate NUMBER --checked all`; or put them aside: `--cage QTY -w no papers`",
    288 "no code for the cage" "why goods lie in the cage is counted by a short list of codes" "begin the reason with: no papers, papers differ, damaged, wrong part, over, life, suspect or found",
    301 "no store there" "only `init` and `demo` make a store" "make one with `bincard init --name \"YOUR STORES\"`, or point to yours with `--store PATH`",
    302 "no path for a store" "a store is a file" "give the path of a file",
    303 "empty file" "an empty file is no store" "give another path, or remove the file and `bincard init`",
    304 "not our file" "the file belongs to another program; it was not touched" "give the path of your store with `--store PATH`",
    305 "newer store" "an older program does not understand it" "use the newer program",
    306 "there already" "nothing is written over" "give another path",
    307 "cannot be made" "the folder does not allow it" "make the folder, or give another path",
    308 "busy" "another process kept the books for too long; nothing was posted" "try again",
    309 "not permitted" "the file or the disk may not be written" "see to the permissions of the store's file and folder",
    310 "could not be read" "a reading error need not mean damage" "try again, then `bincard check`",
    311 "reading or writing failed" "the disk may be full or failing; what was not confirmed was not posted" "see to the disk, then `bincard log --op ID` tells whether it was posted",
    312 "a guard of the books bit" "the books refuse what breaks the law of stock, whoever asks; nothing was posted" "please report it with the command that you typed",
    313 "setting" "a safety setting of the books did not take" "please report it",
    314 "strange content" "the books hold something no rule could have written" "run `bincard check`",
    315 "same id, another request" "an operation id names one request for ever" "use a new id",
    316 "our own fault" "a statement of ours failed; nothing was posted" "please report it with the command that you typed",
    401 "faults in files" "an import takes everything or nothing" "put right the places named, then import again",
    402 "not understood" "the command line does not say what is wanted" "`bincard help COMMAND` shows how it is typed",
    403 "file" "a file could not be read or made" "see to the path and its permissions",
}

/// What a refusal calls the pack of a part that is one size with one supplier and another with the next.
pub const PACK: &str = "pack";

/// What a number means.
pub fn explained(number: u16) -> Option<&'static Explained> {
    EXPLAINED.iter().find(|explained| explained.number == number)
}

/// The number of a refusal.
pub fn number(refusal: &Refusal) -> u16 {
    match refusal {
        Refusal::NotLawful { .. } => 201,
        Refusal::Nothing => 202,
        Refusal::Step { .. } => 203,
        Refusal::Whole { .. } => 204,
        Refusal::OnHold { .. } => 205,
        Refusal::Dead { .. } => 206,
        Refusal::TooMuch { .. } => 207,
        Refusal::Reserved { .. } => 208,
        Refusal::WrongPart { .. } => 209,
        Refusal::WrongOwner { .. } => 210,
        Refusal::WrongCondition { .. } => 211,
        Refusal::JobNotOpen { .. } => 212,
        Refusal::WrongKit { .. } => 213,
        Refusal::NoLine { .. } => 214,
        Refusal::OldList { .. } => 215,
        Refusal::OverLine { .. } => 216,
        Refusal::UnderLine { .. } => 217,
        Refusal::NotShort { .. } => 218,
        Refusal::HandOut { .. } => 219,
        Refusal::DroppedChoice { .. } => 220,
        Refusal::OwnersWord { .. } => 221,
        Refusal::OwnedValue { .. } => 222,
        Refusal::NoDueDay => 223,
        Refusal::NotBenchStock { .. } => 224,
        Refusal::NotAuthorised { .. } => 225,
        Refusal::MixedOwners { .. } => 226,
        Refusal::MakingUneven { .. } => 227,
        Refusal::Outlives { .. } => 228,
        Refusal::SecondBirth { .. } => 229,
        Refusal::NoPapers { .. } => 230,
        Refusal::OrderLineFull { .. } => 231,
        Refusal::NotEmpty { .. } => 232,
        Refusal::Later { .. } => 233,
        Refusal::NoSecondUndo { .. } => 234,
        Refusal::OnlyFields { .. } => 235,
        Refusal::ChoiceMissing { .. } => 236,
        Refusal::ChoiceDoubled { .. } => 237,
        Refusal::ChoiceUnknown { .. } => 238,
        Refusal::Unknown { .. } => 239,
        Refusal::Ambiguous { what: PACK, .. } => 260,
        Refusal::Ambiguous { .. } => 240,
        Refusal::MoreThanOrdered { .. } => 244,
        Refusal::NoLastDay { .. } => 245,
        Refusal::OldCount { .. } => 246,
        Refusal::Day(_) => 283,
        Refusal::Papers(PaperFault::OtherPart { .. }) => 285,
        Refusal::Papers(PaperFault::Overdrawn { .. }) => 286,
        Refusal::Papers(PaperFault::Wanting { .. }) => 287,
        Refusal::Papers(PaperFault::NoCode { .. }) => 288,
        Refusal::Likeness(LikenessFault::Other { .. }) => 265,
        Refusal::Likeness(LikenessFault::WrongWay { .. }) => 266,
        Refusal::Likeness(LikenessFault::NotInstead { .. }) => 267,
        Refusal::Likeness(LikenessFault::Misfit { .. }) => 268,
        Refusal::Likeness(LikenessFault::NotAsked { .. }) => 269,
        Refusal::Likeness(LikenessFault::Apart { .. }) => 279,
        Refusal::Likeness(LikenessFault::Unmeasured { .. }) => 280,
        Refusal::Likeness(LikenessFault::TwoParts { .. }) => 281,
        Refusal::Outgoing(fault) => out_number(fault),
        Refusal::Keeping(fault) => keeping_number(fault),
        Refusal::Doubled { .. } => 241,
        Refusal::Impossible { .. } => 242,
        Refusal::Unread { .. } => 243,
    }
}

/// The number of a refusal about goods that become others or leave.
fn out_number(fault: &OutFault) -> u16 {
    match fault {
        OutFault::NotOurs { .. } => 256,
        OutFault::NoWeight { .. } => 257,
        OutFault::BelowTare { .. } => 258,
        OutFault::OutOfCalibration { .. } => 259,
        OutFault::Dangerous { .. } => 264,
        OutFault::SerialStays { .. } => 261,
    }
}

/// The number of a fault of keeping.
fn keeping_number(fault: &KeepingFault) -> u16 {
    match fault {
        KeepingFault::NoRule { .. } => 251,
        KeepingFault::NotExtended { .. } => 252,
        KeepingFault::OverLimit { .. } => 253,
        KeepingFault::SecondLot { .. } => 254,
        KeepingFault::TooWarm { .. } => 255,
        KeepingFault::PastCalendar { .. } => 242,
    }
}

/// The number of a code that cannot be read.
pub fn scan_number(fault: &ScanFault) -> u16 {
    match fault {
        ScanFault::Nothing => 270,
        ScanFault::UnknownAi { .. } => 271,
        ScanFault::Length { .. } | ScanFault::Character { .. } => 272,
        ScanFault::CheckDigit { .. } => 273,
        ScanFault::Day { .. } => 274,
        ScanFault::Pair { .. } | ScanFault::Alone { .. } => 275,
        ScanFault::Twice { .. } => 276,
        ScanFault::NotOurs { .. } => 277,
        ScanFault::NoSymbol { .. } => 278,
    }
}

/// The number of a fault of the books.
pub fn books_number(error: &Error) -> u16 {
    match error {
        Error::NoStore(_) => 301,
        Error::BadPath { .. } => 302,
        Error::Empty(_) => 303,
        Error::NotOurs { .. } => 304,
        Error::Newer { .. } => 305,
        Error::Exists(_) => 306,
        Error::CannotCreate { .. } => 307,
        Error::NotKept { .. } => 250,
        Error::BroughtUpUnsound { .. } => 282,
        Error::Busy => 308,
        Error::ReadOnly(_) => 309,
        Error::Unreadable(_) => 310,
        Error::Io(_) => 311,
        Error::Refused(_) => 312,
        Error::Setting { .. } => 313,
        Error::Strange { .. } => 314,
        Error::OtherRequest { .. } => 315,
        Error::Fault(_) => 316,
    }
}

/// What to do about a refusal, with its own names where they help.
pub fn hint(refusal: &Refusal) -> String {
    let general = || {
        explained(number(refusal))
            .map(|e| e.next.to_owned())
            .unwrap_or_default()
    };
    match refusal {
        Refusal::Dead { part, .. } => {
            format!("take a lot that lasts: `bincard stock {part}`; scrap the dead one")
        }
        Refusal::Reserved { jobs, .. } => match jobs.first().and_then(|job| job.split(' ').next()) {
            Some(job) => format!("`bincard free {job}` gives the reservation up, or take another lot"),
            None => general(),
        },
        Refusal::OldList { job, .. } => format!("print the list that holds: `bincard pick {job}`"),
        Refusal::ChoiceMissing { group, choices } => match choices.first() {
            Some(choice) => format!("name one: `-c {group}={choice}`"),
            None => general(),
        },
        Refusal::Papers(PaperFault::Wanting { lot, qty, .. }) => format!(
            "name the paper and what was looked at: `--certificate NUMBER --checked all`; or put it aside: \
             `bincard inspect {lot} --cage {qty} -w no papers --by INITIALS`"
        ),
        Refusal::Likeness(LikenessFault::NotAsked { job, n, given, .. }) => format!(
            "ask for it: `bincard job change {job} --instead {n}={given} --by INITIALS`, then reserve and pick"
        ),
        Refusal::NotAuthorised { role, .. } => format!("ask somebody who is {role}: `--by INITIALS`"),
        Refusal::Ambiguous { what: "place", .. } => "name the bin: `--from BIN`".to_owned(),
        Refusal::Unknown { what: "job", .. } => "`bincard job list` shows the jobs".to_owned(),
        Refusal::Unknown { what, .. } => where_they_stand(what).map_or_else(general, str::to_owned),
        _ => general(),
    }
}

/// Where the names of this sort can be looked up.
fn where_they_stand(what: &str) -> Option<&'static str> {
    Some(match what {
        "part" | "part with a bill" => "`bincard stock` lists the parts",
        "conversion" => "`bincard conversion show` lists the conversions",
        "initials" | "person" => "`bincard people list` has the register",
        "order" | "order or part" => "`bincard order list --all` lists the orders",
        "order line" | "line of this order" => "`bincard order show ORDER` numbers its lines",
        "lot" | "lot number" | "lot of the line" => "`bincard find PART` lists the lots of a part",
        "place" | "bin" | "bin for" | "place for this" => "`bincard export bins` lists the bins",
        "supplier" => "`bincard export suppliers` lists the suppliers",
        "customer" => "`bincard export customers` lists the customers",
        "engine" => "`bincard export engines` lists the engines",
        "goods-received note" => "`bincard inspect` lists what waits, lot by lot",
        "document" | "document of" => "`bincard log` lists the documents",
        "certificate" => "`bincard certificate list` lists the certificates",
        "job line" | "line of the job" | "line of the job for" => "`bincard job show JOB` numbers its lines",
        "open note" => "`bincard note` lists the open notes",
        "live hold" => "`bincard hold` lists the holds",
        _ => return None,
    })
}
