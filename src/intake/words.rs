//! The words that stand for a kind of something in the files, one type for each heading.

use std::fmt;

/// A type whose every value is one word of a file.
pub(super) trait Word: Copy + 'static {
    /// What sort of word it is, for a reason that says "is not a …".
    const SORT: &'static str;
    /// Every value, in the order in which a hint lists them.
    const ALL: &'static [Self];
    /// The word that stands in the file.
    fn spelled(self) -> &'static str;
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident, $sort:literal { $($(#[$value_doc:meta])* $value:ident = $word:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$value_doc])* $value),+ }

        impl $name {
            /// The word that stands in the file.
            pub fn word(self) -> &'static str {
                match self { $($name::$value => $word),+ }
            }
        }

        impl Word for $name {
            const SORT: &'static str = $sort;
            const ALL: &'static [$name] = &[$($name::$value),+];
            fn spelled(self) -> &'static str {
                self.word()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }
    )+};
}

words! {
    /// What a person may decide.
    Role, "role" {
        /// The stores clerk.
        Clerk = "clerk",
        /// The shop manager.
        Manager = "manager",
        /// The estimator.
        Estimator = "estimator",
        /// The inspector.
        Inspector = "inspector",
    }

    /// The condition of goods; a line of a job takes new ones unless it says otherwise.
    Condition, "condition" {
        /// Nobody has used it.
        New = "new",
        /// Taken off an engine.
        Used = "used",
        /// Brought back within the maker's limits, with its paper.
        Overhauled = "overhauled",
        /// Mended, with its paper.
        Repaired = "repaired",
    }

    /// The class of a part, which decides how it is treated.
    PartClass, "class of part" {
        /// Made to a drawing, comes with a release certificate.
        Component = "component",
        /// Made to a published standard.
        StandardPart = "standard part",
        /// Used up by length, volume or weight.
        Material = "material",
        /// Lent and brought back.
        Tool = "tool",
        /// Goes back to a supplier against a charge.
        Core = "core",
        /// A model of engine, which bills fit.
        EngineModel = "engine model",
        /// What is offered for an engine: a bill of its own.
        Conversion = "conversion",
        /// Lies on no shelf and stands for what its bill lists.
        Phantom = "phantom",
    }

    /// Who pays for the rest of an opened pack.
    PackPolicy, "pack policy" {
        /// The job pays for what it takes.
        Measure = "measure",
        /// The job pays for the whole pack.
        Whole = "whole",
    }

    /// What a line of a bill is about.
    BillLineKind, "kind of line" {
        /// Goes on the engine.
        Part = "part",
        /// Comes off the engine.
        TakeOff = "take-off",
        /// Hours of work.
        Labour = "labour",
        /// Something to be read.
        Note = "note",
    }

    /// What a line's quantity is multiplied by.
    Per, "thing to count by" {
        /// Once.
        Engine = "engine",
        /// Once for each cylinder of the model.
        Cylinder = "cylinder",
        /// Once for each carburettor of the model.
        Carburettor = "carburettor",
        /// Once for each joint of the model.
        Joint = "joint",
        /// Once for each assembly that the bill is of.
        Assembly = "assembly",
    }

    /// The unit of a size.
    SizeUnit, "unit of a size" {
        /// Millimetres.
        Millimetre = "mm",
        /// Cubic centimetres.
        CubicCentimetre = "cm3",
    }

    /// What a price is for.
    PriceBasis, "basis of a price" {
        /// What a supplier takes for it.
        Purchase = "purchase",
    }

    /// What a rate is for.
    RateKind, "kind of rate" {
        /// An hour of work.
        Labour = "labour",
        /// One unit of another currency, in the base currency.
        Exchange = "exchange",
    }
}
