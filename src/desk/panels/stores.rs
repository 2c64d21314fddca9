//! Stores: everything that can be placed or drawn, ready to be taken up.

use std::iter;

use egui::{Button, ComboBox, ScrollArea, Ui};

use super::choices::{DropDown as _, entries};
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
            let cisterns: Vec<(usize, &str)> =
                catalogue::cisterns().sizes.iter().map(|size| size.name.as_str()).enumerate().collect();
            let words =
                |size: &catalogue::CylinderSize| format!("ref. {}, {} L", size.reference, size.indirect.to_litres());
            let cylinders: Vec<(usize, String)> = catalogue::cylinders().sizes.iter().map(words).enumerate().collect();
            shelf.sized(ui, "Storage cistern", &cisterns, &mut self.storage, Stock::Storage);
            shelf.sized(ui, "Feed/expansion", &cisterns, &mut self.feed_and_expansion, Stock::FeedAndExpansion);
            shelf.sized(ui, "Cylinder", &cylinders, &mut self.cylinder, Stock::Cylinder);
            ui.horizontal_wrapped(|ui| {
                shelf.stock(ui, "Platform", Stock::Platform);
                shelf.stock(ui, "Boiler", Stock::Boiler);
            });
            heading(ui, "Pipes");
            let services = Service::ALL.map(|service| (service, service.words()));
            let combo = ComboBox::from_id_salt("service").height(320.0);
            shelf.take_one_of(ui, ("Pipe run", "Service of the run"), combo, &mut self.service, &services, Tool::Pipe);
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
            let kinds = InLineKind::ALL.map(|kind| (kind, kind.words()));
            let combo = ComboBox::from_id_salt("fitting");
            shelf.take_one_of(ui, ("Fitting", "Kind of fitting"), combo, &mut self.fitting, &kinds, Tool::Fit);
            shelf.insulation(ui);
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

    /// A button that takes a tool up, and beside it of which of several. Whoever picks one means to take it up, though it be
    /// the one that stood there.
    fn take_one_of<T: Copy + PartialEq>(
        &mut self,
        ui: &mut Ui,
        (name, list): (&str, &str),
        combo: ComboBox<'_>,
        chosen: &mut T,
        all: &[(T, impl AsRef<str>)],
        tool: impl Fn(T) -> Tool,
    ) {
        ui.horizontal(|ui| {
            self.take(ui, name, tool(*chosen));
            let shown = all.iter().find(|(choice, _)| choice == chosen).map_or("", |(_, words)| words.as_ref());
            let combo = combo.width(ui.available_width() - 4.0);
            let mut picked = None;
            let shown = worded(ui, shown);
            let response = combo.drop_down_from(ui, &shown, |ui| picked = entries(ui, *chosen, all));
            response.accessible_name(worded(ui, list));
            if let Some(picked) = picked {
                *chosen = picked;
                self.actions.push(Action::Take(tool(picked)));
            }
        });
    }

    fn sized(
        &mut self,
        ui: &mut Ui,
        name: &str,
        sizes: &[(usize, impl AsRef<str>)],
        size: &mut usize,
        stock: fn(usize) -> Stock,
    ) {
        let list = format!("Size of {}", name.to_lowercase());
        let tool = |size| Tool::Place(stock(size));
        self.take_one_of(ui, (name, &list), ComboBox::from_id_salt(name), size, sizes, tool);
    }

    fn tube(&mut self, ui: &mut Ui) {
        let words = |(material, size): (TubeMaterial, Size)| format!("{} {}", size.to_mm(), material.words());
        let sizes = |material: TubeMaterial| material.sizes().into_iter().map(move |size| (material, size));
        let all = TubeMaterial::ALL.into_iter().flat_map(sizes);
        let picked = told_one_of(ui, ["Tube", "tube", "Tube of new runs"], self.outlook.tube, words, all);
        if picked != self.outlook.tube {
            self.actions.push(Action::Tube(picked));
        }
    }

    fn clips(&mut self, ui: &mut Ui) {
        let words = |clipping| match clipping {
            Clipping::NotTold => "not told".to_owned(),
            Clipping::AsAllowed => "as allowed".to_owned(),
        };
        let all = [Clipping::NotTold, Clipping::AsAllowed].into_iter();
        let picked = one_of(ui, ["Clips", "clips", "Clips of new runs"], self.outlook.clipping, words, all);
        if picked != self.outlook.clipping {
            self.actions.push(Action::Clip(picked));
        }
    }

    /// The fall that is held while runs are drawn; emptied, it is what is usual for the run in hand.
    fn fall(&mut self, ui: &mut Ui, fields: &mut Fields) {
        let usual = match self.outlook.tool {
            Tool::Pipe(service) => usual_fall(service),
            _ => None,
        };
        let shown = self.outlook.fall.or(usual).map(Gradient::typed).unwrap_or_default();
        let read = |text: &str| match text.trim() {
            "" => Ok(None),
            text => Gradient::parse(text).map(Some).map_err(|error| error.to_string()),
        };
        if let Some(fall) = fields.words(ui, "Fall", &shown, read) {
            self.actions.push(Action::Fall(fall));
        }
    }

    fn insulation(&mut self, ui: &mut Ui) {
        ui.horizontal(|ui| {
            self.take(ui, "Insulate", Tool::Insulate);
            self.take(ui, "Bare", Tool::Bare);
        });
        let (thickness, kind) = self.outlook.insulation;
        let names = ["Thickness", "thickness", "Thickness of insulation"];
        let thick = |size: Size| format!("{} mm", size.to_mm());
        let thickness = told_one_of(ui, names, thickness, thick, THICKNESSES_MM.into_iter().map(Size::mm));
        let names = ["Made of", "insulant", "Insulation made of"];
        let kind = told_one_of(ui, names, kind, |kind| kind.words().to_owned(), Insulant::ALL.into_iter());
        if (thickness, kind) != self.outlook.insulation {
            self.actions.push(Action::Insulate(thickness, kind));
        }
    }
}

/// One of several that is told of what is drawn next, or not told.
fn told_one_of<T: Copy + PartialEq>(
    ui: &mut Ui,
    names: [&str; 3],
    now: Option<T>,
    words: impl Fn(T) -> String,
    all: impl Iterator<Item = T>,
) -> Option<T> {
    let words = |choice: Option<T>| choice.map_or_else(|| "not told".to_owned(), &words);
    one_of(ui, names, now, words, iter::once(None).chain(all.map(Some)))
}

/// One of several that holds for what is drawn next: its name beside it, its salt, and its name where it stands alone.
fn one_of<T: Copy + PartialEq>(
    ui: &mut Ui,
    [name, salt, alone]: [&str; 3],
    now: T,
    words: impl Fn(T) -> String,
    all: impl Iterator<Item = T>,
) -> T {
    let mut picked = now;
    row(ui, name, |ui| {
        let combo = ComboBox::from_id_salt(salt).width(ui.available_width() - 4.0);
        let shown = worded(ui, &words(now));
        let response = combo.drop_down_from(ui, &shown, |ui| {
            for choice in all {
                let words = worded(ui, &words(choice));
                ui.selectable_value(&mut picked, choice, words);
            }
        });
        response.accessible_name(alone);
    });
    picked
}
