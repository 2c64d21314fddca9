//! `takeoff`: what a layout is made of, as text, CSV or JSON; with the user's prices, and against a quote.

use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, value_parser};

use super::page::{Page, harmless, paragraph};
use super::quoted::{self, text_of};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile, read};
use crate::finding::Findings;
use crate::measure::Site;
use crate::rules::Voice;
use crate::sheet::{bill_json, price_list_csv, takeoff_csv};
use crate::takeoff::boards::SheetStock;
use crate::takeoff::cutting::Stock;
use crate::takeoff::prices::{PriceList, Priced};
use crate::takeoff::quote::{Comparison, LINES_NOT_UNDERSTOOD, LINES_SET_ASIDE, State, TO_ASK, to_be_told};
use crate::takeoff::{Bill, Line, Reckoning, Terms, Trade};

/// What belongs to a line stands below its name.
const INDENT: &str = "               ";

pub(super) const COMMAND: Command = Command {
    name: "takeoff",
    about: "Lists what a layout is made of, how tube and boards are cut, and what a quote leaves out",
    arguments,
    run,
};

fn arguments() -> Vec<Arg> {
    let file = |name: &'static str, help: &'static str| {
        Arg::new(name).long(name).value_name("FILE").value_parser(value_parser!(PathBuf)).help(help)
    };
    let flag = |name: &'static str, help: &'static str| Arg::new(name).long(name).action(ArgAction::SetTrue).help(help);
    let millimetres = value_parser!(u32).range(1..=100_000);
    let mut arguments = vec![
        arguments::layout(),
        flag("csv", "Prints the lines as CSV").conflicts_with("json").conflicts_with("quote"),
        arguments::json(),
        flag("working", "Shows how each quantity was come by"),
        file("prices", "A CSV file of your own with the columns what,size,unit,price"),
        flag("to-price", "Prints such a file, with every price that is not known to fill in")
            .conflicts_with_all(["csv", "json", "quote"]),
    ];
    arguments.extend(quoted::arguments());
    arguments.extend([
        flag("to-confirm", "Prints such a file, with every match to fill in").requires("quote").conflicts_with("json"),
        Arg::new("allowance")
            .long("allowance")
            .value_name("PERCENT")
            .value_parser(percent)
            .help("What of tube and insulation to order beyond what is drawn; 10 when not given"),
        Arg::new("stock")
            .long("stock")
            .value_name("MM")
            .value_parser(millimetres)
            .help("Length of a bar of tube; 3000 when not given"),
        Arg::new("kerf")
            .long("kerf")
            .value_name("MM")
            .value_parser(value_parser!(u32).range(0..=100))
            .help("What a cut takes; 3 when not given"),
        profile::argument(),
    ]);
    arguments
}

fn percent(text: &str) -> Result<f64, String> {
    match text.trim_end_matches('%').parse() {
        Ok(percent) if (0.0..=100.0).contains(&percent) => Ok(percent),
        _ => Err("write a percentage from 0 to 100, such as 10".to_owned()),
    }
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    match reported(matches, page) {
        Ok(()) => EXIT_SOUND,
        Err(complaint) => {
            if !complaint.is_empty() {
                page.complain(&paragraph("", &complaint));
            }
            EXIT_UNUSABLE
        }
    }
}

/// Does it all; a complaint, or nothing where it has been complained already.
fn reported(matches: &ArgMatches, page: &mut Page<'_>) -> Result<(), String> {
    let path = arguments::path_of_layout(matches);
    let asked = profile::asked(matches, page).ok_or_else(String::new)?;
    let prices = matches.get_one::<PathBuf>("prices").map(|path| price_list(path)).transpose()?;
    let (quote, told) = quoted::quoted(matches, page)?;
    let layout = read(path, page).ok_or_else(String::new)?;
    let profile = asked.of(path, &layout, page).ok_or_else(String::new)?;
    let with = Reckoning { prices, quote, told, ..reckoning(matches) };
    let site = Site::of(&layout);
    let bill = Bill::of(&site, &Findings::under(&site, &profile), &with);
    match &bill.quote {
        Some(comparison) if matches.get_flag("to-confirm") => page.print(&to_be_told(comparison, &with.told)),
        _ if matches.get_flag("to-price") => page.print(&price_list_csv(&bill.takeoff, bill.prices.as_ref())),
        _ if matches.get_flag("csv") => page.print(&takeoff_csv(&bill.takeoff, bill.prices.as_ref())),
        _ if matches.get_flag("json") => page.print(&bill_json(&path.display().to_string(), &bill)),
        _ if matches.get_flag("working") => print(path, &bill, print_line_with_working, page),
        _ => print(path, &bill, print_line, page),
    }
    Ok(())
}

