//! How wide the columns of a table are, and how the words of a cell break.

use crate::scene::{width_mm, wrapped};

/// A column is no wider than this for the sake of long words in one line, mm.
const WIDEST_MM: f64 = 160.0;

/// Widths that share out so much: each column gets its longest word, and the rest by what its cells would like.
pub(super) fn widths_mm(heads: &[&'static str], rows: &[&[String]], size_mm: f64, whole_mm: f64) -> Vec<f64> {
    let column = |number: usize| {
        let cells = rows.iter().filter_map(move |row| row.get(number)).map(String::as_str);
        std::iter::once(heads[number]).chain(cells)
    };
    let widest = |words: &str| width_mm(words, size_mm);
    let longest_word = |words: &str| pieces(words).map(widest).fold(0.0, f64::max);
    let least: Vec<f64> = (0..heads.len()).map(|n| column(n).map(longest_word).fold(4.0, f64::max)).collect();
    let liked: Vec<f64> = (0..heads.len())
        .map(|n| column(n).map(widest).fold(0.0, f64::max).clamp(least[n], WIDEST_MM.max(least[n])))
        .collect();
    let (least_sum, liked_sum): (f64, f64) = (least.iter().sum(), liked.iter().sum());
    if least_sum >= whole_mm {
        return least.iter().map(|width| width * whole_mm / least_sum).collect();
    }
    let share = ((whole_mm - least_sum) / (liked_sum - least_sum).max(1e-9)).min(1.0);
    least.iter().zip(&liked).map(|(least, liked)| least + (liked - least) * share).collect()
}

/// The pieces between which a line may break: words, and what hyphens part.
fn pieces(words: &str) -> impl Iterator<Item = &str> {
    words.split_whitespace().flat_map(|word| word.split_inclusive('-'))
}

/// Words in lines no wider than asked: broken between words, else after a hyphen, else anywhere.
pub(in crate::sheet) fn cell_lines(words: &str, size_mm: f64, widest_mm: f64) -> Vec<String> {
    wrapped(words, size_mm, widest_mm).into_iter().flat_map(|line| broken(line, size_mm, widest_mm)).collect()
}

/// A line that is one word too wide, in pieces.
fn broken(line: String, size_mm: f64, widest_mm: f64) -> Vec<String> {
    if width_mm(&line, size_mm) <= widest_mm {
        return vec![line];
    }
    let mut lines = vec![String::new()];
    for piece in line.split_inclusive('-') {
        let last = lines.last_mut().expect("there is always a line");
        if last.is_empty() || width_mm(last, size_mm) + width_mm(piece, size_mm) <= widest_mm {
            last.push_str(piece);
        } else {
            lines.push(piece.to_owned());
        }
    }
    lines.into_iter().flat_map(|line| cut(&line, size_mm, widest_mm)).collect()
}

fn cut(line: &str, size_mm: f64, widest_mm: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut wide = 0.0;
    for letter in line.chars() {
        let letter_wide = width_mm(letter.encode_utf8(&mut [0; 4]), size_mm);
        if wide + letter_wide > widest_mm && wide > 0.0 {
            lines.push(String::new());
            wide = 0.0;
        }
        lines.last_mut().expect("there is always a line").push(letter);
        wide += letter_wide;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_its_column() {
        for words in ["storage-too-small-for-cylinder", "a b c", "withoutanyplacetobreakatallinthewholeofit", ""] {
            for line in cell_lines(words, 2.7, 14.0) {
                assert!(width_mm(&line, 2.7) <= 14.0, "{line}");
            }
        }
        assert_eq!(cell_lines("vent-too-low", 2.7, 12.0).concat(), "vent-too-low");
    }

    #[test]
    fn columns_fill_the_page_and_no_more() {
        let row = ["1".to_owned(), "a long row of words that has to be broken into several lines ".repeat(4)];
        let widths = widths_mm(&["no", "what"], &[&row], 2.7, 60.0);
        assert!((widths.iter().sum::<f64>() - 60.0).abs() < 1e-9, "{widths:?}");
        assert!(widths[0] < 8.0);
    }
}
