//! The nearest known words to one that is not known.

/// How far two words are apart: insertions, deletions, exchanges and swaps of neighbours (the
/// restricted Damerau-Levenshtein distance; Damerau 1964, Communications of the ACM 7(3)).
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let cost = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (rows[i - 1][j] + 1)
                .min(row[j - 1] + 1)
                .min(rows[i - 1][j - 1] + cost);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            row.push(best);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

/// Words longer than this are not compared: nobody mistypes a paragraph.
const LONGEST: usize = 60;

/// Up to four of `known` that are at most two slips away from `word`, or begin with it, best first.
pub(super) fn nearest<S: AsRef<str>>(
    word: &str,
    known: impl IntoIterator<Item = S>,
) -> Vec<String> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    if length == 0 || length > LONGEST {
        return vec![];
    }
    // One slip in a word of two or three letters is already much.
    let allowed = if length <= 3 { 1 } else { 2 };
    let mut ranked: Vec<(usize, String)> = Vec::new();
    for candidate in known {
        let candidate = candidate.as_ref().to_string();
        let lower = candidate.to_lowercase();
        if candidate.is_empty() || ranked.iter().any(|(_, c)| *c == candidate) {
            continue;
        }
        let slips = match lower.chars().count() {
            n if n > LONGEST => usize::MAX,
            _ => distance(&word, &lower),
        };
        let begins = length >= 2 && lower.starts_with(&word);
        // The beginning of a word counts as one slip.
        let slips = if begins { slips.min(1) } else { slips };
        if slips <= allowed && slips < length {
            ranked.push((slips, candidate));
        }
    }
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    ranked.into_iter().take(4).map(|(_, c)| c).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swaps_of_neighbours_count_once() {
        // Worked by hand from the definition.
        assert_eq!(distance("raed", "read"), 1);
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("", "abc"), 3);
    }

    #[test]
    fn the_nearest_come_first_and_the_far_never() {
        let known = ["dose", "dosed", "note", "harvest"];
        assert_eq!(nearest("doze", known), ["dose", "dosed", "note"]);
        assert_eq!(nearest("harv", known), ["harvest"]);
        assert!(nearest("xyz", known).is_empty());
    }
}
