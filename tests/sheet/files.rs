//! What is handed over: the drawing as PDF and DXF, the report in its forms and readings, the take-off as CSV.

use loftwright::finding::Findings;
use loftwright::layout::{Id, Layout};
use loftwright::measure::Site;
use loftwright::rules::{Profile, Verdict, Voice};
use loftwright::scene::{self, Marks, Scene, Theme};
use loftwright::sheet::pages::{Terms as PageTerms, drawn};
use loftwright::sheet::report::{Block, Document, html, markdown, report, report_on_quote};
use loftwright::sheet::{self, Paper, Sheet, SheetScale, takeoff_csv};
use loftwright::takeoff::quote::{Answer, Told, lines_of_text};
use loftwright::takeoff::{Bill, Reckoning, Takeoff, Terms};

use crate::example::example;

fn scene_of(layout: &Layout) -> Scene {
    let site = Site::of(layout);
    scene::draw(&site, &Findings::of(&site), &Marks::default())
}

fn sheet_of(layout: &Layout, paper: Paper, scale: SheetScale) -> Sheet {
    Sheet {
        theme: Theme::light().clone(),
        scale,
        paper,
        heading: layout.heading.clone(),
        voice: Voice::Trade,
        counts: String::new(),
        judged_by: Profile::usual().judged_by(),
    }
}

fn contains(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|window| window == text.as_bytes())
}

#[test]
fn a_pdf_has_the_size_of_its_paper_and_brings_its_typefaces() {
    let layout = example("sound_indirect");
    let scene = scene_of(&layout);
    for (paper, width, height) in [(Paper::A3, 1190.55, 841.89), (Paper::A4, 595.28, 841.89)] {
        let pdf = sheet::pdf(&scene, &sheet_of(&layout, paper, SheetScale::Fit)).expect("a PDF");
        assert!(pdf.starts_with(b"%PDF-"));
        assert!(contains(&pdf, "/FontFile2") || contains(&pdf, "/FontFile3"), "no typeface is embedded");
        assert!(contains(&pdf, "/ToUnicode"), "words cannot be selected");
        let at = pdf.windows(9).position(|window| window == b"/MediaBox").expect("a media box");
        let text = String::from_utf8_lossy(&pdf[at..at + 60]).into_owned();
        let numbers = text.split(['[', ']']).nth(1).expect("brackets").split_whitespace();
        let numbers: Vec<f64> = numbers.map(|number| number.parse().expect("a number")).collect();
        assert!((numbers[2] - width).abs() < 0.01 && (numbers[3] - height).abs() < 0.01, "{text}");
    }
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    let layout = example("feed_and_expansion");
    let scene = scene_of(&layout);
    let sheet = sheet_of(&layout, Paper::A3, SheetScale::OneTo(50.0));
    assert_eq!(sheet::pdf(&scene, &sheet).expect("a PDF"), sheet::pdf(&scene, &sheet).expect("a PDF"));
    assert_eq!(sheet::dxf(&layout, &scene, 50.0, &[]), sheet::dxf(&layout, &scene, 50.0, &[]));
}

/// Group codes and values of a DXF text.
fn pairs(text: &str) -> Vec<(u16, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len() % 2, 0, "a code without a value");
    lines.chunks(2).map(|pair| (pair[0].trim().parse().expect("a group code"), pair[1])).collect()
}

#[test]
fn a_dxf_is_in_section_millimetres_on_layers_by_trade() {
    let layout = example("sound_indirect");
    let text = sheet::dxf(&layout, &scene_of(&layout), 25.0, &["a changed limit".to_owned()]);
    for note in [layout.heading.title.as_str(), "a changed limit", "An aid, not a certificate"] {
        assert!(text.contains(note), "{note}");
    }
    let pairs = pairs(&text);
    // The cistern is 914 mm long from x 1500, with its base at 5278 and its rim at 5862.
    let mut corners: Vec<(f64, f64)> = Vec::new();
    let mut on_vessels = false;
    for (at, (code, value)) in pairs.iter().enumerate() {
        match (code, *value) {
            (0, "VERTEX") => on_vessels = pairs[at + 1] == (8, "VESSELS"),
            (0, _) => on_vessels = false,
            (10, x) if on_vessels => corners.push((x.parse().expect("x"), pairs[at + 1].1.parse().expect("y"))),
            _ => {}
        }
    }
    for corner in [(1500.0, 5278.0), (2414.0, 5278.0), (2414.0, 5862.0), (1500.0, 5862.0)] {
        let near = |&(x, y): &(f64, f64)| (x - corner.0).abs() < 1e-6 && (y - corner.1).abs() < 1e-6;
        assert!(corners.iter().any(near), "no corner at {corner:?}");
    }
    let layers: Vec<&str> = pairs.iter().filter(|(code, _)| *code == 8).map(|(_, value)| *value).collect();
    for layer in ["BUILDING", "PLATFORMS", "PIPES-COLD", "PIPES-HOT", "PIPES-OPEN", "PIPES-MAINS", "PIPES-PRIMARY"] {
        assert!(layers.contains(&layer), "nothing is on {layer}");
    }
    assert!(text.is_ascii());
}

