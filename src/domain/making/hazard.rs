//! What goods may do to who handles them: the hazard statements of the Globally Harmonised System, as far as a workshop
//! stores them, and what of it a carrier asks for.

use crate::domain::refusal::Refusal;

/// One hazard statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hazard {
    /// Its code.
    pub code: &'static str,
    /// Its signal word.
    pub signal: &'static str,
    /// What it says.
    pub says: &'static str,
    /// The category of a flammable liquid; none of what is no flammable liquid.
    pub flammable: Option<u8>,
}

/// The statements that are known here (Regulation (EC) No 1272/2008, annexes I and III; the wordings from memory).
#[rustfmt::skip]
pub const HAZARDS: &[Hazard] = &[
    Hazard { code: "H224", signal: "Danger", says: "extremely flammable liquid and vapour", flammable: Some(1) },
    Hazard { code: "H225", signal: "Danger", says: "highly flammable liquid and vapour", flammable: Some(2) },
    Hazard { code: "H226", signal: "Warning", says: "flammable liquid and vapour", flammable: Some(3) },
    Hazard { code: "H315", signal: "Warning", says: "causes skin irritation", flammable: None },
    Hazard { code: "H317", signal: "Warning", says: "may cause an allergic skin reaction", flammable: None },
    Hazard { code: "H319", signal: "Warning", says: "causes serious eye irritation", flammable: None },
    Hazard { code: "H334", signal: "Danger", says: "may cause breathing difficulties if inhaled", flammable: None },
    Hazard { code: "H350", signal: "Danger", says: "may cause cancer", flammable: None },
];

/// The statement of a code; refused where nobody knows it here, since nothing may be left off a pack.
pub fn hazard(code: &str) -> Result<Hazard, Refusal> {
    let known = HAZARDS.iter().find(|hazard| hazard.code == code).copied();
    known.ok_or_else(|| Refusal::Impossible {
        what: code.to_owned(),
        because: "it is no hazard statement known here, so its words cannot be written".to_owned(),
    })
}

impl Hazard {
    /// What is written on the pack.
    pub fn words(&self) -> String {
        format!("{} {}: {}", self.code, self.signal, self.says)
    }
}
