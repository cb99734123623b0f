//! Labels on paper: one page that needs nothing else, large letters, the status in words, every code beside its symbol.

use crate::domain::measure::scan::{Own, ScanFault};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::lot::{Lot, NEW};
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::standing::Lying;
use crate::domain::stores::verdict::{Verdict, verdict};
use crate::print::cell::Cell;
use crate::print::escape::escape;
use crate::print::paper::Paper;
use crate::print::symbol::{Symbol, Symbology};
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// A label: what it names, what is to be read from afar, and what stands in small under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// What its symbol bears.
    pub own: Own,
    /// Which symbol.
    pub symbology: Symbology,
    /// In the largest letters.
    pub head: String,
    /// What people call it.
    pub name: String,
    /// The status in capital words, and whether it may be used; none where there is no such thing.
    pub status: Option<(String, bool)>,
    /// What else stands on it: what it is and how it reads.
    pub facts: Vec<(&'static str, String)>,
}

/// What is to be told of a lot on its label.
pub struct LotOnLabel<'a> {
    /// The lot.
    pub lot: &'a Lot,
    /// Its part.
    pub part: &'a Part,
    /// What of it lies in the house.
    pub lying: &'a [Lying],
    /// Whose it is where it is not the house's.
    pub owner: Option<String>,
}

/// The label of a lot; that of an opened pack says when it was opened and what is left in it.
pub fn lot_label(told: &LotOnLabel<'_>, day: Day) -> Label {
    let (lot, part) = (told.lot, told.part);
    let mut facts = vec![("lot", lot.number.clone())];
    let last = lot
        .expiry
        .map_or("no last day".to_owned(), |last| last.to_string());
    facts.push(("good until", last));
    if let Some(opened) = lot.opened {
        let left: Qty = told.lying.iter().map(|line| line.qty).sum();
        facts.push(("opened on", opened.to_string()));
        facts.push(("remainder", format!("{} on {day}", measured(left, part.unit))));
    }
    facts.extend(lot.batch.iter().map(|batch| ("batch", batch.clone())));
    facts.extend(lot.serial.iter().map(|serial| ("serial", serial.clone())));
    facts.extend(lot.maker.iter().map(|maker| ("maker", maker.clone())));
    facts.extend(told.owner.iter().map(|owner| ("belongs to", owner.clone())));
    facts.extend((lot.condition != NEW).then(|| ("condition", lot.condition.clone())));
    Label {
        own: Own::Lot(lot.number.clone()),
        symbology: Symbology::DataMatrix,
        head: part.number.clone(),
        name: part.name.clone(),
        status: Some(status(told, day)),
        facts,
    }
}

/// How a lot stands on a day, in words that need no colour.
fn status(told: &LotOnLabel<'_>, day: Day) -> (String, bool) {
    match verdict(told.lot, told.lying, day) {
        Verdict::Usable => {
            let only = told.owner.as_ref().map(|owner| format!(" FOR {owner} ONLY"));
            (format!("USABLE{}", only.unwrap_or_default()), true)
        }
        Verdict::Dead(last) => (format!("DEAD since {last}: NOT TO BE USED"), false),
        Verdict::OnHold => ("ON HOLD: NOT TO BE USED".to_owned(), false),
        Verdict::Elsewhere(kind) => (format!("{}: NOT TO BE USED", kind.word().to_uppercase()), false),
        Verdict::Gone => ("NOT ON ANY SHELF".to_owned(), false),
    }
}

/// The label of a bin: its code, to be read from the end of the aisle.
pub fn bin_label(place: &Place) -> Label {
    let kind = place.id.kind().map(|kind| kind.word().to_uppercase());
    let status = kind
        .filter(|_| !place.id.pickable())
        .map(|kind| match place.held {
            0 => (kind, false),
            _ => (format!("{kind}, ON HOLD"), false),
        });
    let held = (place.held > 0).then(|| ("ON HOLD: NOT TO BE USED".to_owned(), false));
    Label {
        own: Own::Bin(place.code.clone()),
        symbology: Symbology::Code128,
        head: place.code.clone(),
        name: place.name.clone(),
        status: status.or(held),
        facts: Vec::new(),
    }
}

/// The label of a part, for the edge of a shelf; it says of no lot that it is good.
pub fn part_label(part: &Part) -> Label {
    let mut facts = vec![("kept in", part.unit.to_string())];
    facts.extend(
        part.hand_out
            .map(|qty| ("handed out in", measured(qty, part.unit))),
    );
    facts.extend(part.opened_life.map(|life| ("opened it lasts", life.to_string())));
    facts.push(("part", "the lot's own label says which lot".to_owned()));
    Label {
        own: Own::Part(part.number.clone()),
        symbology: Symbology::DataMatrix,
        head: part.number.clone(),
        name: part.name.clone(),
        status: None,
        facts,
    }
}

/// What is to be told of a job on the label of its box.
pub struct JobOnLabel {
    /// Its number.
    pub number: String,
    /// The colour of its box.
    pub tag: Option<String>,
    /// The engine's serial.
    pub engine: String,
    /// Whose engine.
    pub whose: String,
    /// The day of use.
    pub use_day: Day,
    /// Open, closed or given up.
    pub state: String,
}

/// The label of a job's box.
pub fn job_label(job: &JobOnLabel) -> Label {
    let head = job.tag.as_ref().unwrap_or(&job.number);
    Label {
        own: Own::Job(job.number.clone()),
        symbology: Symbology::DataMatrix,
        head: head.to_uppercase(),
        name: format!("engine {} of {}", job.engine, job.whose),
        status: (job.state != "open").then(|| (job.state.to_uppercase(), false)),
        facts: vec![
            ("job", job.number.clone()),
            ("day of use", job.use_day.to_string()),
        ],
    }
}

