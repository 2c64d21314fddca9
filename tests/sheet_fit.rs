//! Sheets of every example at every scale and paper: nothing is cut off, nothing covers anything else, lengths are true.

use std::path::Path;

use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::{Axis, Site};
use loftwright::rules::{Profile, Voice};
use loftwright::scene::{Drawn, Origin, Scene, View, bounds, draw_dimensions};
use loftwright::sheet::pages::{Pages, Terms, What, drawn};
use loftwright::sheet::{self, Paper, Sheet, SheetScale};

const EXAMPLES: [&str; 6] =
    ["feed_and_expansion", "half_described", "level_connections", "low_loft", "sound_direct", "sound_indirect"];
const SCALES: [SheetScale; 4] =
    [SheetScale::Fit, SheetScale::OneTo(10.0), SheetScale::OneTo(20.0), SheetScale::OneTo(50.0)];
const PAPERS: [Paper; 2] = [Paper::A4, Paper::A3];

fn example(name: &str) -> Layout {
    file::read(Path::new(&format!("examples/{name}.loft.ron"))).unwrap_or_else(|error| panic!("{error}"))
}

fn terms(paper: Paper, scale: SheetScale) -> Terms {
    Terms { paper, scale, voice: Voice::Trade }
}

fn on_sheet(layout: &Layout, paper: Paper, scale: SheetScale) -> (Scene, Sheet) {
    let site = Site::of(layout);
    drawn(&site, Profile::usual(), &Findings::of(&site), terms(paper, scale))
}

/// A line of words on a sheet, with its box in page millimetres.
struct Words {
    words: String,
    low: (f64, f64),
    high: (f64, f64),
}

fn attribute(tag: &str, name: &str) -> Option<f64> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[from..].split('"').next()?.parse().ok()
}

/// Reads the words back from the SVG: the boxes are those of the letters, as the typeface has them.
fn words_of(svg: &str) -> Vec<Words> {
    let texts = svg.lines().filter(|line| line.starts_with("<text "));
    let read = |line: &str| {
        let (tag, rest) = line.split_once('>').expect("a tag ends");
        let words = rest.trim_end_matches("</text>").replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">");
        let (x, y, size) = (attribute(tag, "x"), attribute(tag, "y"), attribute(tag, "font-size"));
        let (x, y, size) = (x.expect("x"), y.expect("y"), size.expect("a size"));
        let wide = loftwright::scene::width_mm(&words, size);
        let before = match () {
            () if tag.contains("\"middle\"") => wide / 2.0,
            () if tag.contains("\"end\"") => wide,
            () => 0.0,
        };
        let (up, down) = (0.76 * size, 0.2 * size);
        if tag.contains("rotate(-90") {
            Words { words, low: (x - up, y - wide + before), high: (x + down, y + before) }
        } else {
            Words { words, low: (x - before, y - up), high: (x - before + wide, y + down) }
        }
    };
    texts.map(read).collect()
}

