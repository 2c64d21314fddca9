//! Sheets of every example at every scale and paper: nothing is cut off, nothing covers anything else, lengths are true.

use std::collections::BTreeMap;

use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::{Axis, Site};
use loftwright::rules::{Profile, Voice};
use loftwright::scene::{
    Drawn, Ink, Item, Origin, Pen, PenWidth, Scene, Shape, Theme, View, bounds, draw_dimensions, marked,
};
use loftwright::sheet::pages::{Pages, Terms, What, drawn};
use loftwright::sheet::report::{html, markdown, report};
use loftwright::sheet::{self, Paper, Sheet, SheetScale};
use loftwright::takeoff::Takeoff;

use super::labels::crosses;
use crate::example::example;

const EXAMPLES: [&str; 6] =
    ["feed_and_expansion", "half_described", "level_connections", "low_loft", "sound_direct", "sound_indirect"];
const SCALES: [SheetScale; 4] =
    [SheetScale::Fit, SheetScale::OneTo(10.0), SheetScale::OneTo(20.0), SheetScale::OneTo(50.0)];
const PAPERS: [Paper; 2] = [Paper::A4, Paper::A3];

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

/// What is wrong with the words of a page: cut off nearer to its edge than so much, or lying on each other.
fn faults(svg: &str, (width, height): (f64, f64), edge_mm: f64) -> Vec<String> {
    let words = words_of(svg);
    let mut faults = Vec::new();
    for (at, one) in words.iter().enumerate() {
        let inside =
            one.low.0 > edge_mm && one.low.1 > edge_mm && one.high.0 < width - edge_mm && one.high.1 < height - edge_mm;
        if !inside {
            faults.push(format!("'{}' is cut off", one.words));
        }
        for other in &words[at + 1..] {
            let across = one.high.0.min(other.high.0) - one.low.0.max(other.low.0);
            let down = one.high.1.min(other.high.1) - one.low.1.max(other.low.1);
            if across >= 0.05 && down >= 0.05 {
                faults.push(format!("'{}' covers '{}'", one.words, other.words));
            }
        }
    }
    faults
}

/// The readings that differ on the drawing of a layout: marks alone speak in them.
fn readings(layout: &Layout) -> &'static [Voice] {
    let is_marked = marked(&Findings::of(&Site::of(layout))).next().is_some();
    if is_marked { &Voice::ALL } else { &Voice::ALL[..1] }
}

