//! Near misses: which of the known words somebody probably meant.

/// Words longer than this are not compared: a person did not mistype them, a program wrote them.
const LONGEST: usize = 40;

/// The known word nearest to `word`, letter case aside, if a third of its letters or fewer are wrong.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let known = known.into_iter();
    let close = known.filter_map(|other| distance(word, other).map(|slips| (slips, other)));
    close.min_by_key(|(slips, _)| *slips).map(|(_, other)| other)
}

/// How many letters are wrong between two words, letter case aside; none if they are more than a third.
pub fn distance(word: &str, other: &str) -> Option<usize> {
    let word: Vec<char> = word
        .chars()
        .take(LONGEST + 1)
        .flat_map(char::to_lowercase)
        .collect();
    if word.is_empty() || word.len() > LONGEST {
        return None;
    }
    let other: Vec<char> = other.to_lowercase().chars().collect();
    let (slips, longer) = (slips(&word, &other), other.len().max(word.len()));
    (slips <= (longer / 3).max(1) && slips < longer).then_some(slips)
}

/// How many letters were dropped, added, mistaken or swapped with their neighbour between two words.
fn slips(word: &[char], other: &[char]) -> usize {
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for (row, letter) in word.iter().enumerate() {
        let mut now = vec![row + 1];
        for (column, wanted) in other.iter().enumerate() {
            let at = |line: &[usize], index: usize| line.get(index).copied().unwrap_or(usize::MAX - 1);
            let mistaken = at(&last, column) + usize::from(letter != wanted);
            let mut least = mistaken.min(at(&last, column + 1) + 1).min(at(&now, column) + 1);
            let swapped = row > 0
                && column > 0
                && word.get(row - 1) == Some(wanted)
                && other.get(column - 1) == Some(letter);
            if swapped {
                least = least.min(at(&before_last, column - 1) + 1);
            }
            now.push(least);
        }
        before_last = std::mem::replace(&mut last, now);
    }
    last.last().copied().unwrap_or(0)
}
