//! Non-negative least squares: Lawson and Hanson 1974, "Solving Least Squares Problems", chapter
//! 23, for the handful of salts of a recipe.

/// `x >= 0` that minimises `|A x - b|^2`. `columns[j]` is column j of A, all as long as `b`.
///
/// Shapes: any number of columns of `b.len()` values each; what is missing counts as 0.
#[must_use]
pub fn nnls(columns: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let n = columns.len();
    let mut x = vec![0.0; n];
    let mut passive = vec![false; n];
    let scale = dot(b, b).sqrt().max(1e-300);
    // Each column can enter and leave a few times; far more means rounding has it cycle.
    for _ in 0..3 * n + 10 {
        let rest = residual(columns, b, &x);
        let entering = (0..n)
            .filter(|j| !passive[*j])
            .map(|j| (j, dot(&columns[j], &rest)))
            .filter(|(j, w)| *w > 1e-12 * scale * dot(&columns[*j], &columns[*j]).sqrt())
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((j, _)) = entering else { break };
        passive[j] = true;
        // Every pass takes at least one out again.
        for _ in 0..=n {
            let set: Vec<usize> = (0..n).filter(|j| passive[*j]).collect();
            let Some(z) = least_squares(columns, b, &set) else {
                // Linearly dependent on those already in: leave the newcomer out.
                passive[j] = false;
                return x;
            };
            if z.iter().all(|v| *v > 0.0) {
                x = vec![0.0; n];
                for (k, j) in set.iter().enumerate() {
                    x[*j] = z[k];
                }
                break;
            }
            let mut step = 1.0f64;
            for (k, j) in set.iter().enumerate() {
                if z[k] <= 0.0 {
                    let share = x[*j] / (x[*j] - z[k]);
                    step = step.min(if share.is_finite() { share } else { 0.0 });
                }
            }
            for (k, j) in set.iter().enumerate() {
                x[*j] += step * (z[k] - x[*j]);
                if x[*j] <= 1e-12 * z.iter().fold(0.0, |m: f64, v| m.max(v.abs())) {
                    x[*j] = 0.0;
                    passive[*j] = false;
                }
            }
            if !passive.iter().any(|p| *p) {
                break;
            }
        }
    }
    x
}

/// `b - A x`.
#[must_use]
pub fn residual(columns: &[Vec<f64>], b: &[f64], x: &[f64]) -> Vec<f64> {
    let mut rest = b.to_vec();
    for (column, x) in columns.iter().zip(x) {
        for (r, a) in rest.iter_mut().zip(column) {
            *r -= a * x;
        }
    }
    rest
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Unconstrained least squares on the columns of `set` by Gram-Schmidt; `None` when they are
/// linearly dependent.
fn least_squares(columns: &[Vec<f64>], b: &[f64], set: &[usize]) -> Option<Vec<f64>> {
    let m = set.len();
    let mut q: Vec<Vec<f64>> = Vec::with_capacity(m);
    let mut r = vec![vec![0.0; m]; m];
    for (k, j) in set.iter().enumerate() {
        let mut v = columns[*j].clone();
        let length = dot(&v, &v).sqrt();
        // Twice is enough for orthogonality to rounding.
        for _ in 0..2 {
            for (i, qi) in q.iter().enumerate() {
                let part = dot(qi, &v);
                r[i][k] += part;
                for (v, q) in v.iter_mut().zip(qi) {
                    *v -= part * q;
                }
            }
        }
        let left = dot(&v, &v).sqrt();
        if left.is_nan() || left <= 1e-9 * length {
            return None;
        }
        r[k][k] = left;
        q.push(v.into_iter().map(|v| v / left).collect());
    }
    let mut x: Vec<f64> = q.iter().map(|q| dot(q, b)).collect();
    for k in (0..m).rev() {
        for i in k + 1..m {
            x[k] -= r[k][i] * x[i];
        }
        x[k] /= r[k][k];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_worked_example() {
        // A = [[1, 1], [1, 0]], b = (1, 2): unconstrained x = (2, -1); with x >= 0 the second is 0
        // and the first the mean of 1 and 2 (by hand).
        let x = nnls(&[vec![1.0, 1.0], vec![1.0, 0.0]], &[1.0, 2.0]);
        assert!((x[0] - 1.5).abs() < 1e-12 && x[1] == 0.0);
    }

    proptest! {
        /// The Karush-Kuhn-Tucker conditions: x >= 0, gradient <= 0, and one of them 0.
        #[test]
        fn meets_the_conditions_of_the_minimum(
            a in prop::collection::vec(prop::collection::vec(-3.0..3.0f64, 4), 1..6),
            b in prop::collection::vec(-3.0..3.0f64, 4),
        ) {
            let x = nnls(&a, &b);
            let rest = residual(&a, &b, &x);
            // More columns than rows may be dependent; then the fit itself has to be exact enough.
            for (column, x) in a.iter().zip(&x) {
                let w = dot(column, &rest);
                prop_assert!(*x >= 0.0);
                prop_assert!(w <= 1e-6, "gradient {w}");
                prop_assert!(*x == 0.0 || w.abs() < 1e-6);
            }
        }
    }
}
