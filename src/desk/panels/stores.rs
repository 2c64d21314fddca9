//! Stores: everything that can be placed or drawn, ready to be taken up.

use egui::{Button, ComboBox, ScrollArea, Ui};

use super::choices::{DropDown as _, arrows_begin_at};
use super::words::{capital, strong, worded};
use super::{Fields, particulars_row as row};
use crate::catalogue::{self, Insulant, TubeMaterial};
use crate::desk::canvas::usual_fall;
use crate::desk::naming::Name;
use crate::desk::{Action, Clipping, Outlook, Stock, Tool};
use crate::layout::{InLineKind, OutletKind, Service};
use crate::units::{Gradient, Size};

/// The size of storage cistern that is offered first: 227 L to the water line.
const USUAL_CISTERN: usize = 7;
/// The size of feed-and-expansion cistern that is offered first: 18 L.
const USUAL_FEED_AND_EXPANSION: usize = 0;
/// The size of cylinder that is offered first: reference 7.
const USUAL_CYLINDER: usize = 7;

/// The panel, and the sizes chosen in it.
pub struct Stores {
    storage: usize,
    feed_and_expansion: usize,
    cylinder: usize,
    service: Service,
    fitting: InLineKind,
    fields: Fields,
}

impl Default for Stores {
    fn default() -> Self {
        Self {
            storage: USUAL_CISTERN,
            feed_and_expansion: USUAL_FEED_AND_EXPANSION,
            cylinder: USUAL_CYLINDER,
            service: Service::ColdFeed,
            fitting: InLineKind::GateValve,
            fields: Fields::default(),
        }
    }
}

impl Stores {
    /// Shows what can be taken up.
    pub fn ui(&mut self, ui: &mut Ui, outlook: &Outlook, actions: &mut Vec<Action>) {
        ui.heading(Name::Stores.said(outlook.voice));
        ScrollArea::vertical().id_salt("stores").auto_shrink(false).show(ui, |ui| {
            let mut shelf = Shelf { outlook, actions };
            heading(ui, "Building");
            ui.horizontal_wrapped(|ui| {
                let pieces = [
                    Stock::House,
                    Stock::Bungalow,
                    Stock::Storey,
                    Stock::Ceiling,
                    Stock::Joists,
                    Stock::Wall,
                    Stock::Roof,
                    Stock::Hatch,
                ];
                for piece in pieces {
                    shelf.stock(ui, &capital(piece.name()), piece);
                }
            });
            heading(ui, "Water");
            let cisterns: Vec<String> = catalogue::cisterns().sizes.iter().map(|size| size.name.clone()).collect();
            let words =
                |size: &catalogue::CylinderSize| format!("ref. {}, {} L", size.reference, size.indirect.to_litres());
            let cylinders: Vec<String> = catalogue::cylinders().sizes.iter().map(words).collect();
            shelf.sized(ui, "Storage cistern", &cisterns, &mut self.storage, Stock::Storage);
            shelf.sized(ui, "Feed/expansion", &cisterns, &mut self.feed_and_expansion, Stock::FeedAndExpansion);
            shelf.sized(ui, "Cylinder", &cylinders, &mut self.cylinder, Stock::Cylinder);
            ui.horizontal_wrapped(|ui| {
                shelf.stock(ui, "Platform", Stock::Platform);
                shelf.stock(ui, "Boiler", Stock::Boiler);
            });
            heading(ui, "Pipes");
            shelf.pipe(ui, &mut self.service);
            shelf.tube(ui);
            shelf.clips(ui);
            shelf.fall(ui, &mut self.fields);
            heading(ui, "Outlets");
            ui.horizontal_wrapped(|ui| {
                for kind in OutletKind::ALL {
                    shelf.stock(ui, &capital(kind.words()), Stock::Outlet(kind));
                }
            });
            heading(ui, "On a pipe");
            shelf.on_a_pipe(ui, &mut self.fitting);
            heading(ui, "Paper");
            ui.horizontal_wrapped(|ui| {
                shelf.stock(ui, "Note", Stock::Note);
                shelf.take(ui, "Tape", Tool::Tape);
            });
        });
    }
}

