//! Bin cards and the log, against figures worked out by hand from the histories they are written from.

use super::workshop::{PLATE, RAG, SEALANT, STUD, TURBO, Workshop, day, first, history, line};
use bincard::db::books::{Books, Open};
use bincard::db::error::Error;
use bincard::db::tracing::{Card, CardOf, Filter, card, documents};
use bincard::domain::measure::{Day, Qty};
use bincard::domain::stores::ids::{JobId, LotId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::late_cost::late_cost;

/// Works in a store of its own.
fn at_work(work: impl FnOnce(&mut Workshop<'_>)) {
    let folder = tempfile::tempdir().unwrap();
    let made: Result<(), Error> = Books::create(
        &folder.path().join("store.db"),
        || {},
        |open| {
            work(&mut Workshop::found(open, "actual"));
            Ok(())
        },
    );
    made.unwrap();
}

/// A card as a storekeeper reads it: what came in or went out, and what was left.
fn read(card: &Card) -> Vec<(String, String, String)> {
    let lines = card.lines.iter().map(|line| {
        let change = match (line.came_in, line.went_out) {
            (came, went) if went.is_zero() => format!("in {came}"),
            (came, went) if came.is_zero() => format!("out {went}"),
            both => format!("{both:?}"),
        };
        (line.kind.clone(), change, line.left.to_string())
    });
    lines.collect()
}

#[track_caller]
fn reads(
    open: &Open<'_>,
    of: CardOf,
    from: Option<&str>,
    forward: i64,
    wanted: &[(&str, &str, &str)],
) -> Card {
    let card = card(open, of, from.map(day)).unwrap();
    let found = read(&card);
    let found: Vec<(&str, &str, &str)> = found
        .iter()
        .map(|(kind, change, left)| (kind.as_str(), change.as_str(), left.as_str()))
        .collect();
    assert_eq!(found, wanted);
    assert_eq!(card.brought_forward, Qty::whole(forward));
    card
}

// Twenty of ours and six of the customer's come; two and one are picked, five go to the plater, one is scrapped:
// 20 + 6 − 2 − 1 − 5 − 1 = 17. What lay in receiving or in the kit is no line of the part's card.
#[test]
fn a_parts_card_counts_what_crosses_the_wall_of_the_shelves() {
    at_work(|shop| {
        history(shop);
        let all = [
            ("accept", "in 20", "20"),
            ("accept", "in 6", "26"),
            ("pick", "out 2", "24"),
            ("pick", "out 1", "23"),
            ("send out", "out 5", "18"),
            ("scrap", "out 1", "17"),
        ];
        let card = reads(shop.open, CardOf::Part(STUD), None, 0, &all);
        assert_eq!(card.unit.as_deref(), Some("each"));
        assert_eq!(card.left(), Qty::whole(17));
        let (first_line, sent) = (&card.lines[0], &card.lines[4]);
        assert_eq!(
            (first_line.from.as_str(), first_line.to.as_str()),
            ("receiving 1", "shelf 1")
        );
        assert_eq!(
            (sent.from.as_str(), sent.to.as_str(), sent.by.as_str()),
            ("shelf 1", "away 1", "HP")
        );
        // The lot alone.
        let his = LotId(2);
        reads(
            shop.open,
            CardOf::Lot(his),
            None,
            0,
            &[
                ("accept", "in 6", "6"),
                ("pick", "out 1", "5"),
                ("scrap", "out 1", "4"),
            ],
        );
        // Opening takes a tube off the shelf and puts what is in it back as another lot: 150 − 50 + 50.
        let card = reads(
            shop.open,
            CardOf::Part(SEALANT),
            None,
            0,
            &[
                ("accept", "in 150", "150"),
                ("open", "out 50", "100"),
                ("open", "in 50", "150"),
            ],
        );
        assert_eq!(card.unit.as_deref(), Some("ml"));
    });
}

// A kit's card: two studs and one of his come in, one goes onto the engine, then the turbo comes.
#[test]
fn a_places_card_counts_what_came_there() {
    at_work(|shop| {
        history(shop);
        let kit = CardOf::Place(first(Kind::Kit));
        let all = [
            ("pick", "in 2", "2"),
            ("pick", "in 1", "3"),
            ("issue", "out 1", "2"),
            ("pick", "in 1", "3"),
        ];
        let card = reads(shop.open, kit, None, 0, &all);
        assert_eq!(card.unit, None, "studs and a turbo make no sum");
        let engine = CardOf::Place(first(Kind::Engine));
        let card = reads(shop.open, engine, None, 0, &[("issue", "in 1", "1")]);
        assert_eq!(card.unit.as_deref(), Some("each"));
        // Nothing was ever there.
        let empty = reads(shop.open, CardOf::Place(PlaceId::of(Kind::Kit, 2)), None, 0, &[]);
        assert_eq!((empty.unit.clone(), empty.left()), (None, Qty::ZERO));
    });
}

fn moved(shop: &mut Workshop<'_>, on: &str, asked: Move) {
    shop.day = day(on);
    shop.go(asked);
}

// Ten come on the first day. On the second three move to the bench, which is within the wall, and four move from bin to
// bin on it; on the third two go to the kit. One line more is dated back to the second day: one from the bench.
#[test]
fn what_is_dated_before_is_brought_forward() {
    at_work(|shop| {
        let (shelf, bench, kit) = (first(Kind::Shelf), first(Kind::Bench), first(Kind::Kit));
        let n = Qty::whole;
        shop.day = day("2026-11-01");
        let lot = shop.shelved(STUD, 10, 50, NewLot::default());
        moved(
            shop,
            "2026-11-02",
            Move::new(Movement::Move, lot, shelf, bench, n(3)),
        );
        let other = PlaceId::of(Kind::Shelf, 2);
        moved(
            shop,
            "2026-11-02",
            Move::new(Movement::Move, lot, shelf, other, n(4)),
        );
        moved(
            shop,
            "2026-11-03",
            Move::new(Movement::Pick, lot, other, kit, n(2)).onto(line(STUD)),
        );
        moved(
            shop,
            "2026-11-02",
            Move::new(Movement::Pick, lot, bench, kit, n(1)).onto(line(STUD)),
        );
        let part = CardOf::Part(STUD);
        let all = [
            ("accept", "in 10", "10"),
            ("pick", "out 2", "8"),
            ("pick", "out 1", "7"),
        ];
        reads(shop.open, part, None, 0, &all);
        reads(shop.open, part, Some("2026-11-01"), 0, &all);
        // Of the second day: the two lines that follow, in the order in which they were written.
        reads(
            shop.open,
            part,
            Some("2026-11-02"),
            10,
            &[("pick", "out 2", "8"), ("pick", "out 1", "7")],
        );
        // Of the third day: what was dated back stands in what is brought forward, 10 − 1.
        reads(shop.open, part, Some("2026-11-03"), 9, &[("pick", "out 2", "7")]);
        let card = reads(shop.open, part, Some("2026-11-04"), 7, &[]);
        assert_eq!(card.left(), n(7));
        // The first shelf sees its own: ten come, three and four go.
        let all = [
            ("accept", "in 10", "10"),
            ("move", "out 3", "7"),
            ("move", "out 4", "3"),
        ];
        reads(shop.open, CardOf::Place(shelf), None, 0, &all);
        let bench_card = [("move", "in 3", "3"), ("pick", "out 1", "2")];
        reads(shop.open, CardOf::Place(bench), None, 0, &bench_card);
    });
}

#[test]
fn value_alone_is_no_line_of_a_card() {
    at_work(|shop| {
        let lot = shop.shelved(STUD, 4, 10, NewLot::default());
        let head = shop.head(bincard::domain::stores::document::DocKind::Movement(
            Movement::LateCost,
        ));
        let money = bincard::domain::measure::Money::whole(3);
        let stock = shop.stock();
        let places = (first(Kind::Supplier), first(Kind::Counted));
        let posting = late_cost(&stock, head, places.0, places.1, lot, money).unwrap();
        assert!(!posting.entries.is_empty());
        shop.post(&posting);
        reads(shop.open, CardOf::Lot(lot), None, 0, &[("accept", "in 4", "4")]);
        reads(
            shop.open,
            CardOf::Place(first(Kind::Shelf)),
            None,
            0,
            &[("accept", "in 4", "4")],
        );
    });
}

/// The documents' kinds that a filter lets through, oldest first.
fn kinds(open: &Open<'_>, filter: &Filter<'_>, most: i64) -> Vec<String> {
    let mut found = documents(open, filter, most).unwrap();
    found.reverse();
    found.into_iter().map(|document| document.kind).collect()
}

// By hand from the history: the turbo is booked in, accepted and picked; rags are booked in, accepted, made up into a
// plate and used; plates are booked in, put into the cage, sorted there and made of rags. A hold moves nothing.
#[test]
fn the_log_shows_what_is_asked_for() {
    at_work(|shop| {
        history(shop);
        let of = |part| Filter {
            part: Some(part),
            ..Filter::default()
        };
        assert_eq!(kinds(shop.open, &of(TURBO), 99), ["book in", "accept", "pick"]);
        assert_eq!(
            kinds(shop.open, &of(RAG), 99),
            ["book in", "accept", "make up", "use"]
        );
        assert_eq!(
            kinds(shop.open, &of(PLATE), 99),
            ["book in", "quarantine", "open", "make up"]
        );
        // Sealant: a peg and a claim are promises of it; its claim followed the tube that was opened.
        let sealant = ["book in", "accept", "reserve", "reserve", "open"];
        assert_eq!(kinds(shop.open, &of(SEALANT), 99), sealant);
        let of_job = Filter {
            job: Some(JobId(1)),
            ..Filter::default()
        };
        assert_eq!(
            kinds(shop.open, &of_job, 99),
            ["pick"],
            "the one pick that answered a list"
        );
        let one = Filter {
            op: Some("op 1"),
            ..Filter::default()
        };
        assert_eq!(kinds(shop.open, &one, 99), ["founding"]);
        let both = Filter {
            by: Some("HP"),
            ..of(TURBO)
        };
        assert_eq!(kinds(shop.open, &both, 2), ["accept", "pick"], "the newest two");
        let nobody = Filter {
            by: Some("XX"),
            ..Filter::default()
        };
        assert_eq!(kinds(shop.open, &nobody, 99), [""; 0]);
    });
}

#[test]
fn the_log_names_what_was_undone_by_what() {
    let counter = super::at_work();
    let books = Books::open(&counter.store(), bincard::db::sqlite::Purpose::Read, || {}).unwrap();
    let found = books.read(|open| documents(open, &Filter::default(), 2)).unwrap();
    let said: Vec<_> = found
        .iter()
        .map(|document| (document.number.as_str(), &document.undone_by, &document.undoes))
        .collect();
    let (undo, freed) = (Some("UND-000010".to_owned()), Some("FRE-000009".to_owned()));
    assert_eq!(
        said,
        [("UND-000010", &None, &freed), ("FRE-000009", &undo, &None)]
    );
    assert_eq!(found[0].day, Day::parse("2026-11-25").unwrap());
}