fn report_of(layout: &Layout, voice: Voice) -> Document {
    let site = Site::of(layout);
    report(&site, Profile::usual(), &Findings::of(&site), voice)
}

/// A layout of the sound example with two faults and one thing untold.
fn faulty() -> Layout {
    let mut layout = example("sound_indirect");
    layout.cisterns[0].lid = None;
    let vent = layout.runs.iter_mut().find(|run| run.id == Id::of("open-vent")).expect("the vent");
    vent.to = loftwright::layout::End::Open(loftwright::geom::Point::mm(2300.0, 5700.0));
    layout
}

#[test]
fn a_report_has_every_finding_with_working_remedy_and_source() {
    let layout = faulty();
    let site = Site::of(&layout);
    let findings = Findings::of(&site);
    let text = markdown(&report_of(&layout, Voice::Trade));
    for finding in findings.iter() {
        let id = finding.rule.id;
        let named = format!("{} ({id})", finding.rule.prose.title(Voice::Trade));
        match finding.judged.verdict {
            Verdict::Breach | Verdict::Marginal => {
                assert!(text.contains(&format!("**Rule:** {named}")), "{id}");
                assert!(finding.remedies().iter().all(|remedy| text.contains(&format!("- {remedy}"))), "{id}");
                assert!(finding.working().iter().all(|line| text.contains(&format!("    {line}\n"))), "{id}");
            }
            Verdict::Unknown => {
                let title = finding.rule.prose.title(Voice::Trade);
                assert!(text.lines().any(|line| line.starts_with("- [ ] ") && line.contains(title)), "{id}");
            }
            Verdict::Meets => assert!(text.contains(&format!("| {named} | ")), "{id}"),
        }
    }
    assert!(findings.counts().breach > 0 && findings.counts().unknown > 0);
    for chapter in ["What was checked", "What is assumed", "Commissioning sheet", "Yearly sheet", "Cautions"] {
        assert!(text.contains(&format!("## {chapter}\n")), "{chapter}");
    }
}

#[test]
fn what_timber_leaves_out_is_among_what_is_assumed() {
    let is_told = |name: &str| {
        let text = markdown(&report_of(&example(name), Voice::Trade));
        let chapter = text.split("## What is assumed\n").nth(1).and_then(|rest| rest.split("\n## ").next());
        chapter.expect("the chapter").contains("What shear adds to the bending of timber")
    };
    assert!(is_told("sound_indirect"), "its bearers lie over three joists");
    assert!(!is_told("half_described"), "of whose bearers nothing is known");
}

#[test]
fn each_reading_has_its_own_words() {
    let layout = faulty();
    let breach = Findings::of(&Site::of(&layout)).get(0).cloned().expect("a finding");
    assert_eq!(breach.judged.verdict, Verdict::Breach);
    for voice in Voice::ALL {
        let document = report_of(&layout, voice);
        let words = breach.words(voice);
        let holds = |block: &Block| matches!(block, Block::Named(_, text) if *text == words);
        assert!(document.blocks.iter().any(holds), "{voice:?}");
        let others = Voice::ALL.into_iter().filter(|other| *other != voice && *other != Voice::Trade);
        for other in others {
            let words = breach.words(other);
            assert!(!document.blocks.iter().any(|block| matches!(block, Block::Named(_, text) if *text == words)));
        }
    }
}

#[test]
fn check_sheets_name_what_the_layout_has() {
    let layout = example("sound_indirect");
    let document = report_of(&layout, Voice::Trade);
    let chapter = |name: &str| -> Vec<String> {
        let at = document.blocks.iter().position(|block| *block == Block::Chapter(name.to_owned())).expect("a chapter");
        match &document.blocks[at + 1] {
            Block::ToTick(points) => points.clone(),
            other => panic!("{other:?}"),
        }
    };
    let commissioning = chapter("Commissioning sheet");
    let valves: usize = layout.runs.iter().map(|run| run.fittings.as_ref().map_or(0, Vec::len)).sum();
    let named =
        commissioning.iter().filter(|point| ["valve of", "drain cock of", "pump of"].iter().any(|w| point.contains(w)));
    assert_eq!(named.count(), valves);
    assert!(commissioning.iter().any(|point| point.contains("fills to 410 mm above its base")));
    assert!(commissioning.iter().any(|point| point.contains("heats to 60 °C")));
    let yearly = chapter("Yearly sheet");
    assert!(yearly.iter().any(|point| point.contains("screen of the warning pipe is whole")));
    assert!(yearly.iter().any(|point| point.contains("cistern platform is dry")));
}

