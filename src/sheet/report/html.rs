//! A document as HTML in one file, which needs nothing from anywhere else.

use super::{Block, Document, Picture, WORKING, WorkedRow};

const STYLE: &str = "body{font:16px/1.5 Ubuntu,'Noto Sans',sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem;color:#1d2630}\
h1,h2,h3{line-height:1.25}h2{border-bottom:1px solid #9aa5b1;padding-bottom:.2rem;margin-top:2.2rem}\
table{border-collapse:collapse;width:100%;font-size:.9rem}th,td{border:1px solid #9aa5b1;padding:.3rem .5rem;text-align:left;\
vertical-align:top}pre{background:#f2f4f6;padding:.6rem;white-space:pre-wrap}ul.tick{list-style:none;padding-left:0}\
.pictures{display:flex;flex-wrap:wrap;gap:.6rem}figure{margin:0}figure>svg{max-width:100%;height:auto}\
ul.tick label{display:block;padding:.15rem 0}@media print{h2{break-after:avoid}h3{break-after:avoid}pre{break-inside:avoid}}";

/// Writes a document as HTML.
#[must_use]
pub fn html(document: &Document) -> String {
    let title = escaped(&document.title);
    let mut text = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n"
    );
    document.blocks.iter().for_each(|block| text.push_str(&written(block)));
    text.push_str("</body>\n</html>\n");
    text
}

fn written(block: &Block) -> String {
    match block {
        Block::Chapter(words) => format!("<h2>{}</h2>\n", escaped(words)),
        Block::Section(words) => format!("<h3>{}</h3>\n", escaped(words)),
        Block::Entry(name, words) => format!("<h3 id=\"{}\">{}</h3>\n", escaped(name), escaped(words)),
        Block::Pictures(pictures) => {
            let one = |picture: &Picture| {
                format!("<figure aria-label=\"{}\">\n{}</figure>\n", escaped(&picture.words), picture.svg())
            };
            format!("<div class=\"pictures\">\n{}</div>\n", pictures.iter().map(one).collect::<String>())
        }
        Block::Paragraph(words) => format!("<p>{}</p>\n", escaped(words)),
        Block::Named(name, words) => format!("<p><strong>{name}:</strong> {}</p>\n", escaped(words)),
        Block::Points(points) => {
            let items: String = points.iter().map(|point| format!("<li>{}</li>\n", escaped(point))).collect();
            format!("<ul>\n{items}</ul>\n")
        }
        Block::ToTick(points) => {
            let item =
                |point: &String| format!("<li><label><input type=\"checkbox\"> {}</label></li>\n", escaped(point));
            format!("<ul class=\"tick\">\n{}</ul>\n", points.iter().map(item).collect::<String>())
        }
        Block::Working(lines) => format!("<pre>{}</pre>\n", escaped(&lines.join("\n"))),
        Block::Table(heads, rows) | Block::Form(heads, rows) => table(heads, rows),
        Block::Worked(heads, rows) => {
            let heads: Vec<&str> = heads.iter().copied().chain([WORKING]).collect();
            table(&heads, &rows.iter().map(WorkedRow::with_working).collect::<Vec<_>>())
        }
    }
}

fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    let heads: String = heads.iter().map(|head| format!("<th scope=\"col\">{}</th>", escaped(head))).collect();
    let row = |cells: &Vec<String>| {
        let cells: String = cells.iter().map(|cell| format!("<td>{}</td>", escaped(cell))).collect();
        format!("<tr>{cells}</tr>\n")
    };
    format!("<table>\n<tr>{heads}</tr>\n{}</table>\n", rows.iter().map(row).collect::<String>())
}

fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => text.push_str("&amp;"),
            '<' => text.push_str("&lt;"),
            '>' => text.push_str("&gt;"),
            '"' => text.push_str("&quot;"),
            '\n' => text.push('\n'),
            letter if letter.is_control() => text.push(' '),
            letter => text.push(letter),
        }
    }
    text
}