#[test]
fn no_words_are_cut_off_or_covered_on_any_sheet() {
    for name in EXAMPLES {
        let layout = example(name);
        for paper in PAPERS {
            let (width, height) = paper.size_mm();
            for scale in SCALES {
                let (scene, sheet) = on_sheet(&layout, paper, scale);
                for number in 0..sheet::count(&scene, &sheet) {
                    let words = words_of(&sheet::svg_of(&scene, &sheet, number));
                    assert!(words.len() > 10);
                    let place = format!("{name} on {paper:?}, {scale:?}, sheet {}", number + 1);
                    for (at, one) in words.iter().enumerate() {
                        let inside =
                            one.low.0 > 6.0 && one.low.1 > 6.0 && one.high.0 < width - 6.0 && one.high.1 < height - 6.0;
                        assert!(inside, "'{}' is cut off: {place}", one.words);
                        for other in &words[at + 1..] {
                            let across = one.high.0.min(other.high.0) - one.low.0.max(other.low.0);
                            let down = one.high.1.min(other.high.1) - one.low.1.max(other.low.1);
                            assert!(across < 0.05 || down < 0.05, "'{}' covers '{}': {place}", one.words, other.words);
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn every_part_stands_whole_on_some_sheet_or_runs_on_to_the_next() {
    for name in EXAMPLES {
        let layout = example(name);
        let (scene, sheet) = on_sheet(&layout, Paper::A4, SheetScale::OneTo(20.0));
        let count = sheet::count(&scene, &sheet);
        assert!(count > 1, "{name}");
        let titles: String = (0..count).map(|number| sheet::svg_of(&scene, &sheet, number)).collect();
        for number in 1..=count {
            assert!(titles.contains(&format!("sheet {number} of {count}")), "{name}: sheet {number}");
        }
        for cistern in &layout.cisterns {
            assert!(titles.contains(&format!(">{}<", cistern.id.spoken())), "{name}: {}", cistern.id);
        }
    }
}

/// The longer side of the first cistern as it stands in the SVG, against its length and the scale.
#[test]
fn a_cistern_is_as_long_on_paper_as_its_scale_says() {
    let layout = example("sound_indirect");
    let length = layout.cisterns[0].length.to_mm();
    for scale in [20.0, 25.0, 50.0] {
        let (scene, sheet) = on_sheet(&layout, Paper::A3, SheetScale::OneTo(scale));
        let wanted = length / scale;
        let sheets = (0..sheet::count(&scene, &sheet)).map(|number| sheet::svg_of(&scene, &sheet, number));
        let is_it = |line: &str| {
            let Some(path) = line.strip_prefix("<path d=\"") else { return false };
            let corners: Vec<(f64, f64)> = path
                .split(['M', 'L', 'Z', '"'])
                .filter_map(|pair| {
                    let (x, y) = pair.trim().split_once(' ')?;
                    Some((x.parse().ok()?, y.parse().ok()?))
                })
                .collect();
            corners.len() == 4
                && corners.windows(2).any(|pair| {
                    (pair[0].1 - pair[1].1).abs() < 1e-9 && ((pair[0].0 - pair[1].0).abs() - wanted).abs() < 0.0015
                })
        };
        assert!(sheets.into_iter().any(|svg| svg.lines().any(is_it)), "no side of {wanted} mm at 1:{scale}");
    }
}

#[test]
fn dimensions_say_what_they_measure() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let mut scene = Scene::default();
    draw_dimensions(&mut scene, &site);
    assert_eq!(scene.levels.first().map(|(_, level)| *level >= 5862.0), Some(true), "{:?}", scene.levels);
    assert!(scene.levels.windows(2).all(|pair| pair[0].1 >= pair[1].1));
    let (scene, _) = on_sheet(&layout, Paper::A3, SheetScale::Fit);
    let around = bounds(&scene).map(|(low, high)| (low - 4000.0, high + 4000.0));
    let inked = scene.inked_whole(&View { scale: 50.0, within: around });
    let cistern = &layout.cisterns[0];
    let of_cistern: Vec<_> =
        inked.dimensions.iter().filter(|placed| placed.origin == Origin::Part(cistern.id.clone())).collect();
    let words = |axis: Axis| -> Vec<&str> {
        of_cistern.iter().filter(|placed| placed.axis == axis).map(|placed| placed.words.as_str()).collect()
    };
    assert_eq!(words(Axis::Level), ["914"]);
    assert_eq!(words(Axis::Upright), ["584", "410"]);
    for placed in &inked.dimensions {
        let strokes = &inked.strokes[placed.strokes.clone()];
        assert!(strokes.iter().any(|stroke| matches!(&stroke.drawn, Drawn::Line { .. })), "{placed:?}");
    }
}

#[test]
fn the_pages_that_are_shown_are_those_that_are_written() {
    let layout = example("low_loft");
    for what in [What::Drawing, What::Report] {
        let pages = Pages::of(&layout, Profile::usual(), what, terms(Paper::A4, SheetScale::Fit));
        assert!(pages.count() > 2);
        assert_eq!(pages.size_mm(0), Some((297.0, 210.0)));
        assert_eq!(pages.size_mm(1), Some((210.0, 297.0)));
        let pdf = pages.pdf().expect("a PDF");
        let count = |of: &[u8]| pdf.windows(of.len()).filter(|window| *window == of).count();
        assert_eq!(count(b"/Type /Page\n") + count(b"/Type/Page/"), pages.count());
        assert_eq!(pdf, pages.pdf().expect("a PDF"));
        for number in 0..pages.count() {
            let svg = pages.svg(number).expect("a page");
            if number > 0 {
                let (width, height) = pages.size_mm(number).expect("a page");
                for one in words_of(&svg) {
                    assert!(one.low.0 > 5.0 && one.high.0 < width - 5.0, "'{}' on page {}", one.words, number + 1);
                    assert!(one.low.1 > 5.0 && one.high.1 < height - 5.0, "'{}' on page {}", one.words, number + 1);
                }
            }
        }
    }
}

#[test]
fn marks_lead_to_their_entries_and_back() {
    let layout = example("low_loft");
    let pdf = Pages::of(&layout, Profile::usual(), What::Drawing, terms(Paper::A3, SheetScale::Fit)).pdf();
    let pdf = pdf.expect("a PDF");
    let holds = |of: &[u8]| pdf.windows(of.len()).filter(|window| *window == of).count();
    let site = Site::of(&layout);
    let marked = loftwright::scene::marked(&Findings::of(&site)).count();
    assert!(holds(b"/Subtype/Link") + holds(b"/Subtype /Link") >= marked, "fewer links than marks");
    assert!(holds(b"/Outlines") > 0, "no list of contents");
}
