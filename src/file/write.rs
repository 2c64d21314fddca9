//! Layouts to RON text: stable, readable, with as much on a line as one takes in at a glance.

use std::iter::Peekable;

use serde::Serialize;

use super::tokens::{Kind, Token, tokens};
use super::versions::options;
use crate::layout::Layout;

/// Lines are filled up to here.
const LINE: usize = 110;
const INDENT: usize = 4;

/// The text of a layout. The same layout always gives the same text.
///
/// # Panics
/// Never: everything a layout can hold has a RON form.
#[must_use]
pub fn write_text(layout: &Layout) -> String {
    let compact = write_line(layout).expect("a layout holds numbers, words and lists only");
    let mut words = tokens(&compact).peekable();
    let mut text = String::with_capacity(compact.len() * 2);
    if let Some(root) = Node::read(&mut words) {
        root.print_broken(0, &mut text);
    }
    text.push('\n');
    text
}

/// Anything as RON text on one line, without the end of the line.
///
/// # Errors
/// When it holds what RON has no form for, such as a path that is no text.
pub fn write_line(value: &impl Serialize) -> Result<String, ron::Error> {
    options().to_string(value)
}

/// A value, as it stands in the compact text.
struct Node<'a> {
    /// Name of the field that it fills.
    field: Option<&'a str>,
    /// A name, number or string; the variant's name before a group.
    word: &'a str,
    group: Option<Group<'a>>,
    /// Length on one line.
    width: usize,
}

struct Group<'a> {
    open: &'a str,
    items: Vec<Node<'a>>,
    close: &'a str,
}

impl<'a> Node<'a> {
    fn read<I: Iterator<Item = Token<'a>>>(words: &mut Peekable<I>) -> Option<Self> {
        let mut first = words.next_if(|token| token.kind != Kind::Close)?;
        let mut field = None;
        if words.next_if(|token| token.is(":")).is_some() {
            field = Some(first.text);
            first = words.next()?;
        }
        let (word, open) = match first.kind {
            Kind::Open => ("", Some(first)),
            _ => (shortest(first), words.next_if(|token| token.kind == Kind::Open)),
        };
        let group = open.map(|open| Group::read(open.text, words));
        let width =
            field.map_or(0, |field| field.len() + 2) + word.chars().count() + group.as_ref().map_or(0, Group::width);
        Some(Self { field, word, group, width })
    }

    /// Numbers, names, points and ports: what shares a line with its like.
    fn is_small(&self) -> bool {
        self.group.as_ref().is_none_or(|group| {
            group.open == "(" && group.items.iter().all(|item| item.field.is_none() && item.is_small())
        })
    }

    fn print(&self, indent: usize, text: &mut String) {
        // One more for the comma that follows.
        if indent + self.width < LINE { self.print_flat(text) } else { self.print_broken(indent, text) }
    }

    fn print_flat(&self, text: &mut String) {
        self.print_name(text);
        let Some(group) = &self.group else { return };
        text.push_str(group.open);
        for (number, item) in group.items.iter().enumerate() {
            if number > 0 {
                text.push_str(", ");
            }
            item.print_flat(text);
        }
        text.push_str(group.close);
    }

    fn print_broken(&self, indent: usize, text: &mut String) {
        self.print_name(text);
        let Some(group) = &self.group else { return };
        text.push_str(group.open);
        let inner = indent + INDENT;
        // How far the line under way is filled, while it holds nothing but small items.
        let mut filled: Option<usize> = None;
        for item in &group.items {
            let small = item.is_small();
            let begins = match filled.filter(|filled| small && filled + 1 + item.width < LINE) {
                Some(filled) => {
                    text.push(' ');
                    filled + 1
                }
                None => {
                    new_line(inner, text);
                    inner
                }
            };
            item.print(inner, text);
            text.push(',');
            filled = small.then_some(begins + item.width + 1);
        }
        new_line(indent, text);
        text.push_str(group.close);
    }

    fn print_name(&self, text: &mut String) {
        if let Some(field) = self.field {
            text.push_str(field);
            text.push_str(": ");
        }
        text.push_str(self.word);
    }
}

impl<'a> Group<'a> {
    fn read<I: Iterator<Item = Token<'a>>>(open: &'a str, words: &mut Peekable<I>) -> Self {
        let mut items = Vec::new();
        while let Some(item) = Node::read(words) {
            items.push(item);
            if words.next_if(|token| token.is(",")).is_none() {
                break;
            }
        }
        Self { open, items, close: words.next().map_or("", |token| token.text) }
    }

    fn width(&self) -> usize {
        let between = 2 * self.items.len().saturating_sub(1);
        2 + between + self.items.iter().map(|item| item.width).sum::<usize>()
    }
}

fn new_line(indent: usize, text: &mut String) {
    text.push('\n');
    text.extend(std::iter::repeat_n(' ', indent));
}

/// A whole number without its ".0"; any other token as it is.
fn shortest<'a>(token: Token<'a>) -> &'a str {
    let is_number =
        token.kind == Kind::Word && token.text.trim_start_matches('-').starts_with(|c: char| c.is_ascii_digit());
    if is_number { token.text.strip_suffix(".0").unwrap_or(token.text) } else { token.text }
}
