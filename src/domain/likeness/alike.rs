//! Parts that look alike: of one class and one leading word, and at most one size apart.

use crate::domain::likeness::size::{Size, Sized};

/// How two parts that look alike are told apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Difference {
    /// By no size on record.
    Nothing,
    /// By one size: of the first, and of the second.
    One(Size, Size),
    /// They bear the same figure in their names and it counts something else: of the first, and of the second.
    Convention(Size, Size),
}

impl Difference {
    /// In words, the first part's figure first: `thickness 2 mm against 2.5 mm`.
    pub fn told(&self) -> String {
        match self {
            Difference::Nothing => "no size on record tells them apart".to_owned(),
            Difference::One(one, other) => format!("{one} against {}", other.figure()),
            Difference::Convention(one, other) => {
                format!("the same number counts something else: {one} against {other}")
            }
        }
    }
}

/// How two parts that look alike differ; nothing where nobody would take one for the other, or they are the same.
pub fn difference(one: &Sized, other: &Sized) -> Option<Difference> {
    let same_sort = one.part.class == other.part.class
        && leading_word(&one.part.name) == leading_word(&other.part.name)
        && one.part.id != other.part.id;
    if !same_sort || one.sizes.is_empty() || other.sizes.is_empty() {
        return None;
    }
    let pairs: Vec<(&Size, &Size)> = one
        .sizes
        .iter()
        .filter_map(|size| other.size(&size.name).map(|of_other| (size, of_other)))
        .collect();
    if pairs.is_empty() {
        let (size, of_other) = (one.sizes.first()?, other.sizes.first()?);
        let number = last_number(&one.part.name)?;
        let same = last_number(&other.part.name) == Some(number);
        return same.then(|| Difference::Convention(size.clone(), of_other.clone()));
    }
    if pairs.len() != one.sizes.len() || pairs.len() != other.sizes.len() {
        return None;
    }
    let mut apart = pairs.into_iter().filter(|(size, of_other)| size != of_other);
    match (apart.next(), apart.next()) {
        (None, _) => Some(Difference::Nothing),
        (Some((size, of_other)), None) => Some(Difference::One(size.clone(), of_other.clone())),
        _ => None,
    }
}

/// The sizes of what was asked for beside those of what is there: `thickness asked 2 mm, this is 2.5 mm; bore 100 mm`.
pub fn side_by_side(asked: &Sized, this: &Sized) -> String {
    let mut told: Vec<String> = Vec::new();
    for size in &asked.sizes {
        told.push(match this.size(&size.name) {
            Some(other) if other == size => format!("{size} both"),
            Some(other) => format!(
                "{} asked {}, this is {}",
                size.name,
                size.figure(),
                other.figure()
            ),
            None => format!("asked {size}, this has none on record"),
        });
    }
    let others = this.sizes.iter().filter(|size| asked.size(&size.name).is_none());
    told.extend(others.map(|size| format!("this is {size}")));
    // What differs comes first, so that nobody has to look for it.
    told.sort_by_key(|text| text.ends_with(" both"));
    told.join("; ")
}

/// The noun of a name that is written noun first.
pub fn leading_word(name: &str) -> &str {
    name.split([',', ' ']).next().unwrap_or_default()
}

/// The last number in a name.
fn last_number(name: &str) -> Option<&str> {
    name.rsplit(|mark: char| !(mark.is_ascii_digit() || mark == '.'))
        .find(|run| run.bytes().any(|byte| byte.is_ascii_digit()))
}
