//! The deal of a whole plan at once, held against the law asked claim by claim.
//!
//! Source: the law of stock itself (law.md 4.1, 4.2, 6): a claim that `Draft` refuses is unlawful, one that it takes is
//! lawful. First to expire first, each line may have of a lot the most that the law lets it have, up to what it is short
//! of, in whole ones where the lot goes out only whole.

use super::shelves::{Shelves, head};
use bincard::domain::kitting::deal::{Deal, Share};
use bincard::domain::kitting::reserve::reserve;
use bincard::domain::kitting::turn::{in_order_of_need, only_whole};
use bincard::domain::measure::{Qty, Unit};
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{JobId, LotId};
use bincard::domain::stores::posting::{Held, Source};
use bincard::domain::stores::stock::Stock;
use bincard::domain::stores::verbs::draft::Draft;
use proptest::prelude::*;

/// Units, steps and hand-out units of the parts of a random workshop.
const PARTS: [(Unit, &str, &str); 4] = [
    (Unit::Each, "1", ""),
    (Unit::Millilitre, "0.1", "10"),
    (Unit::Each, "1", "4"),
    (Unit::Metre, "0.01", ""),
];

/// A lot: its part, how much, when it dies, what is special about it.
type Laid = (usize, u32, u32, u32);
/// A job: whose, when, how urgent, and its lines: part, tenths needed, conditions.
type Wished = (bool, u32, i64, Vec<(usize, u32, bool)>);

fn laid() -> impl Strategy<Value = Laid> {
    (0..PARTS.len(), 1..12u32, 0..5u32, 0..10u32)
}

fn wished() -> impl Strategy<Value = Wished> {
    let line = (0..PARTS.len(), 1..120u32, any::<bool>());
    (any::<bool>(), 0..4u32, 1..4i64, prop::collection::vec(line, 1..5))
}

/// The shelves, as words tell them.
fn workshop(lots: &[Laid], jobs: &[Wished]) -> (Shelves, Vec<JobId>) {
    let mut shelves = Shelves::on("2026-11-25");
    let parts: Vec<_> = PARTS
        .iter()
        .map(|(unit, step, hand_out)| shelves.part("PART", *unit, step, hand_out))
        .collect();
    for (n, (part, qty, dies, special)) in lots.iter().enumerate() {
        let dies = match dies {
            0 => String::new(),
            month => format!(" exp 2026-12-0{month}"),
        };
        let special = [
            "",
            "",
            "",
            " opened",
            " whole",
            " overhauled",
            " Brack",
            " Tow",
            " held",
            " B-1",
        ][*special as usize];
        shelves.lot(parts[*part], &format!("L{n} {qty}{dies}{special}"));
    }
    let mut ids = Vec::new();
    for (n, (brack, day, priority, lines)) in jobs.iter().enumerate() {
        let customer = if *brack { "Brack" } else { "Tow" };
        let job = shelves.job(
            &format!("job{n}"),
            customer,
            &format!("2026-12-0{}", day + 1),
            *priority,
        );
        for (part, tenths, overhauled) in lines {
            let each = PARTS[*part].0 == Unit::Each;
            let need = if each {
                format!("{}", 1 + tenths % 9)
            } else {
                format!("{}.{}", tenths / 10, 1 + tenths % 9)
            };
            let line = shelves.line(job, parts[*part], &need);
            if *overhauled {
                ",new,overhauled,".clone_into(&mut shelves.stock.lines.get_mut(&line).unwrap().allows);
            }
        }
        ids.push(job);
    }
    if lots.len() % 7 == 3 {
        shelves.hold(Held::Place(shelves.at("B-1")), "cannot be found");
    }
    (shelves, ids)
}

/// The most of a lot that the law lets a line claim, tried from the most that it could wish for downwards.
fn most(draft: &mut Draft, line: bincard::domain::stores::ids::LineId, lot: LotId) -> Option<Qty> {
    let short = draft.stock.line(line).unwrap().short().millionths();
    let step = draft.stock.part_of(lot).unwrap().step.millionths();
    let unit = only_whole(&draft.stock, lot)
        .unwrap()
        .map_or(step, Qty::millionths);
    let first = if unit == step && draft.stock.lot(lot).unwrap().size.is_none() {
        short / unit
    } else {
        (short + unit - 1) / unit
    };
    for times in (1..=first).rev() {
        let qty = Qty::from_millionths(times * unit);
        if draft.reserve(line, lot, qty).is_ok() {
            return Some(qty);
        }
    }
    None
}

