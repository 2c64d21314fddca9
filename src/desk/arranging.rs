//! What is done with all that is selected: copy, cut, put down, duplicate, mirror, align.

use egui::{Context, Key};

use super::action::Action;
use super::app::Desk;
use super::commands::{About, NOTHING_SELECTED, ctrl, ctrl_shift, plain};
use crate::file;
use crate::layout::{Align, Edit, Id, Layout, Pasted};

/// Why no bend can be put into a pipe.
const ONE_PIPE: &str = "Select one pipe to put a bend into";

/// Something that is done with all that is selected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrange {
    /// Selects every part.
    SelectEverything,
    /// Takes them away, to be put down elsewhere.
    Cut,
    /// Takes a copy of them.
    Copy,
    /// Puts down what was copied.
    Paste,
    /// Puts a copy of them down beside them.
    Duplicate,
    /// Turns them about.
    Mirror,
    /// Brings them to one level or into one line with the first of them.
    Align(Align),
    /// Puts a bend into the one pipe that is selected.
    AddBend,
}

/// What was copied last.
#[derive(Default)]
pub(super) struct Copied {
    layout: Option<Layout>,
    /// How often it has been put down beside itself.
    times: u32,
}

impl Arrange {
    /// Those that stand side by side in the menu.
    pub const ALL: [Self; 7] =
        [Self::SelectEverything, Self::Cut, Self::Copy, Self::Paste, Self::Duplicate, Self::Mirror, Self::AddBend];

    /// Why it cannot be done with what is selected; none where it can.
    #[must_use]
    pub fn hindrance(self, layout: &Layout, selected: &[Id]) -> Option<&'static str> {
        match self {
            Self::SelectEverything | Self::Paste => None,
            Self::Cut | Self::Copy | Self::Duplicate | Self::Mirror => selected.is_empty().then_some(NOTHING_SELECTED),
            Self::Align(_) => (selected.len() < 2).then_some("Select two parts or more first"),
            Self::AddBend => the_one_pipe(layout, selected).is_none().then_some(ONE_PIPE),
        }
    }

    /// Name, description and keys. Copy, cut and paste have the keys of the system, which come as events of their own.
    #[must_use]
    pub fn about(self) -> About {
        let about = About::new;
        match self {
            Self::SelectEverything => about("Select all parts", "Select every part", const { &[ctrl(Key::A)] }),
            Self::Cut => about("Cut", "Take the selected parts away, to be put down elsewhere (Ctrl+X)", &[]),
            Self::Copy => about("Copy", "Copy the selected parts and the pipes between them (Ctrl+C)", &[]),
            Self::Paste => about("Paste", "Put down what was copied, where the pointer is or beside it (Ctrl+V)", &[]),
            Self::Duplicate => {
                about("Duplicate", "Put a copy of the selected parts down beside them", const { &[ctrl(Key::D)] })
            }
            Self::Mirror => about(
                "Mirror left to right",
                "Turn the selected parts about, with the pipes among them",
                const { &[ctrl_shift(Key::T)] },
            ),
            Self::Align(align) => match align {
                Align::Bases => about("Bases level", "Bring their bases to the level of the first", &[]),
                Align::Tops => about("Tops level", "Bring their tops to the level of the first", &[]),
                Align::Heights => {
                    about("Middles level", "Bring the middles of their heights to that of the first", &[])
                }
                Align::LeftSides => about("Left sides in line", "Bring their left sides into line with the first", &[]),
                Align::RightSides => {
                    about("Right sides in line", "Bring their right sides into line with the first", &[])
                }
                Align::Middles => about("Middles in line", "Bring their middles over or under that of the first", &[]),
            },
            Self::AddBend => about(
                "Add a bend",
                "Put a bend into the selected pipe, where the pointer is or midway along its longest stretch",
                const { &[plain(Key::B)] },
            ),
        }
    }
}

impl Copied {
    /// Takes what was copied in another window, which comes as the text of a file.
    pub fn hear(&mut self, text: &str) {
        if let Ok(layout) = file::parse(text, "the clipboard")
            && self.layout.as_ref() != Some(&layout)
        {
            *self = Self { layout: Some(layout), times: 0 };
        }
    }
}

