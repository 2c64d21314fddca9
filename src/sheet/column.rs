//! Plain text held to the width of a terminal or a sheet, with no sign in it that could steer one.

/// Text is wrapped at this column.
const WIDTH: usize = 100;

/// A paragraph on lines of at most `WIDTH` columns: the first begins with `lead`, the others stand below its end.
#[must_use]
pub fn paragraph(lead: &str, text: &str) -> String {
    let indent = lead.chars().count();
    let mut paragraph = lead.to_owned();
    let mut column = indent;
    for word in text.split_whitespace() {
        let word = harmless(word);
        let length = word.chars().count();
        if column > indent {
            if column + 1 + length > WIDTH {
                paragraph.push('\n');
                paragraph.extend(std::iter::repeat_n(' ', indent));
                column = indent;
            } else {
                paragraph.push(' ');
                column += 1;
            }
        }
        paragraph.push_str(&word);
        column += length;
    }
    paragraph.truncate(paragraph.trim_end().len());
    paragraph.push('\n');
    paragraph
}

/// Text from a file without the signs by which a terminal could be steered.
#[must_use]
pub fn harmless(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paragraph_keeps_to_its_width_and_indent() {
        let text = paragraph("  Remedy: ", &"raise the cistern ".repeat(20));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("          r")
            || line.starts_with("          t")
            || line.starts_with("          c")));
    }

    #[test]
    fn nothing_from_a_file_steers_the_terminal() {
        assert_eq!(paragraph("", "a\u{1b}[2Jb\nc"), "a\u{fffd}[2Jb c\n");
    }
}
