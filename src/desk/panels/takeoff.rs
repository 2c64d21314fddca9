//! The view *Take-off*: the list by trade, how tube and boards are cut, and on the right what it is reckoned with.

use egui::{Align, DragValue, Label, Layout, RichText, ScrollArea, Ui, vec2};

use super::preview::progress;
use super::words::{capital, coloured, line, strong, weak, worded};
use crate::desk::exporting::{Export, Form};
use crate::desk::handing::{Asked, Handing, Sought, Taking};
use crate::desk::theme::Palette;
use crate::desk::{Action, Aspect};
use crate::rules::Voice;
use crate::session::Session;
use crate::takeoff::{Bill, Line, Trade};

/// Heads of the list, each with its share of the width.
const COLUMNS: [(&str, f32); 5] =
    [("what", 0.42), ("size", 0.24), ("drawn", 0.12), ("to order", 0.12), ("   unit", 0.1)];
/// The same with prices.
const PRICED: [(&str, f32); 7] = [
    ("what", 0.32),
    ("size", 0.2),
    ("drawn", 0.1),
    ("to order", 0.1),
    ("   unit", 0.07),
    ("price", 0.1),
    ("cost", 0.11),
];

/// The list, and how it is cut.
pub fn list(ui: &mut Ui, taking: &mut Taking, session: &Session, voice: Voice) {
    let palette = Palette::of(ui.visuals());
    let (bill, _) = taking.bill(session);
    ui.heading(Aspect::TakeOff.name(voice));
    ScrollArea::vertical().id_salt("take-off").auto_shrink(false).show(ui, |ui| {
        if bill.takeoff.lines.is_empty() {
            let set_out = Aspect::SetOut.name(voice);
            weak(
                ui,
                format!(
                    "Nothing is drawn yet that could be listed. Draw it in {set_out}, or begin from answers (File)."
                ),
            );
        }
        for trade in Trade::ALL {
            let lines = bill.takeoff.lines.iter().enumerate().filter(|(_, line)| line.trade == trade);
            let lines: Vec<(usize, &Line)> = lines.collect();
            if lines.is_empty() {
                continue;
            }
            ui.add_space(8.0);
            strong(ui, trade.words());
            heads(ui, bill);
            for (number, line) in lines {
                one_line(ui, bill, number, line, palette);
            }
        }
        ui.add_space(8.0);
        bill.takeoff.notes.iter().for_each(|note| weak(ui, note));
        cutting(ui, bill);
        boards(ui, bill);
        ui.add_space(8.0);
    });
}

fn columns(bill: &Bill) -> &'static [(&'static str, f32)] {
    if bill.prices.is_some() { &PRICED } else { &COLUMNS }
}

/// A row of cells, each in its share of the width. Figures stand to the right.
fn row(ui: &mut Ui, columns: &[(&str, f32)], cells: &[RichText]) {
    let whole = ui.available_width() - ui.spacing().item_spacing.x * columns.len() as f32;
    ui.horizontal_top(|ui| {
        for ((head, share), cell) in columns.iter().zip(cells) {
            let is_figure = matches!(*head, "drawn" | "to order" | "price" | "cost");
            let layout = Layout::top_down(if is_figure { Align::Max } else { Align::Min });
            ui.allocate_ui_with_layout(vec2(whole * share, 0.0), layout, |ui| {
                ui.set_width(whole * share);
                ui.add(Label::new(cell.clone()).wrap());
            });
        }
    });
}

fn heads(ui: &mut Ui, bill: &Bill) {
    let columns = columns(bill);
    let cells: Vec<RichText> = columns.iter().map(|(head, _)| RichText::new(*head).weak().small()).collect();
    row(ui, columns, &cells);
}

fn one_line(ui: &mut Ui, bill: &Bill, number: usize, line: &Line, palette: Palette) {
    let mut cells = vec![
        line.what.clone() + &line.tag_words(),
        line.size.clone(),
        line.quantity_words(),
        line.order_words(),
        // Set off from the figures beside it.
        format!("   {}", line.unit.written()),
    ];
    if let Some(priced) = &bill.prices {
        let of = priced.lines.iter().find(|priced| priced.line == number);
        cells.push(of.map_or_else(String::new, |priced| priced.price.to_string()));
        cells.push(of.map_or_else(String::new, |priced| format!("{:.2}", priced.cost)));
    }
    let cells: Vec<RichText> = cells.iter().map(|cell| RichText::new(worded(ui, cell))).collect();
    let shown = ui.scope(|ui| row(ui, columns(bill), &cells)).response;
    if !line.working.is_empty() {
        shown.on_hover_text(worded(ui, &line.working.join("\n")));
    }
    if let Some(find_out) = &line.find_out {
        coloured(ui, format!("    Find out: {find_out}"), palette.grey_pencil);
    }
}