/// How the labels lie on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// Eight on a sheet of A4, two across, to be cut apart.
    Sheet,
    /// One on a page of 100 by 70 mm.
    Single,
}

/// The labels as a page for a browser to print; it fetches nothing and runs nothing.
pub fn page(labels: &[Label], layout: Layout, day: Day) -> Result<String, ScanFault> {
    let (paper, size) = match layout {
        Layout::Sheet => ("A4", "width:105mm;min-height:74mm"),
        Layout::Single => ("100mm 70mm", "width:100mm;min-height:70mm;break-after:page"),
    };
    let mut text = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n<title>labels of {day}</title>\n<style>\n\
         @page{{size:{paper};margin:0}}\nbody{{margin:0;font-family:sans-serif;color:#000;background:#fff}}\n\
         main{{display:flex;flex-wrap:wrap}}\narticle{{{size};box-sizing:border-box;padding:5mm;\
         break-inside:avoid;outline:.2mm dashed #999}}\n{STYLE}</style>\n</head>\n<body>\n<main>\n"
    );
    for label in labels {
        text.push_str(&article(label, day)?);
    }
    text.push_str("</main>\n</body>\n</html>\n");
    Ok(text)
}

/// What every label looks like; a status is told by its words and frame, the colour only helps.
const STYLE: &str = "h1{margin:0;font-size:26pt;line-height:1;overflow-wrap:anywhere}\n\
p{margin:1mm 0;font-size:11pt}\n.status{font-size:14pt;font-weight:bold;padding:1mm 2mm;border:.6mm solid #060;display:flow-root}\n\
.status.no{border:1.4mm solid #a00;color:#a00}\n.code{font-size:18pt;font-weight:bold;margin:0}\n\
.symbol{float:right;margin:0 0 2mm 3mm}\n.code_128 .symbol{float:none;display:block;margin:3mm 0 0}\n\
.code_128 h1{font-size:54pt}\ndl{margin:0;display:grid;grid-template-columns:auto 1fr;gap:0 3mm;font-size:11pt}\n\
dt{color:#333}\ndd{margin:0;font-weight:bold;overflow-wrap:anywhere}\n";

/// How wide the symbols are on paper: a module of a Data Matrix is then about a millimetre, of a bar half of one.
const fn wide_mm(symbology: Symbology) -> u32 {
    match symbology {
        Symbology::DataMatrix => 22,
        Symbology::Code128 => 85,
    }
}

fn article(label: &Label, day: Day) -> Result<String, ScanFault> {
    let symbol = Symbol::of(&label.own, label.symbology)?;
    let mut text = format!("<article class=\"{}\">\n", label.symbology.word());
    let picture = symbol.svg(wide_mm(label.symbology));
    let code = format!("<p class=\"code\">{}</p>\n", html(&label.own.text()));
    let beside = label.symbology == Symbology::DataMatrix;
    if beside {
        text.push_str(&format!("{picture}\n"));
    }
    text.push_str(&format!(
        "<h1>{}</h1>\n<p>{}</p>\n",
        html(&label.head),
        html(&label.name)
    ));
    if let Some((status, usable)) = &label.status {
        let class = if *usable { "status" } else { "status no" };
        text.push_str(&format!("<p class=\"{class}\">{}</p>\n", html(status)));
    }
    if !beside {
        text.push_str(&format!("{picture}\n"));
    }
    text.push_str(&code);
    text.push_str("<dl>\n");
    for (what, value) in label.facts.iter().filter(|(_, value)| *value != label.own.text()) {
        text.push_str(&format!("<dt>{what}</dt><dd>{}</dd>\n", html(value)));
    }
    text.push_str(&format!("<dt>printed</dt><dd>{day}</dd>\n</dl>\n</article>\n"));
    Ok(text)
}

/// Text from outside, harmless in a page.
fn html(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for mark in escape(text).chars() {
        match mark {
            '&' => shown.push_str("&amp;"),
            '<' => shown.push_str("&lt;"),
            '>' => shown.push_str("&gt;"),
            '"' => shown.push_str("&quot;"),
            '\'' => shown.push_str("&#39;"),
            other => shown.push(other),
        }
    }
    shown
}

/// What was printed, a line a label.
pub fn labels_printed(labels: &[Label], mut paper: Paper) -> Result<Paper, ScanFault> {
    let first = labels.first().map(|label| label.own.text()).unwrap_or_default();
    let more = match labels.len() {
        0 | 1 => String::new(),
        more => format!(" and {} more", more - 1),
    };
    paper.answer = format!("{}: {first}{more}", count(labels.len(), "label"));
    let headings = [
        ("code", "code"),
        ("symbol", "symbol"),
        ("data", "the symbol bears"),
        ("head", "in large"),
        ("status", "status"),
        ("facts", "and"),
    ];
    let mut table = Table::new("labels", &headings).spare(&["facts"]);
    for label in labels {
        let facts: Vec<String> = label
            .facts
            .iter()
            .map(|(what, value)| format!("{what} {value}"))
            .collect();
        table.row(vec![
            Cell::text(label.own.text()),
            Cell::text(label.symbology.word()),
            Cell::text(label.own.element()?),
            Cell::text(label.head.clone()),
            Cell::text(
                label
                    .status
                    .as_ref()
                    .map(|(status, _)| status.clone())
                    .unwrap_or_default(),
            ),
            Cell::text(facts.join("; ")),
        ]);
    }
    paper.tables.push(table);
    Ok(paper)
}
