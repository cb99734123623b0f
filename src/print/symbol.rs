//! The symbols of our own labels: Data Matrix and Code 128, both in the form of GS1, drawn as pictures in a page.

use crate::domain::measure::scan::{Own, ScanFault};
use barcoders::sym::code128::Code128;
use datamatrix::{DataMatrix, SymbolList};

/// Which symbol a label bears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Symbology {
    /// GS1 DataMatrix: small, read from any side; for what is held in the hand.
    DataMatrix,
    /// GS1-128: long and low; for the edge of a shelf.
    Code128,
}

impl Symbology {
    /// Its name as records bear it.
    pub fn word(self) -> &'static str {
        match self {
            Symbology::DataMatrix => "data_matrix",
            Symbology::Code128 => "code_128",
        }
    }

    /// How many modules stay white around it: at least one (ISO/IEC 16022), ten at the ends (ISO/IEC 15417).
    fn quiet(self) -> usize {
        match self {
            Symbology::DataMatrix => 2,
            Symbology::Code128 => 10,
        }
    }
}

/// A symbol: its rows of modules, dark where true, without the white around it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// Which it is.
    pub symbology: Symbology,
    /// Its rows from the top; Code 128 has one.
    pub rows: Vec<Vec<bool>>,
}

/// The library's signs for what no keyboard has: the start in set B, and FNC1.
const START_B_FNC1: &str = "\u{181}\u{179}";

impl Symbol {
    /// The symbol of a label of ours; a code that it cannot bear is refused.
    pub fn of(own: &Own, symbology: Symbology) -> Result<Symbol, ScanFault> {
        let element = own.element()?;
        let too_long = || ScanFault::NoSymbol {
            text: own.text(),
            because: "it is too long".to_owned(),
        };
        let rows = match symbology {
            Symbology::DataMatrix => {
                let encoded = DataMatrix::encode_gs1(element.as_bytes(), SymbolList::default());
                grid(&encoded.map_err(|_| too_long())?)
            }
            Symbology::Code128 => {
                let encoded = Code128::new(format!("{START_B_FNC1}{element}")).map_err(|_| too_long())?;
                vec![encoded.encode().iter().map(|module| *module == 1).collect()]
            }
        };
        Ok(Symbol { symbology, rows })
    }

    /// The picture: so wide on paper, its white with it; Code 128 is given a fifth of its width as height.
    pub fn svg(&self, wide_mm: u32) -> String {
        let quiet = self.symbology.quiet();
        let across = self.rows.iter().map(Vec::len).max().unwrap_or_default() + 2 * quiet;
        let (down, top, tall) = match self.symbology {
            Symbology::DataMatrix => (self.rows.len() + 2 * quiet, quiet, 1),
            Symbology::Code128 => (across / 5, 0, across / 5),
        };
        let bars: String = self
            .rows
            .iter()
            .enumerate()
            .flat_map(|(y, row)| runs(row).into_iter().map(move |(x, wide)| (x, y, wide)))
            .map(|(x, y, wide)| format!("M{} {}h{wide}v{tall}h-{wide}z", x + quiet, y + top))
            .collect();
        format!(
            "<svg class=\"symbol\" style=\"width:{wide_mm}mm\" viewBox=\"0 0 {across} {down}\" \
             shape-rendering=\"crispEdges\" aria-hidden=\"true\"><path fill=\"#fff\" d=\"M0 0h{across}v{down}H0z\"/>\
             <path fill=\"#000\" d=\"{bars}\"/></svg>"
        )
    }
}

/// The modules of a Data Matrix, row by row.
fn grid(code: &DataMatrix) -> Vec<Vec<bool>> {
    let bits = code.bitmap();
    let mut rows = vec![vec![false; bits.width()]; bits.height()];
    for (x, y) in bits.pixels() {
        if let Some(module) = rows.get_mut(y).and_then(|row| row.get_mut(x)) {
            *module = true;
        }
    }
    rows
}

/// The dark runs of a row: where each begins and how many modules it is wide.
fn runs(row: &[bool]) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for x in (0..row.len()).filter(|x| row.get(*x) == Some(&true)) {
        match found.last_mut() {
            Some((begin, wide)) if *begin + *wide == x => *wide += 1,
            _ => found.push((x, 1)),
        }
    }
    found
}
