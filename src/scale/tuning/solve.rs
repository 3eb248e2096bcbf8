//! A few linear equations, solved by elimination with the largest pivot of each column.

/// Solves `a x = b`, `a` square by rows; `None` when the equations do not settle x.
pub(super) fn solve(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Option<Vec<f64>> {
    let n = b.len();
    let largest = a.iter().flatten().fold(0.0_f64, |most, value| most.max(value.abs()));
    for column in 0..n {
        let pivot =
            (column..n).max_by(|&i, &j| a[i][column].abs().total_cmp(&a[j][column].abs()))?;
        if a[pivot][column].abs() <= 1e-13 * largest {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        let (upper, lower) = a.split_at_mut(column + 1);
        let row = &upper[column];
        for (i, other) in lower.iter_mut().enumerate() {
            let factor = other[column] / row[column];
            if factor == 0.0 {
                continue;
            }
            for (value, above) in other[column..].iter_mut().zip(&row[column..]) {
                *value -= factor * above;
            }
            b[column + 1 + i] -= factor * b[column];
        }
    }
    for column in (0..n).rev() {
        let known: f64 = (column + 1..n).map(|i| a[column][i] * b[i]).sum();
        b[column] = (b[column] - known) / a[column][column];
    }
    b.iter().all(|value| value.is_finite()).then_some(b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// 2x + y = 5, x - 3y = -1: x = 2, y = 1; a pivot of zero is stepped over.
    #[test]
    fn agrees_with_the_pencil() {
        let x = solve(vec![vec![2.0, 1.0], vec![1.0, -3.0]], vec![5.0, -1.0]).expect("settled");
        assert_abs_diff_eq!(x[0], 2.0, epsilon = 1e-14);
        assert_abs_diff_eq!(x[1], 1.0, epsilon = 1e-14);
        let x = solve(vec![vec![0.0, 2.0], vec![4.0, 0.0]], vec![6.0, 8.0]).expect("settled");
        assert_eq!(x, [2.0, 3.0]);
    }

    #[test]
    fn what_does_not_settle_is_refused() {
        assert_eq!(solve(vec![vec![1.0, 2.0], vec![2.0, 4.0]], vec![1.0, 2.0]), None);
        assert_eq!(solve(vec![vec![0.0]], vec![0.0]), None);
    }
}