fn cutting(ui: &mut Ui, bill: &Bill) {
    if bill.cutting.is_empty() {
        return;
    }
    ui.add_space(10.0);
    strong(ui, "Cutting list of tube");
    for tube in &bill.cutting {
        line(ui, format!("{}: {}", capital(&tube.what), tube.cutting.words()));
        for (number, bar) in tube.cutting.bars.iter().enumerate() {
            let pieces: Vec<String> = bar.iter().map(ToString::to_string).collect();
            weak(ui, format!("    bar {}: {} mm", number + 1, pieces.join(" + ")));
        }
        if tube.couplings > 0 {
            weak(ui, format!("    straight couplings for stretches longer than a bar: {}", tube.couplings));
        }
    }
}

fn boards(ui: &mut Ui, bill: &Bill) {
    if bill.boards.is_empty() {
        return;
    }
    ui.add_space(10.0);
    let sheet = bill.sheet;
    let heading = format!("Boards from sheets of {} × {} mm", sheet.length_mm, sheet.width_mm);
    strong(ui, heading);
    for boards in &bill.boards {
        let cutting = &boards.cutting;
        let waste = cutting.waste(sheet) * 100.0;
        let count = cutting.sheets.len();
        line(
            ui,
            format!(
                "{}: sheets {count}, by area at least {}; waste {waste:.1} %",
                capital(&boards.of),
                cutting.at_least
            ),
        );
        for (number, placed) in cutting.sheets.iter().enumerate() {
            let pieces: Vec<String> = placed
                .iter()
                .map(|piece| format!("{} {} × {}", boards.platforms[piece.board], piece.size_mm.0, piece.size_mm.1))
                .collect();
            weak(ui, format!("    sheet {}: {} mm", number + 1, pieces.join("; ")));
        }
        for board in &cutting.too_large {
            weak(ui, format!("    {}: larger than a sheet; join it over a bearer", boards.platforms[*board]));
        }
    }
}

/// What the list is reckoned with: allowance, bars, prices; and the file that it goes into.
pub fn terms(ui: &mut Ui, taking: &mut Taking, session: &Session, actions: &mut Vec<Action>) {
    let from = taking.prices_from.clone();
    let (bill, asked) = taking.bill(session);
    ui.heading("Reckoned with");
    numbers(ui, asked);
    ui.separator();
    ui.horizontal_wrapped(|ui| {
        if ui.button("Read prices…").on_hover_text("A CSV file of your own: what,size,unit,price").clicked() {
            actions.push(Action::Hand(Handing::Seek(Sought::Prices)));
        }
        if asked.prices.is_some() && ui.button("Leave prices out").clicked() {
            asked.prices = None;
        }
    });
    match (&bill.prices, from) {
        (Some(priced), Some(path)) => {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            line(ui, format!("{:.2} for what has a price in {name}", priced.total));
            if !priced.unpriced.is_empty() {
                weak(ui, format!("No price: {}", priced.unpriced.join("; ")));
            }
            priced.unused.iter().for_each(|row| weak(ui, format!("Not used: {row}")));
        }
        _ => weak(
            ui,
            format!(
                "Prices come from a file of your own alone; none are built in. \"{}\" writes one that asks for each.",
                Form::PriceListCsv.name()
            ),
        ),
    }
}

fn numbers(ui: &mut Ui, asked: &mut Asked) {
    let mut percent = asked.allowance_percent;
    let (mut length, mut kerf) = (asked.stock.length_mm, asked.stock.kerf_mm);
    ui.horizontal(|ui| {
        let label = ui.label("More to order of tube and insulation");
        ui.add(DragValue::new(&mut percent).range(0.0..=100.0).suffix(" %")).labelled_by(label.id);
    });
    ui.horizontal(|ui| {
        let label = ui.label("Length of a bar");
        ui.add(DragValue::new(&mut length).range(500..=12_000).speed(10.0).suffix(" mm")).labelled_by(label.id);
    });
    ui.horizontal(|ui| {
        let label = ui.label("A cut takes");
        ui.add(DragValue::new(&mut kerf).range(0..=20).suffix(" mm")).labelled_by(label.id);
    });
    asked.allowance_percent = percent;
    (asked.stock.length_mm, asked.stock.kerf_mm) = (length, kerf);
}

/// The buttons that write the list.
pub fn write(ui: &mut Ui, export: Option<&Export>, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for form in [Form::TakeoffCsv, Form::TakeoffJson, Form::PriceListCsv] {
            if ui.add_enabled(export.is_none(), egui::Button::new(form.name())).clicked() {
                actions.push(Action::Hand(Handing::Seek(Sought::Export(form))));
            }
        }
    });
    progress(ui, export, actions);
}
