//! Looking for things by what people call them: words in any order, sizes, codes with the usual slips of eye and hand.

use rust_decimal::Decimal;

/// Numbers as they are said at a counter, from one on.
const SAID: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
];

/// A piece of a text: a number by its value, or letters in small ones.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Piece {
    Number(Decimal),
    Letters(String),
}

/// What somebody looks for, piece by piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted(Vec<Piece>);

impl Wanted {
    /// The pieces of some words; a number said in letters counts as a number, a "mil" is a millimetre.
    pub fn of(words: &[String]) -> Wanted {
        Wanted(pieces(&words.join(" ")).into_iter().map(as_said).collect())
    }

    /// Whether nothing is looked for.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether every piece stands somewhere in the text: a number by its value, so that 2 is 2.0 and never 2.5; letters
    /// within a word, alone where there are fewer than three.
    pub fn fits(&self, text: &str) -> bool {
        let text = pieces(text);
        let stands = |wanted: &Piece| text.iter().any(|piece| wanted.stands_in(piece));
        !self.is_empty() && self.0.iter().all(stands)
    }
}

impl Piece {
    fn stands_in(&self, other: &Piece) -> bool {
        match (self, other) {
            (Piece::Number(wanted), Piece::Number(found)) => wanted == found,
            (Piece::Letters(wanted), Piece::Letters(found)) if wanted.chars().count() < 3 => wanted == found,
            (Piece::Letters(wanted), Piece::Letters(found)) => found.contains(wanted.as_str()),
            _ => false,
        }
    }
}

/// A piece as it was meant by somebody who says it.
fn as_said(piece: Piece) -> Piece {
    let Piece::Letters(word) = piece else { return piece };
    if let Some((number, _)) = (1..).zip(SAID).find(|(_, said)| *said == word) {
        return Piece::Number(Decimal::from(number));
    }
    if word == "mil" || word == "mils" {
        return Piece::Letters("mm".to_owned());
    }
    let one = word.strip_suffix('s').filter(|one| one.chars().count() > 2);
    Piece::Letters(one.map_or(word.clone(), str::to_owned))
}

/// Runs of digits with a decimal point in them, and runs of letters; everything else only parts them.
fn pieces(text: &str) -> Vec<Piece> {
    let letters: Vec<char> = text.to_lowercase().chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(first) = letters.get(at) {
        let number = first.is_ascii_digit();
        let belongs = |at: usize| {
            let letter = letters.get(at).copied().unwrap_or(' ');
            let next = letters.get(at + 1).is_some_and(char::is_ascii_digit);
            match number {
                true => letter.is_ascii_digit() || (letter == '.' && next),
                false => letter.is_alphabetic(),
            }
        };
        let end = (at..=letters.len()).find(|end| !belongs(*end)).unwrap_or(at);
        let run: String = letters.iter().skip(at).take(end - at).collect();
        if number {
            // A run too long for a number, or with two points in it, is looked for as it is written.
            found.push(
                run.parse()
                    .map_or(Piece::Letters(run), |n: Decimal| Piece::Number(n)),
            );
        } else if !run.is_empty() {
            found.push(Piece::Letters(run));
        }
        at = end.max(at + 1);
    }
    found
}

/// A code as a hurried eye reads it: case, dashes and spaces dropped, O taken for 0, I and L for 1.
pub fn folded(code: &str) -> String {
    let eye = |letter: char| match letter.to_ascii_uppercase() {
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    };
    code.chars().filter(|c| c.is_alphanumeric()).map(eye).collect()
}