#[test]
fn no_words_are_cut_off_or_covered_on_any_sheet() {
    for name in EXAMPLES {
        let layout = example(name);
        let (site, profile) = (Site::of(&layout), Profile::usual());
        let findings = Findings::of(&site);
        for paper in PAPERS {
            for (scale, voice) in
                SCALES.into_iter().flat_map(|scale| readings(&layout).iter().map(move |of| (scale, *of)))
            {
                let (scene, sheet) = drawn(&site, profile, &findings, Terms { paper, scale, voice });
                for number in 0..sheet::count(&scene, &sheet) {
                    let svg = sheet::svg_of(&scene, &sheet, number);
                    assert!(words_of(&svg).len() > 10);
                    // The grid reference stands in the border, 5 mm from the edge of the paper.
                    let faults = faults(&svg, paper.size_mm(), 5.0);
                    assert!(
                        faults.is_empty(),
                        "{name} on {paper:?}, {scale:?}, {voice:?}, sheet {}: {faults:?}",
                        number + 1
                    );
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
            assert!(titles.contains(&format!(">{number} of {count}<")), "{name}: sheet {number}");
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

/// The same in the picture: from the outer edge of one dark side of the cistern to that of the other.
#[test]
fn a_cistern_is_as_long_in_the_picture_as_its_scale_says() {
    let layout = example("sound_indirect");
    let cistern = &layout.cisterns[0];
    for scale in [25.0, 50.0] {
        let (mut scene, sheet) = on_sheet(&layout, Paper::A3, SheetScale::OneTo(scale));
        let (low, high) = bounds(&scene).expect("something is drawn");
        // The cistern alone, in the place that it has among all the rest.
        let is_it = |item: &Item| item.origin == Origin::Part(cistern.id.clone());
        scene.items.retain(|item| is_it(item) && matches!(item.shape, Shape::Area { .. }));
        let pen = Pen::solid(Ink::Paper, PenWidth::Hair);
        let corner = |at| Item { origin: Origin::Building, shape: Shape::Line { points: vec![at, at], pen } };
        scene.items.extend([corner(low), corner(high)]);
        let count = sheet::count(&scene, &sheet);
        let spans = (0..count).flat_map(|number| spans_mm(&sheet::svg_of(&scene, &sheet, number)));
        let mut rows: BTreeMap<u64, usize> = BTreeMap::new();
        spans.for_each(|span| *rows.entry((span * 1000.0) as u64).or_default() += 1);
        let (span, _) = rows.into_iter().max_by_key(|(_, rows)| *rows).expect("its sides are seen");
        // Half of each line lies outside.
        let wanted = cistern.length.to_mm() / scale + PenWidth::Medium.mm() * sheet.theme.line_weight;
        let found = span as f64 / 1000.0;
        assert!((found - wanted).abs() < 2.5 / PIXELS_PER_MM, "{found} mm at 1:{scale}, not {wanted}");
    }
}

const PIXELS_PER_MM: f64 = 12.0;

/// From the first to the last dark pixel of each row of an A3 drawing's field that only two upright lines cross.
fn spans_mm(svg: &str) -> Vec<f64> {
    let picture = sheet::pixels(svg, PIXELS_PER_MM).expect("a picture");
    let wide = picture.size[0];
    let pixel = |mm: f64| (mm * PIXELS_PER_MM) as usize;
    let dark = |x: usize, y: usize| picture.rgba[(y * wide + x) * 4..][..3].iter().all(|part| *part < 110);
    let span = |y: usize| {
        let columns: Vec<usize> = (pixel(36.0)..pixel(344.0)).filter(|x| dark(*x, y)).collect();
        let (first, last) = (columns.first()?, columns.last()?);
        (columns.len() < pixel(2.0) && last > first).then(|| (last - first + 1) as f64 / PIXELS_PER_MM)
    };
    (pixel(12.0)..pixel(250.0)).filter_map(span).collect()
}

#[test]
fn every_fitting_has_its_tag_on_the_drawing_on_the_check_sheet_and_in_the_take_off() {
    for name in EXAMPLES {
        let layout = example(name);
        let site = Site::of(&layout);
        let tags: Vec<String> = layout.tagged_fittings().into_iter().map(|tagged| tagged.tag).collect();
        let told: usize = layout.runs.iter().map(|run| run.fittings.as_ref().map_or(0, Vec::len)).sum();
        assert_eq!(tags.len(), told, "{name}");
        for paper in PAPERS {
            for scale in SCALES {
                let (scene, sheet) = on_sheet(&layout, paper, scale);
                let sheets = (0..sheet::count(&scene, &sheet)).map(|number| sheet::svg_of(&scene, &sheet, number));
                let words: Vec<String> = sheets.flat_map(|svg| words_of(&svg)).map(|words| words.words).collect();
                let lost: Vec<&String> = tags.iter().filter(|tag| !words.contains(tag)).collect();
                assert!(lost.is_empty(), "{name} on {paper:?}, {scale:?}: {lost:?} stand nowhere");
            }
        }
        let report = markdown(&report(&site, Profile::usual(), &Findings::of(&site), Voice::Trade));
        let taken = Takeoff::of(&site, loftwright::takeoff::Terms::default());
        for tag in &tags {
            // Commissioning and yearly sheet.
            assert_eq!(report.matches(&format!("- [ ] {tag}, the ")).count(), 2, "{name}: {tag}");
            assert_eq!(taken.lines.iter().filter(|line| line.tags.contains(tag)).count(), 1, "{name}: {tag}");
        }
    }
}

#[test]
fn sheets_of_the_drawing_and_pages_of_the_report_are_counted_together() {
    let layout = example("low_loft");
    let pages = Pages::of(&layout, Profile::usual(), What::Report, terms(Paper::A3, SheetScale::OneTo(20.0)));
    let count = pages.count();
    let site = Site::of(&layout);
    let (scene, sheet) =
        drawn(&site, Profile::usual(), &Findings::of(&site), terms(Paper::A3, SheetScale::OneTo(20.0)));
    let sheets = sheet::count(&scene, &sheet);
    assert!(sheets > 1 && count > sheets + 1);
    for number in 0..count {
        let words: Vec<String> = words_of(&pages.svg(number).expect("a page")).into_iter().map(|of| of.words).collect();
        let said = format!("{} of {count}", number + 1);
        let said = if number < sheets { said } else { format!("sheet {said}") };
        assert!(words.contains(&said), "page {}: no '{said}'", number + 1);
    }
}

/// Letters and figures of the grid reference: on all sides of A3, above and on the right of A4 (ISO 5457, from memory).
#[test]
fn the_border_has_its_grid_reference() {
    let layout = example("sound_indirect");
    for (paper, expected) in
        [(Paper::A3, [("1", 2), ("8", 2), ("A", 2), ("F", 2)]), (Paper::A4, [("1", 1), ("4", 1), ("A", 1), ("F", 1)])]
    {
        let (scene, sheet) = on_sheet(&layout, paper, SheetScale::Fit);
        let words = words_of(&sheet::svg_of(&scene, &sheet, 0));
        let (width, height) = paper.size_mm();
        for (sign, times) in expected {
            let in_border = |of: &&Words| {
                let middle = ((of.low.0 + of.high.0) / 2.0, (of.low.1 + of.high.1) / 2.0);
                of.words == sign
                    && (middle.0 < 20.0 || middle.1 < 10.0 || middle.0 > width - 10.0 || middle.1 > height - 10.0)
            };
            assert_eq!(words.iter().filter(in_border).count(), times, "'{sign}' on {paper:?}");
        }
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
        assert_eq!(pages.size_mm(0), Some((210.0, 297.0)));
        assert_eq!(pages.size_mm(1), Some((210.0, 297.0)));
        let pdf = pages.pdf().expect("a PDF");
        let count = |of: &[u8]| pdf.windows(of.len()).filter(|window| *window == of).count();
        assert_eq!(count(b"/Type /Page\n") + count(b"/Type/Page/"), pages.count());
        assert_eq!(pdf, pages.pdf().expect("a PDF"));
    }
}

#[test]
fn no_words_are_cut_off_or_covered_on_any_page_of_a_report() {
    for name in EXAMPLES {
        let layout = example(name);
        for voice in Voice::ALL {
            let terms = Terms { paper: Paper::A4, scale: SheetScale::Fit, voice };
            let pages = Pages::of(&layout, Profile::usual(), What::Report, terms);
            for number in 0..pages.count() {
                let size = pages.size_mm(number).expect("a page");
                let faults = faults(&pages.svg(number).expect("a page"), size, 5.0);
                assert!(faults.is_empty(), "{name}, {voice:?}, page {}: {faults:?}", number + 1);
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

/// The figures of a report in HTML.
fn figures(layout: &Layout, voice: Voice) -> Vec<String> {
    let site = Site::of(layout);
    let text = html(&report(&site, Profile::usual(), &Findings::of(&site), voice));
    text.split("<figure").skip(1).map(|rest| rest.split("</figure>").next().unwrap_or_default().to_owned()).collect()
}

/// The stretches of a stroked path on a page, as far as a line of SVG is one.
fn stretches_of(line: &str) -> Vec<((f64, f64), (f64, f64))> {
    if !line.starts_with("<path ") || !line.contains(" stroke=") {
        return Vec::new();
    }
    let path = line.split("d=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap_or_default();
    let corner = |pair: &str| {
        let (x, y) = pair.trim().split_once(' ')?;
        Some((x.parse().ok()?, y.parse().ok()?))
    };
    let corners: Vec<(f64, f64)> = path.split(['M', 'L', 'Z']).filter_map(corner).collect();
    corners.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

#[test]
fn no_words_of_a_mark_are_struck_through_in_the_pictures_of_a_report() {
    let red = format!("fill=\"{}\"", Theme::light().colour(Ink::RedPencil));
    let mut struck = Vec::new();
    for (name, voice) in EXAMPLES.into_iter().flat_map(|name| Voice::ALL.map(|voice| (name, voice))) {
        for figure in figures(&example(name), voice) {
            let lines: Vec<_> = figure.lines().flat_map(stretches_of).collect();
            let red: Vec<&str> = figure.lines().filter(|line| line.contains(&red)).collect();
            let crossed = words_of(&red.join("\n")).into_iter().filter(|words| {
                // Letters are a little smaller than their box.
                let low = (words.low.0 + 0.15, words.low.1 + 0.15);
                let high = (words.high.0 - 0.15, words.high.1 - 0.15);
                lines.iter().any(|(from, to)| crosses((*from).into(), (*to).into(), low.into(), high.into()))
            });
            struck.extend(crossed.map(|words| format!("{name}, {voice:?}: '{}'", words.words)));
        }
    }
    assert!(struck.is_empty(), "{struck:#?}");
}

#[test]
fn the_drawing_of_a_picture_ends_above_its_caption() {
    for figure in figures(&example("low_loft"), Voice::Trade) {
        let (drawn, caption) = figure.rsplit_once("</svg>\n<path").expect("the drawing is a picture in the picture");
        assert!(drawn.contains("<svg x=\"0\" y=\"0\""), "{drawn}");
        assert_eq!(caption.matches("<text ").count(), 1, "{caption}");
    }
}

/// Each thing to find out is measured at one place, though several rules wait for it.
#[test]
fn a_number_of_what_to_find_out_stands_in_one_picture() {
    let layout = example("half_described");
    let site = Site::of(&layout);
    let text = html(&report(&site, Profile::usual(), &Findings::of(&site), Voice::Trade));
    let chapter = text.split("<h2>To find out on site</h2>").nth(1).expect("there is much to find out");
    let chapter = chapter.split("<h2>").next().expect("it ends");
    let words = words_of(chapter).into_iter().map(|words| words.words);
    let mut numbers: Vec<u32> = words.filter_map(|words| words.parse().ok()).collect();
    assert!(numbers.len() > 20, "{numbers:?}");
    numbers.sort_unstable();
    assert!(numbers.windows(2).all(|pair| pair[0] != pair[1]), "{numbers:?}");
}