/// Allowance and bars, as asked or as usual.
fn reckoning(matches: &ArgMatches) -> Reckoning {
    let usual = Stock::default();
    let allowance = matches.get_one::<f64>("allowance").map(|percent| percent / 100.0);
    Reckoning {
        terms: allowance.map_or_else(Terms::default, |allowance| Terms { allowance }),
        stock: Stock {
            length_mm: matches.get_one("stock").copied().unwrap_or(usual.length_mm),
            kerf_mm: matches.get_one("kerf").copied().unwrap_or(usual.kerf_mm),
        },
        ..Reckoning::default()
    }
}

fn price_list(path: &Path) -> Result<PriceList, String> {
    PriceList::parse(&text_of(path, "price list")?).map_err(|error| format!("{}: {error}", path.display()))
}

fn print(path: &Path, bill: &Bill, print_line: fn(&Line, &mut Page<'_>), page: &mut Page<'_>) {
    page.print(&paragraph(&format!("{}: ", harmless(&path.display().to_string())), &bill.title));
    for trade in Trade::ALL {
        let mut lines = bill.takeoff.lines.iter().filter(|line| line.trade == trade).peekable();
        if lines.peek().is_none() {
            continue;
        }
        page.print(&format!("\n{}\n", trade.words()));
        lines.for_each(|line| print_line(line, page));
    }
    page.print("\n");
    bill.takeoff.notes.iter().for_each(|note| page.print(&paragraph("  ", note)));
    print_cutting(bill, page);
    if let Some(priced) = &bill.prices {
        print_prices(priced, &bill.takeoff.lines, page);
    }
    if let Some(comparison) = &bill.quote {
        print_comparison(comparison, page);
    }
}

fn print_line(line: &Line, page: &mut Page<'_>) {
    let quantity = line.quantity_words();
    let unit = if line.quantity.is_some() { line.unit.written() } else { "" };
    let order = match (line.quantity, line.to_order) {
        (Some(drawn), Some(order)) if drawn != order => format!(" (order {})", line.order_words()),
        _ => String::new(),
    };
    page.print(&paragraph(
        &format!("  {quantity:>8} {unit:<2}  "),
        &format!("{}{order}{}", line.name(), line.tag_words()),
    ));
    if let Some(find_out) = &line.find_out {
        page.print(&paragraph(&format!("{INDENT}? "), find_out));
    }
}

fn print_line_with_working(line: &Line, page: &mut Page<'_>) {
    print_line(line, page);
    line.working.iter().for_each(|working| page.print(&paragraph(&format!("{INDENT}= "), working)));
}

fn print_cutting(bill: &Bill, page: &mut Page<'_>) {
    if !bill.cutting.is_empty() {
        let Stock { length_mm, kerf_mm } = bill.stock;
        page.print(&format!("\nCutting list, bars of {length_mm} mm, kerf {kerf_mm} mm\n"));
    }
    for tube in &bill.cutting {
        let waste = tube.cutting.waste(bill.stock) * 100.0;
        let couplings = match tube.couplings {
            0 => String::new(),
            count => format!("; straight couplings for stretches longer than a bar: {count}"),
        };
        page.print(&paragraph(
            "  ",
            &format!("{}: {}; waste {waste:.1} %{couplings}", tube.what, tube.cutting.words()),
        ));
        for (number, bar) in tube.cutting.bars.iter().enumerate() {
            let pieces: Vec<String> = bar.iter().map(ToString::to_string).collect();
            page.print(&paragraph(&format!("  {:>4}: ", number + 1), &pieces.join(" + ")));
        }
    }
    if !bill.boards.is_empty() {
        let SheetStock { length_mm, width_mm, kerf_mm } = bill.sheet;
        page.print(&format!("\nBoards from sheets of {length_mm} × {width_mm} mm, kerf {kerf_mm} mm\n"));
        page.print(&paragraph("  ", "Boards may be turned on the sheet: see which way the face grain has to run."));
    }
    for boards in &bill.boards {
        let cutting = &boards.cutting;
        let words = format!(
            "{}: sheets {}, by area at least {}; waste {:.1} %",
            boards.of,
            cutting.sheets.len(),
            cutting.at_least,
            cutting.waste(bill.sheet) * 100.0
        );
        page.print(&paragraph("  ", &words));
        for (number, sheet) in cutting.sheets.iter().enumerate() {
            let placed: Vec<String> = sheet
                .iter()
                .map(|p| {
                    format!(
                        "{} {} × {} at {}, {}",
                        boards.platforms[p.board], p.size_mm.0, p.size_mm.1, p.at_mm.0, p.at_mm.1
                    )
                })
                .collect();
            page.print(&paragraph(&format!("  {:>4}: ", number + 1), &placed.join("; ")));
        }
        for board in &cutting.too_large {
            let words = format!("{}: larger than a sheet; join it over a bearer", boards.platforms[*board]);
            page.print(&paragraph("        ", &words));
        }
    }
}

fn print_prices(priced: &Priced, lines: &[Line], page: &mut Page<'_>) {
    page.print("\nPrices, from your list\n");
    for found in &priced.lines {
        let line = &lines[found.line];
        let words = format!("{} {} {} at {}", line.order_words(), line.unit.written(), line.name(), found.price);
        page.print(&paragraph(&format!("  {:>10.2}  ", found.cost), &words));
    }
    page.print(&format!("  {:>10.2}  for what has a price\n", priced.total));
    for name in &priced.unpriced {
        page.print(&paragraph("    no price  ", name));
    }
    for row in &priced.unused {
        page.print(&paragraph("    not used  ", row));
    }
}

fn print_comparison(comparison: &Comparison, page: &mut Page<'_>) {
    let how = match comparison.matches_to_confirm() {
        0 => "",
        _ => " (see --confirm, --deny and --to-confirm)",
    };
    page.print(&format!("\n{}", paragraph("", &format!("{}{how}", comparison.how_matched()))));
    for state in State::ALL {
        for compared in comparison.topics.iter().filter(|compared| compared.state == state) {
            page.print(&format!("\n{}: {}\n", state.words().to_uppercase(), compared.topic));
            compared.drawn.iter().for_each(|drawn| page.print(&paragraph("  drawn:    ", drawn)));
            for rule in &compared.asked_by {
                page.print(&paragraph("  rule:     ", &rule.spoken(Voice::Trade)));
            }
            for matched in &compared.matches {
                let lead = if matched.confirmed { "  as said:  " } else { "  match?    " };
                page.print(&paragraph(lead, &matched.spoken()));
            }
            compared.contradictions.iter().for_each(|said| page.print(&paragraph("  but:      ", said)));
            compared.differences.iter().for_each(|said| page.print(&paragraph("  other:    ", said)));
        }
    }
    if !comparison.not_understood.is_empty() {
        page.print(&format!("\n{LINES_NOT_UNDERSTOOD}\n"));
    }
    for line in &comparison.not_understood {
        page.print(&paragraph(&format!("  {:>4}: ", line.number), &line.text));
    }
    if !comparison.set_aside.is_empty() {
        page.print(&format!("\n{LINES_SET_ASIDE}\n"));
    }
    for aside in &comparison.set_aside {
        page.print(&paragraph(
            &format!("  {:>4}: ", aside.line.number),
            &format!("{} ({})", aside.line.text, aside.why),
        ));
    }
    if !comparison.questions.is_empty() {
        page.print(&format!("\n{TO_ASK}\n"));
    }
    comparison.questions.iter().for_each(|question| page.print(&paragraph("  - ", question)));
}
