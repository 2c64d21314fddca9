//! A few linear equations at once.

/// The numbers for which each row of a square matrix, times them, gives what is asked; `None` where there are none, or
/// more than one set.
///
/// Gauss, with the largest pivot of each column.
#[must_use]
pub fn linear_solution(mut rows: Vec<Vec<f64>>, mut asked: Vec<f64>) -> Option<Vec<f64>> {
    let count = asked.len();
    for column in 0..count {
        let size = |row: &usize| rows[*row][column].abs();
        let pivot = (column..count).max_by(|a, b| size(a).total_cmp(&size(b)))?;
        rows.swap(column, pivot);
        asked.swap(column, pivot);
        if !(rows[column][column].abs() > 0.0 && rows[column][column].is_finite()) {
            return None;
        }
        for row in column + 1..count {
            let share = rows[row][column] / rows[column][column];
            let (above, below) = rows.split_at_mut(row);
            for (number, pivot) in below[0].iter_mut().zip(&above[column]).skip(column) {
                *number -= share * pivot;
            }
            asked[row] -= share * asked[column];
        }
    }
    let mut found = vec![0.0; count];
    for row in (0..count).rev() {
        let known: f64 = (row + 1..count).map(|column| rows[row][column] * found[column]).sum();
        found[row] = (asked[row] - known) / rows[row][row];
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_found_gives_what_is_asked() {
        let rows = vec![vec![0.0, 2.0, 1.0], vec![1.0, -1.0, 0.0], vec![3.0, 0.0, 4.0]];
        let found = linear_solution(rows.clone(), vec![7.0, -1.0, 15.0]).expect("one answer");
        for (row, asked) in rows.iter().zip([7.0, -1.0, 15.0]) {
            let have: f64 = row.iter().zip(&found).map(|(a, b)| a * b).sum();
            assert!((have - asked).abs() < 1e-12, "{have}, asked {asked}");
        }
        assert_eq!(linear_solution(vec![vec![1.0, 2.0], vec![2.0, 4.0]], vec![1.0, 1.0]), None);
        assert_eq!(linear_solution(Vec::new(), Vec::new()), Some(Vec::new()));
    }
}
