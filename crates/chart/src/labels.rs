//! Placing labels so that none covers another.

/// Moves label middles apart so that neighbours are at least `gap` apart and all stay within
/// `low..=high`, with the smallest sum of squared shifts. The order of the labels is kept.
///
/// `wanted` are the middles in any order; the result has the same order. When the labels
/// cannot all fit, they are spread evenly over the stretch.
#[must_use]
pub fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let n = wanted.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let gap = if n > 1 {
        gap.min((high - low).max(0.0) / (n as f64 - 1.0))
    } else {
        gap
    };
    // Subtracting the running gap turns "apart by gap" into "not decreasing", which pooling
    // of adjacent violators solves exactly.
    let mut blocks: Vec<(f64, f64)> = Vec::with_capacity(n);
    for (rank, index) in order.iter().enumerate() {
        let value = if wanted[*index].is_finite() {
            wanted[*index]
        } else {
            low
        };
        blocks.push((value - rank as f64 * gap, 1.0));
        while let [.., (a, wa), (b, wb)] = blocks[..] {
            if a <= b {
                break;
            }
            blocks.truncate(blocks.len() - 2);
            blocks.push(((a * wa + b * wb) / (wa + wb), wa + wb));
        }
    }
    let top = high - (n.max(1) as f64 - 1.0) * gap;
    let mut placed = vec![0.0; n];
    let mut rank = 0;
    for (value, weight) in blocks {
        for _ in 0..weight as usize {
            placed[order[rank]] = value.max(low).min(top.max(low)) + rank as f64 * gap;
            rank += 1;
        }
    }
    placed
}

/// A label in a row above a plot that hangs from a vertical line running down to the plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hanging {
    /// Where its line runs.
    pub line: f64,
    /// Left edge of the words.
    pub left: f64,
    /// Right edge of the words.
    pub right: f64,
}

/// Puts hanging labels into rows, row 0 at the top, so that no words touch within `gap` and no
/// line runs through the words of another label. `None` when `rows` rows are too few.
#[must_use]
pub fn hang(labels: &[Hanging], gap: f64, rows: usize) -> Option<Vec<usize>> {
    let mut order: Vec<usize> = (0..labels.len()).collect();
    order.sort_by(|a, b| labels[*a].line.total_cmp(&labels[*b].line));
    let crosses = |line: f64, words: &Hanging| line > words.left - 2.0 && line < words.right + 2.0;
    let mut placed: Vec<(usize, usize)> = Vec::with_capacity(labels.len());
    for index in order {
        let mine = labels[index];
        let free = |row: &usize| {
            placed.iter().all(|(other, at)| {
                let other = labels[*other];
                match at.cmp(row) {
                    std::cmp::Ordering::Equal => {
                        other.right + gap <= mine.left || mine.right + gap <= other.left
                    }
                    std::cmp::Ordering::Less => !crosses(other.line, &mine),
                    std::cmp::Ordering::Greater => !crosses(mine.line, &other),
                }
            })
        };
        let row = (0..rows).find(free)?;
        placed.push((index, row));
    }
    placed.sort_unstable();
    Some(placed.into_iter().map(|(_, row)| row).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_that_do_not_touch_stay() {
        assert_eq!(
            spread(&[10.0, 40.0, 90.0], 12.0, 0.0, 100.0),
            [10.0, 40.0, 90.0]
        );
    }

    #[test]
    fn labels_that_touch_part_evenly() {
        assert_eq!(spread(&[50.0, 50.0], 12.0, 0.0, 100.0), [44.0, 56.0]);
        assert_eq!(
            spread(&[2.0, 0.0], 10.0, 0.0, 100.0),
            [11.0f64.min(10.0), 0.0]
        );
    }

    #[test]
    fn too_many_labels_share_the_room() {
        assert_eq!(spread(&[5.0, 5.0, 5.0], 30.0, 0.0, 20.0), [0.0, 10.0, 20.0]);
        assert!(spread(&[], 10.0, 0.0, 1.0).is_empty());
    }

    #[test]
    fn hanging_labels_touch_neither_words_nor_lines() {
        let label = |line: f64, w: f64| Hanging {
            line,
            left: line + 4.0,
            right: line + w,
        };
        let near = [label(0.0, 50.0), label(30.0, 50.0), label(60.0, 50.0)];
        // The third would fit beside the first in row 0, but its line would cut the second.
        assert_eq!(hang(&near, 4.0, 3), Some(vec![0, 1, 2]));
        assert_eq!(hang(&near, 4.0, 2), None);
        assert_eq!(
            hang(&[label(0.0, 20.0), label(40.0, 20.0)], 4.0, 1),
            Some(vec![0, 0])
        );
        assert_eq!(hang(&[], 4.0, 1), Some(Vec::new()));
    }
}
