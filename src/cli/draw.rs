//! `draw`: a layout on a sheet, with its marks, as SVG, PDF, PNG or DXF.

use std::path::PathBuf;

use clap::{Arg, ArgMatches, value_parser};

use super::page::{Page, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile, read};
use crate::file;
use crate::finding::Findings;
use crate::measure::Site;
use crate::sheet::pages::{Pages, Terms, What, drawn};
use crate::sheet::{self, Paper, SheetScale};
use crate::units::MM_IN_AN_INCH;

pub(super) const COMMAND: Command = Command {
    name: "draw",
    about: "Draws a layout with its marks on a sheet; exit code 0 whatever the marks say",
    arguments,
    run,
};

/// Fine enough for print.
const USUAL_DPI: u32 = 300;
/// The largest scale number that is taken; a whole kilometre fits on a sheet far below it.
const SMALLEST_DRAWING: f64 = 100_000.0;

fn arguments() -> Vec<Arg> {
    let out = Arg::new("out").long("out").value_name("DRAWING").required(true).value_parser(ending);
    let scale = Arg::new("scale").long("scale").value_name("1:N").value_parser(scale);
    vec![
        arguments::layout().help("The layout to draw"),
        out.help("Where the drawing goes: a name that ends in .svg, .pdf, .png or .dxf"),
        profile::argument(),
        Arg::new("paper")
            .long("paper")
            .value_name("PAPER")
            .value_parser(["a3", "a4"])
            .ignore_case(true)
            .default_value("a3")
            .help("The paper: a3, which lies, or a4, which stands"),
        scale.help("The scale, such as 1:20; without it the drawing is as large as the sheet allows"),
        Arg::new("dpi")
            .long("dpi")
            .value_name("DPI")
            .value_parser(value_parser!(u32).range(10..=1200))
            .help("Pixels to the inch of a .png; 300 when not given"),
        Arg::new("sheet")
            .long("sheet")
            .value_name("N")
            .value_parser(value_parser!(u32).range(1..=144))
            .help("Which sheet, for .svg and .png, where the drawing takes several at its scale; a .pdf holds all"),
        arguments::reading().help("For whom the entries are to which marks in a .pdf lead: trade, teaching or plain"),
    ]
}

/// Where a drawing goes, and as what.
#[derive(Clone)]
struct Target {
    path: PathBuf,
    kind: Kind,
}

#[derive(Clone, Copy)]
enum Kind {
    Svg,
    Pdf,
    Png,
    Dxf,
}

fn ending(text: &str) -> Result<Target, String> {
    let path = PathBuf::from(text);
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    let kind = match ending.as_ref().and_then(|ending| ending.to_str()) {
        Some("svg") => Kind::Svg,
        Some("pdf") => Kind::Pdf,
        Some("png") => Kind::Png,
        Some("dxf") => Kind::Dxf,
        _ => return Err("the name has to end in .svg, .pdf, .png or .dxf".to_owned()),
    };
    Ok(Target { path, kind })
}

fn scale(text: &str) -> Result<f64, String> {
    let number = text.strip_prefix("1:").unwrap_or(text);
    match number.parse() {
        Ok(number) if (1.0..=SMALLEST_DRAWING).contains(&number) => Ok(number),
        _ => Err(format!("write a scale from 1:1 to 1:{SMALLEST_DRAWING}, such as 1:20")),
    }
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = arguments::path_of_layout(matches);
    let target = matches.get_one::<Target>("out").expect("it is asked for");
    let scale = matches.get_one("scale").map_or(SheetScale::Fit, |scale| SheetScale::OneTo(*scale));
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let asked_paper = matches.get_one::<String>("paper").expect("it has a default");
    let paper = if asked_paper.eq_ignore_ascii_case("a4") { Paper::A4 } else { Paper::A3 };
    let voice = arguments::voice(matches);
    let terms = Terms { paper, scale, voice };
    let site = Site::of(&layout);
    let (scene, sheet) = drawn(&site, &profile, &Findings::under(&site, &profile), terms);
    let count = sheet::count(&scene, &sheet);
    let asked_sheet = matches.get_one::<u32>("sheet").map_or(1, |number| *number as usize);
    let one_of_several = count > 1 && matches!(target.kind, Kind::Svg | Kind::Png);
    if asked_sheet > count {
        page.complain(&paragraph(
            "",
            &format!("the drawing takes {count} at this scale; there is no sheet {asked_sheet}"),
        ));
        return EXIT_UNUSABLE;
    }
    let dpi = matches.get_one::<u32>("dpi").copied().unwrap_or(USUAL_DPI);
    let bytes = match target.kind {
        Kind::Svg => Ok(sheet::svg_of(&scene, &sheet, asked_sheet - 1).into_bytes()),
        Kind::Pdf => Pages::of(&layout, &profile, What::Drawing, terms).pdf(),
        // A drawing in DXF has no sheet: the scale is that of its letters.
        Kind::Dxf => {
            Ok(sheet::dxf(&layout, &scene, sheet::scale_on(&scene, &sheet), &profile.differences()).into_bytes())
        }
        Kind::Png => sheet::png(&sheet::svg_of(&scene, &sheet, asked_sheet - 1), f64::from(dpi) / MM_IN_AN_INCH),
    };
    let bytes = bytes.map_err(|error| error.to_string());
    match bytes.and_then(|bytes| file::hand_over(&target.path, &bytes).map_err(|error| error.to_string())) {
        Ok(()) => {
            if one_of_several {
                let words = format!(
                    "The drawing takes {count} sheets at this scale; this is sheet {asked_sheet} (see --sheet)."
                );
                page.print(&paragraph("", &words));
            }
            let is_alone = matches!(target.kind, Kind::Svg | Kind::Png);
            if is_alone && Pages::of(&layout, &profile, What::Drawing, terms).count() > count {
                page.print(&paragraph(
                    "",
                    "The numbers on it are those of its findings, which a .pdf lists on the pages behind it.",
                ));
            }
            EXIT_SOUND
        }
        Err(complaint) => page.unusable(&complaint),
    }
}