/// Thicknesses of pipe insulation that are offered, mm; common practice, no source.
const THICKNESSES_MM: [f64; 6] = [9.0, 13.0, 19.0, 25.0, 32.0, 40.0];

fn heading(ui: &mut Ui, words: &str) {
    ui.add_space(4.0);
    strong(ui, words);
}

/// Where buttons read what is in hand, and put what is asked for.
struct Shelf<'a> {
    outlook: &'a Outlook,
    actions: &'a mut Vec<Action>,
}

impl Shelf<'_> {
    /// A button that takes a tool up. One that is in hand stays there: the menu beside the button has taken it already.
    fn take(&mut self, ui: &mut Ui, name: &str, tool: Tool) {
        let in_hand = self.outlook.tool == tool;
        let button = Button::selectable(in_hand, worded(ui, name)).frame_when_inactive(true);
        if ui.add(button).on_hover_text(worded(ui, &tool.tip())).clicked() && !in_hand {
            self.actions.push(Action::Take(tool));
        }
    }

    fn stock(&mut self, ui: &mut Ui, name: &str, stock: Stock) {
        self.take(ui, name, Tool::Place(stock));
    }

    fn pipe(&mut self, ui: &mut Ui, service: &mut Service) {
        ui.horizontal(|ui| {
            self.take(ui, "Pipe run", Tool::Pipe(*service));
            let mut picked = None;
            let combo = ComboBox::from_id_salt("service").width(ui.available_width() - 4.0).height(320.0);
            let response = combo.selected_text(worded(ui, service.words())).truncate().drop_down(ui, |ui| {
                for other in Service::ALL {
                    let words = worded(ui, other.words());
                    let entry = ui.selectable_label(*service == other, words);
                    if *service == other {
                        arrows_begin_at(ui, &entry);
                    }
                    if entry.clicked() {
                        picked = Some(other);
                    }
                }
            });
            response.accessible_name("Service of the run");
            // Whoever picks a service means to draw it, though it be the one that stood there.
            if let Some(picked) = picked {
                *service = picked;
                self.actions.push(Action::Take(Tool::Pipe(picked)));
            }
        });
    }

    fn sized(&mut self, ui: &mut Ui, name: &str, sizes: &[String], size: &mut usize, stock: fn(usize) -> Stock) {
        ui.horizontal(|ui| {
            self.stock(ui, name, stock(*size));
            let mut picked = None;
            let combo = ComboBox::from_id_salt(name).width(ui.available_width() - 4.0);
            let response = combo.selected_text(sizes[*size].as_str()).truncate().drop_down(ui, |ui| {
                for (number, words) in sizes.iter().enumerate() {
                    let entry = ui.selectable_label(*size == number, words);
                    if *size == number {
                        arrows_begin_at(ui, &entry);
                    }
                    if entry.clicked() {
                        picked = Some(number);
                    }
                }
            });
            response.accessible_name(worded(ui, &format!("Size of {}", name.to_lowercase())));
            if let Some(picked) = picked {
                *size = picked;
                self.actions.push(Action::Take(Tool::Place(stock(picked))));
            }
        });
    }

    fn tube(&mut self, ui: &mut Ui) {
        let words = |tube: Option<(TubeMaterial, Size)>| match tube {
            None => "not told".to_owned(),
            Some((material, size)) => format!("{} {}", size.to_mm(), material.words()),
        };
        let now = self.outlook.tube;
        let mut picked = now;
        row(ui, "Tube", |ui| {
            let combo = ComboBox::from_id_salt("tube").width(ui.available_width() - 4.0);
            let response = combo.selected_text(worded(ui, &words(now))).truncate().drop_down(ui, |ui| {
                let none = worded(ui, &words(None));
                ui.selectable_value(&mut picked, None, none);
                for material in TubeMaterial::ALL {
                    for size in material.sizes() {
                        ui.selectable_value(&mut picked, Some((material, size)), words(Some((material, size))));
                    }
                }
            });
            response.accessible_name("Tube of new runs");
        });
        if picked != now {
            self.actions.push(Action::Tube(picked));
        }
    }

    fn clips(&mut self, ui: &mut Ui) {
        let all = [(Clipping::NotTold, "not told"), (Clipping::AsAllowed, "as far apart as allowed")];
        let now = self.outlook.clipping;
        let words = all.iter().find(|(clipping, _)| *clipping == now).map_or("", |(_, words)| words);
        let mut picked = now;
        row(ui, "Clips", |ui| {
            let combo = ComboBox::from_id_salt("clips").width(ui.available_width() - 4.0);
            let response = combo.selected_text(worded(ui, words)).truncate().drop_down(ui, |ui| {
                for (clipping, words) in all {
                    let words = worded(ui, words);
                    ui.selectable_value(&mut picked, clipping, words);
                }
            });
            response.accessible_name("Clips of new runs");
        });
        if picked != now {
            self.actions.push(Action::Clip(picked));
        }
    }

    /// The fall that is held while runs are drawn; emptied, it is what is usual for the run in hand.
    fn fall(&mut self, ui: &mut Ui, fields: &mut Fields) {
        let usual = match self.outlook.tool {
            Tool::Pipe(service) => usual_fall(service),
            _ => None,
        };
        let shown = self.outlook.fall.or(usual).map(Gradient::words).unwrap_or_default();
        let read = |text: &str| match text.trim() {
            "" => Ok(None),
            text => Gradient::parse(text).map(Some).map_err(|error| error.to_string()),
        };
        if let Some(fall) = fields.words(ui, "Fall", &shown, read) {
            self.actions.push(Action::Fall(fall));
        }
    }

    /// What is put on a pipe where the pointer is.
    fn on_a_pipe(&mut self, ui: &mut Ui, fitting: &mut InLineKind) {
        ui.horizontal(|ui| {
            self.take(ui, "Fitting", Tool::Fit(*fitting));
            let mut picked = None;
            let combo = ComboBox::from_id_salt("fitting").width(ui.available_width() - 4.0);
            let response = combo.selected_text(worded(ui, fitting.words())).truncate().drop_down(ui, |ui| {
                for other in InLineKind::ALL {
                    let words = worded(ui, other.words());
                    let entry = ui.selectable_label(*fitting == other, words);
                    if *fitting == other {
                        arrows_begin_at(ui, &entry);
                    }
                    if entry.clicked() {
                        picked = Some(other);
                    }
                }
            });
            response.accessible_name("Kind of fitting");
            if let Some(picked) = picked {
                *fitting = picked;
                self.actions.push(Action::Take(Tool::Fit(picked)));
            }
        });
        ui.horizontal(|ui| {
            self.take(ui, "Insulate", Tool::Insulate);
            self.take(ui, "Bare", Tool::Bare);
        });
        let (mut thickness, mut kind) = self.outlook.insulation;
        let thick = |thickness: Option<Size>| match thickness {
            None => "not told".to_owned(),
            Some(size) => format!("{} mm", size.to_mm()),
        };
        row(ui, "Thickness", |ui| {
            let combo = ComboBox::from_id_salt("thickness").width(ui.available_width() - 4.0);
            let response = combo.selected_text(worded(ui, &thick(thickness))).drop_down(ui, |ui| {
                let all = THICKNESSES_MM.map(|mm| Some(Size::mm(mm)));
                for offered in std::iter::once(None).chain(all) {
                    let words = worded(ui, &thick(offered));
                    ui.selectable_value(&mut thickness, offered, words);
                }
            });
            response.accessible_name("Thickness of insulation");
        });
        row(ui, "Made of", |ui| {
            let combo = ComboBox::from_id_salt("insulant").width(ui.available_width() - 4.0);
            let words = |kind: Option<Insulant>| kind.map_or("not told", Insulant::words);
            let response = combo.selected_text(worded(ui, words(kind))).truncate().drop_down(ui, |ui| {
                let none = worded(ui, words(None));
                ui.selectable_value(&mut kind, None, none);
                for insulant in Insulant::ALL {
                    ui.selectable_value(&mut kind, Some(insulant), insulant.words());
                }
            });
            response.accessible_name("Insulation made of");
        });
        if (thickness, kind) != self.outlook.insulation {
            self.actions.push(Action::Insulate(thickness, kind));
        }
    }
}