#[test]
fn a_report_sets_a_quote_against_the_drawing() {
    let layout = example("low_loft");
    let site = Site::of(&layout);
    let findings = Findings::of(&site);
    let text = "Gate valve 28mm\nLid not included\n50 gallon polytank\nMagic box <b>£5</b>\n28 hot & cold to bathroom";
    let quote = lines_of_text(text);
    let told = vec![Told::of(3, "50 gallon polytank", "cistern", Answer::Is)];
    let bill = Bill::of(&site, &findings, &Reckoning { quote, told, ..Reckoning::default() });
    let quote = bill.quote.as_ref().expect("a quote");
    for voice in Voice::ALL {
        let document = report_on_quote(&site, Profile::usual(), &findings, voice, Some(quote));
        let chapters = |document: &Document| -> Vec<String> {
            let chapter = |block: &Block| if let Block::Chapter(words) = block { Some(words.clone()) } else { None };
            document.blocks.iter().filter_map(chapter).collect()
        };
        assert!(chapters(&document).contains(&"The quote".to_owned()));
        assert!(!chapters(&report_of(&layout, voice)).contains(&"The quote".to_owned()));
        let (markdown, html) = (markdown(&document), html(&document));
        assert!(html.contains("Magic box &lt;b&gt;£5&lt;/b&gt;") && !html.contains("Magic box <b>"));
        for text in [&markdown, &html] {
            for words in ["Contradicted", "Left out", "Covered", "Not mentioned", "What to ask"] {
                assert!(text.contains(words), "{words}: {text}");
            }
            assert!(text.contains("Lines of which no words were known"));
            assert!(text.contains(&quote.how_matched()));
            // Its own words stay as they are, in whatever reading.
            assert!(text.contains("Quoted, confirmed: '50 gallon polytank'"));
            assert!(text.contains("Quoted, not confirmed: 'Lid not included'"));
        }
        let questions = quote.questions.len();
        assert!(questions > 3 && markdown.matches("of the text").count() > 5, "{questions}");
    }
}

#[test]
fn html_is_one_file_in_which_words_stay_words() {
    let mut layout = faulty();
    layout.heading.title = "<script>alert(1)</script> & more".to_owned();
    let text = html(&report_of(&layout, Voice::Plain));
    assert!(text.contains("<title>&lt;script&gt;alert(1)&lt;/script&gt; &amp; more</title>"));
    assert!(!text.contains("<script>") && !text.contains("http") && !text.contains("src="));
    for tag in ["h2", "h3", "p", "ul", "li", "table", "tr", "pre"] {
        let (open, close) = (text.matches(&format!("<{tag}>")).count(), text.matches(&format!("</{tag}>")).count());
        let with_class =
            [" class", " id"].iter().map(|more| text.matches(&format!("<{tag}{more}=")).count()).sum::<usize>();
        assert_eq!(open + with_class, close, "{tag}");
    }
}

/// What is written of the examples as it was last read through and found good. `UPDATE_GOLDEN=1` takes the new one.
fn assert_as_before(text: &str, name: &str) {
    let path = format!("{}/tests/golden/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(&path, text).expect("the golden file can be written");
    }
    let golden = std::fs::read_to_string(&path).unwrap_or_else(|_| panic!("tests/golden/{name} is not there"));
    let differs = text.lines().zip(golden.lines()).position(|(new, old)| new != old);
    assert!(text == golden, "{name} differs from line {differs:?}; read it, then run with UPDATE_GOLDEN=1");
}

#[test]
fn the_take_off_of_the_example_is_as_before() {
    let layout = example("sound_indirect");
    let text = takeoff_csv(&Takeoff::of(&Site::of(&layout), Terms::default()), None);
    assert_as_before(&text, "sound_indirect_takeoff.csv");
}

#[test]
fn the_report_of_an_example_is_as_before() {
    for (voice, name) in [(Voice::Trade, "trade"), (Voice::Teaching, "teaching"), (Voice::Plain, "plain")] {
        let text = markdown(&report_of(&example("half_described"), voice));
        assert_as_before(&text, &format!("half_described_{name}.md"));
    }
}

#[test]
fn the_sheet_of_an_example_is_as_before() {
    let layout = example("low_loft");
    let site = Site::of(&layout);
    let terms = PageTerms { paper: Paper::A3, scale: SheetScale::Fit, voice: Voice::Trade };
    let (scene, sheet) = drawn(&site, Profile::usual(), &Findings::of(&site), terms);
    assert_as_before(&sheet::svg(&scene, &sheet), "low_loft_a3.svg");
}

#[test]
fn each_finding_has_its_picture_in_html() {
    let layout = faulty();
    let document = report_of(&layout, Voice::Trade);
    let text = html(&document);
    let findings = Findings::of(&Site::of(&layout));
    let marked = scene::marked(&findings).count();
    assert_eq!(text.matches("<h3 id=").count(), marked);
    let mut last: Option<&Block> = None;
    for block in &document.blocks {
        if let Some(Block::Entry(name, _)) = last {
            assert!(matches!(block, Block::Pictures(pictures) if pictures.len() == 1), "{name} has no picture");
        }
        last = Some(block);
    }
    // What is met is shown by part, and so is what has to be found out.
    let galleries = document.blocks.iter().filter_map(|block| match block {
        Block::Pictures(pictures) => Some(pictures.len()),
        _ => None,
    });
    assert!(galleries.max() > Some(10));
    assert_eq!(text.matches("<svg ").count(), text.matches("</svg>").count());
    assert_eq!(text.matches("<figure").count(), text.matches("<svg role=").count());
}