impl Desk {
    /// Does something with all that is selected.
    pub(super) fn arrange(&mut self, ctx: &Context, arrange: Arrange) {
        let layout = self.work.session.shared();
        let ids = self.outlook.selection();
        if ids.is_empty() && !matches!(arrange, Arrange::SelectEverything | Arrange::Paste) {
            "No part is selected".clone_into(&mut self.outlook.said);
            return;
        }
        if arrange == Arrange::Cut && self.outlook.fitting.is_some() {
            "Delete takes the chosen fitting out; Esc goes back to its pipe".clone_into(&mut self.outlook.said);
            return;
        }
        match arrange {
            Arrange::SelectEverything => {
                self.actions.push(Action::SelectAll(layout.parts().map(|part| part.id().clone()).collect()));
            }
            Arrange::Copy => self.copy(ctx, &ids),
            Arrange::Cut => {
                self.copy(ctx, &ids);
                self.outlook.let_go();
                self.step(&format!("Cut {}", counted(&ids)), &layout.removed_together(&ids));
            }
            Arrange::Paste => self.paste(),
            Arrange::Duplicate => {
                let copy = layout.copied(&ids);
                let pasted = layout.pasted(&copy, layout.clear_of(&ids));
                self.put_down("Duplicate", pasted);
            }
            Arrange::Mirror => {
                let edits: Vec<Edit> = layout.mirrored(&ids).into_iter().collect();
                self.step(&format!("Mirror {}", counted(&ids)), &edits);
            }
            Arrange::Align(align) => {
                self.step(&format!("Align {}", counted(&ids)), &layout.aligned(&ids, align));
            }
            Arrange::AddBend => match the_one_pipe(&layout, &ids) {
                Some(pipe) => self.actions.extend(self.canvas.added_bend(&layout, pipe)),
                None => ONE_PIPE.clone_into(&mut self.outlook.said),
            },
        }
    }

    fn copy(&mut self, ctx: &Context, ids: &[Id]) {
        let copy = self.work.session.layout().copied(ids);
        ctx.copy_text(file::write_text(&copy));
        self.work.copied = Copied { layout: Some(copy), times: 0 };
        self.outlook.said = format!("Copied {}; Ctrl+V puts them down", counted(ids));
    }

    /// Puts down what was copied: with its middle where the pointer is, or beside itself.
    fn paste(&mut self) {
        let Some(copy) = self.work.copied.layout.clone() else {
            "Nothing has been copied".clone_into(&mut self.outlook.said);
            return;
        };
        let all: Vec<Id> = copy.parts().map(|part| part.id().clone()).collect();
        let by = match (self.canvas.at, copy.extent_of_all(&all)) {
            (Some(at), Some((low, high))) => ((at - low.midpoint(high)) / 10.0).round() * 10.0,
            _ => {
                self.work.copied.times += 1;
                copy.clear_of(&all) * f64::from(self.work.copied.times)
            }
        };
        let pasted = self.work.session.layout().pasted(&copy, by);
        self.put_down("Paste", pasted);
    }

    fn put_down(&mut self, verb: &str, pasted: Pasted) {
        if pasted.ids.is_empty() {
            return;
        }
        self.step(&format!("{verb} {}", counted(&pasted.ids)), &[pasted.edit]);
        self.actions.push(Action::SelectAll(pasted.ids));
    }

    fn step(&mut self, label: &str, edits: &[Edit]) {
        if edits.is_empty() {
            "They are so already".clone_into(&mut self.outlook.said);
            return;
        }
        self.make_step(label, edits);
    }
}

/// The pipe that is selected, and nothing else.
fn the_one_pipe<'i>(layout: &Layout, selected: &'i [Id]) -> Option<&'i Id> {
    let [pipe] = selected else { return None };
    layout.run(pipe).map(|_| pipe)
}

fn counted(ids: &[Id]) -> String {
    match ids {
        [one] => one.spoken(),
        many => format!("{} parts", many.len()),
    }
}