/// The same plan, asked of the law claim by claim.
fn asked_of_the_law(stock: &Stock, jobs: &[JobId]) -> Vec<Share> {
    let mut draft = Draft::new(stock, head(DocKind::Reserve, stock));
    let mut shares = Vec::new();
    let mut jobs: Vec<_> = jobs.iter().map(|id| stock.job(*id).unwrap()).collect();
    jobs.sort_by_key(|job| (job.use_day, job.priority, job.id));
    for job in jobs {
        let mut lines: Vec<_> = stock.lines.values().filter(|line| line.job == job.id).collect();
        lines.sort_by_key(|line| line.n);
        for line in lines {
            let mut lots: Vec<_> = stock.lots.values().filter(|lot| lot.part == line.part).collect();
            lots.sort_by_key(|lot| (lot.expiry.is_none(), lot.expiry, lot.id));
            for lot in lots {
                if draft.stock.line(line.id).unwrap().short().is_positive()
                    && let Some(qty) = most(&mut draft, line.id, lot.id)
                {
                    shares.push(Share {
                        line: line.id,
                        lot: lot.id,
                        qty,
                    });
                }
            }
        }
    }
    shares
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Nothing more, nothing less and nothing else than the law would let them have.
    #[test]
    fn a_deal_is_what_the_law_lets_them_have(
        lots in prop::collection::vec(laid(), 0..14),
        jobs in prop::collection::vec(wished(), 1..5),
    ) {
        let (shelves, ids) = workshop(&lots, &jobs);
        let stock = &shelves.stock;
        let turn = in_order_of_need(stock, &ids).unwrap();
        let dealt = Deal::lay(stock, &turn).unwrap().deal();
        prop_assert_eq!(&dealt, &asked_of_the_law(stock, &ids));
        // What is posted is what was dealt.
        let outcome = reserve(stock, head(DocKind::Reserve, stock), &ids).unwrap();
        let told: usize = outcome.lines.iter().map(|line| line.reserved.len()).sum();
        prop_assert_eq!(told, dealt.len());
        let claims = outcome.posting.map(|posting| posting.claims).unwrap_or_default();
        prop_assert_eq!(claims.len(), dealt.len());
        for (claim, share) in claims.iter().zip(&dealt) {
            prop_assert_eq!((claim.line, claim.source, claim.qty), (share.line, Source::Lot(share.lot), share.qty));
        }
    }
}

/// A lot given up because it dies before its own line's day serves a line of an earlier day in the same reserving.
#[test]
fn what_one_gives_up_another_may_have() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("TUBE", Unit::Each, "1", "");
    let tube = shelves.lot(part, "TUBE 1 exp 2026-12-05");
    let late = shelves.job("late", "Brack", "2026-12-04", 5);
    let wanted_late = shelves.line(late, part, "1");
    let outcome = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), &[late]).unwrap();
    shelves.carry(&outcome.posting.unwrap());
    assert_eq!(shelves.reserved(wanted_late), "TUBE 1");
    // Its day moves behind the tube's last day; another job needs one before.
    shelves.stock.jobs.get_mut(&late).unwrap().use_day = super::shelves::day("2026-12-09");
    let soon = shelves.job("soon", "Tow", "2026-12-05", 5);
    let wanted_soon = shelves.line(soon, part, "1");
    let outcome = reserve(
        &shelves.stock,
        head(DocKind::Reserve, &shelves.stock),
        &[soon, late],
    )
    .unwrap();
    shelves.carry(&outcome.posting.unwrap());
    assert_eq!(shelves.reserved(wanted_soon), "TUBE 1");
    assert_eq!(shelves.reserved(wanted_late), "");
    assert_eq!(outcome.lines[1].short, Qty::whole(1));
    let _ = tube;
}
