//! A document as Markdown.

use super::{Block, Document, WORKING, WorkedRow};

/// Writes a document as Markdown. Words of the layout cannot become headings, links or tags.
#[must_use]
pub fn markdown(document: &Document) -> String {
    let mut text = format!("# {}\n", escaped(&document.title));
    for block in &document.blocks {
        let block = written(block);
        if !block.is_empty() {
            text.push('\n');
            text.push_str(&block);
        }
    }
    text
}

fn written(block: &Block) -> String {
    let lines = |lead: &str, words: &[String]| words.iter().map(|line| format!("{lead}{}\n", escaped(line))).collect();
    match block {
        Block::Chapter(words) => format!("## {}\n", escaped(words)),
        Block::Entry(_, words) | Block::Section(words) => format!("### {}\n", escaped(words)),
        Block::Pictures(_) => String::new(),
        Block::Paragraph(words) => format!("{}\n", escaped(words)),
        Block::Named(name, words) => format!("**{name}:** {}\n", escaped(words)),
        Block::Points(points) => lines("- ", points),
        Block::ToTick(points) => lines("- [ ] ", points),
        Block::Working(working) => {
            working.iter().map(|line| format!("    {}\n", line.replace(['\n', '\r'], " "))).collect()
        }
        Block::Table(heads, rows) | Block::Form(heads, rows) => table(heads, rows),
        Block::Worked(heads, rows) => {
            let heads: Vec<&str> = heads.iter().copied().chain([WORKING]).collect();
            table(&heads, &rows.iter().map(WorkedRow::with_working).collect::<Vec<_>>())
        }
    }
}

fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    let row = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
    let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
    let rule = vec!["---".to_owned(); heads.len()];
    let body = rows.iter().map(|cells| row(&cells.iter().map(|cell| escaped(cell)).collect::<Vec<_>>()));
    row(&heads) + &row(&rule) + &body.collect::<String>()
}

fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '\\' | '`' | '*' | '_' | '<' | '>' | '[' | ']' | '|' | '#' => {
                text.push('\\');
                text.push(letter);
            }
            letter if letter.is_control() => text.push(' '),
            letter => text.push(letter),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_words() {
        let title = "# <b>x</b> | [y](z)\n* w".to_owned();
        let text = markdown(&Document { title, blocks: Vec::new() });
        assert_eq!(text, "# \\# \\<b\\>x\\</b\\> \\| \\[y\\](z) \\* w\n");
    }
}
