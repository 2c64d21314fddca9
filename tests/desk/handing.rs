//! The views Take-off and Sheet, reached and read by name, and the files that they write.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loftwright::desk::{Action, Aspect, Command, Desk, Form, Handing, Sought};
use loftwright::layout::Layout;
use loftwright::rules::{Profile, Voice};
use loftwright::session::Session;
use loftwright::session::settings::{HandOver, PaperSize, Settings};
use loftwright::sheet::pages::{Pages, Terms, What};
use loftwright::sheet::{Paper, SheetScale};

use crate::asking::{ask, give, press};
use crate::example::example;
use crate::reading::{lines, says};
use crate::screen;

fn window_of(layout: Layout, size: egui::Vec2) -> Harness<'static, Desk> {
    screen::show(Desk::new(Session::new(layout)), size)
}

fn window(layout: Layout) -> Harness<'static, Desk> {
    window_of(layout, vec2(1360.0, 1600.0))
}

/// Lets frames pass until the file under way is done.
fn until_said(harness: &mut Harness<'_, Desk>, words: &str) {
    let begun = Instant::now();
    while !harness.state().outlook().said.contains(words) {
        assert!(begun.elapsed() < Duration::from_secs(60), "'{}' instead of '{words}'", harness.state().outlook().said);
        std::thread::sleep(Duration::from_millis(20));
        harness.step();
    }
}

#[test]
fn keys_lead_to_the_two_views_and_back() {
    let mut harness = window(example("sound_indirect"));
    press(&mut harness, Key::Num5);
    assert_eq!(harness.state().outlook().aspect, Aspect::TakeOff);
    assert!(says(&harness, "Pipes and fittings") && says(&harness, "Cutting list of tube"));
    press(&mut harness, Key::Num7);
    assert_eq!(harness.state().outlook().aspect, Aspect::Sheet);
    harness.get_by_role_and_label(Role::Image, "Page 1 as it is printed");
    press(&mut harness, Key::Num1);
    assert!(harness.query_by_role_and_label(Role::Canvas, "Section drawing").is_some());
}

#[test]
fn a_quote_is_set_against_the_list_and_someone_confirms_or_puts_right() {
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::Look(Aspect::TakeOff));
    let field = "Lines of the quote";
    harness.get_by_label(field).focus();
    harness.run();
    let quote = "25 gal cistern\ngate valves 22 mm, 2 off\nsundries";
    harness.get_by_label(field).type_text(quote);
    harness.run();
    for words in ["Contradicted", "Not mentioned", "Cistern lid", "What to ask", "line 3: 'sundries'"] {
        assert!(says(&harness, words), "no line with '{words}'");
    }
    let confirm = "Line 1 is about cistern";
    harness.get_by_role_and_label(Role::CheckBox, confirm).click();
    harness.run();
    assert_eq!(lines(&harness, "line 1: '25 gal cistern'").len(), 1);
    let name = "Line 1 is not about cistern";
    harness.get_by_role_and_label(Role::Button, name).click();
    harness.run();
    assert!(harness.query_by_role_and_label(Role::CheckBox, confirm).is_none(), "the match stands in spite of 'wrong'");
    // The line is about nothing now, and is asked about.
    assert!(says(&harness, "hat is '25 gal cistern' (line 1 of the text) for"));
    harness.get_by_role_and_label(Role::Button, "Ask again whether line 1 is about cistern").click();
    harness.run();
    assert!(harness.query_by_role_and_label(Role::CheckBox, confirm).is_some(), "'wrong' is taken back");
}

#[test]
fn prices_come_from_the_users_file_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("prices.csv");
    std::fs::write(&path, "what,size,unit,price\ngate valve,22 mm,no,10\nstop valve,15 mm,no,2.50\n").expect("writes");
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::Look(Aspect::TakeOff));
    assert!(!says(&harness, "cost"));
    ask(&mut harness, Action::Hand(Handing::Found(Sought::Prices, path)));
    // Two gate valves and one stop valve.
    assert!(says(&harness, "22.50 for what has a price in prices.csv"), "{:?}", lines(&harness, "price"));
    assert!(says(&harness, "cost") && says(&harness, "20.00"));
}

#[test]
fn files_are_written_as_they_are_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = example("low_loft");
    let mut harness = window(layout.clone());
    harness.state_mut().push(Action::Command(Command::Look(Aspect::Sheet)));
    let chosen = HandOver { paper: PaperSize::A4, scale: Some(50), ..HandOver::default() };
    ask(&mut harness, Action::Hand(Handing::Choose(chosen)));
    harness.get_by_role_and_label(Role::Button, "Next page").click();
    harness.run();
    for (form, begins) in [
        (Form::DrawingPdf, "%PDF-"),
        (Form::DrawingSvg, "<svg"),
        (Form::DrawingDxf, "  0\nSECTION"),
        (Form::ReportHtml, "<!DOCTYPE html>"),
        (Form::ReportMarkdown, "# "),
        (Form::TakeoffCsv, "trade,what"),
        (Form::TakeoffJson, "{\"file\":"),
        (Form::PriceListCsv, "what,size,unit,price"),
    ] {
        let path = folder.path().join(format!("out.{}", form.ending()));
        harness.state_mut().push(Action::Hand(Handing::Found(Sought::Export(form), path.clone())));
        harness.step();
        until_said(&mut harness, &path.display().to_string());
        let bytes = std::fs::read(&path).expect("it is written");
        assert!(bytes.starts_with(begins.as_bytes()), "{form:?}");
        let terms = Terms { paper: Paper::A4, scale: SheetScale::OneTo(50.0), voice: Voice::Trade };
        let pages = || Pages::of(&layout, Profile::usual(), What::Drawing, terms);
        match form {
            Form::DrawingPdf => assert_eq!(bytes, pages().pdf().expect("a PDF")),
            Form::DrawingSvg => assert_eq!(String::from_utf8(bytes).ok(), pages().svg(1), "the page that is shown"),
            _ => {}
        }
    }
    assert!(says(&harness, "Page 2 of"));
    harness.state_mut().push(Action::Command(Command::Example(0)));
    harness.run();
    assert!(says(&harness, "Page 1 of"), "another drawing begins at its first page");
}

#[test]
fn window_and_command_line_hand_over_the_same_list() {
    let folder = tempfile::tempdir().expect("a folder");
    let prices = folder.path().join("prices.csv");
    std::fs::write(&prices, "what,size,unit,price\ngate valve,22 mm,no,10\n").expect("writes");
    let quote = folder.path().join("quote.csv");
    std::fs::write(&quote, "item,number\ncistern 25 gal,1\n,\n\"gate valves, 22 mm\",2\n").expect("writes");
    for name in ["sound_indirect", "half_described"] {
        let path = PathBuf::from(format!("examples/{name}.loft.ron"));
        let session = Session::open(&path).expect("it opens");
        let mut harness = screen::show(Desk::new(session), vec2(1360.0, 900.0));
        for (sought, file) in [(Sought::Prices, &prices), (Sought::Quote, &quote)] {
            harness.state_mut().push(Action::Hand(Handing::Found(sought, file.clone())));
        }
        for (form, flags) in [(Form::TakeoffCsv, &["--csv"][..]), (Form::TakeoffJson, &["--json", "--quote"])] {
            let out = folder.path().join(format!("{name}.{}", form.ending()));
            harness.state_mut().push(Action::Hand(Handing::Found(Sought::Export(form), out.clone())));
            harness.step();
            until_said(&mut harness, &out.display().to_string());
            let (path, prices, quote) =
                (path.display().to_string(), prices.display().to_string(), quote.display().to_string());
            let mut arguments = vec!["takeoff", &path, "--prices", &prices];
            arguments.extend(flags);
            arguments.extend(flags.contains(&"--quote").then_some(quote.as_str()));
            let (mut printed, mut complaints) = (Vec::new(), Vec::new());
            loftwright::cli::run(arguments.iter().map(std::ffi::OsString::from), &mut printed, &mut complaints);
            assert_eq!(String::from_utf8_lossy(&complaints), "");
            assert!(std::fs::read(&out).expect("it is written") == printed, "{name} as {form:?}");
        }
    }
}

#[test]
fn a_file_under_way_can_be_cancelled() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("large.png");
    let mut harness = window(example("sound_indirect"));
    harness.state_mut().push(Action::Command(Command::Look(Aspect::Sheet)));
    let chosen = HandOver { dpi: 600, ..HandOver::default() };
    ask(&mut harness, Action::Hand(Handing::Choose(chosen)));
    assert!(harness.query_by_role_and_label(Role::Button, "Cancel").is_none());
    harness.state_mut().push(Action::Hand(Handing::Found(Sought::Export(Form::DrawingPng), path.clone())));
    harness.step();
    harness.step();
    harness.get_by_role_and_label(Role::Button, "Cancel").click();
    harness.step();
    harness.step();
    assert_eq!(harness.state().outlook().said, "Cancelled: no file is written");
    assert!(harness.query_by_role_and_label(Role::Button, "Cancel").is_none());
    // Another file can be made at once, and is the only one.
    let next = folder.path().join("next.csv");
    harness.state_mut().push(Action::Hand(Handing::Found(Sought::Export(Form::TakeoffCsv), next.clone())));
    harness.step();
    until_said(&mut harness, &next.display().to_string());
    assert!(!path.exists());
}

#[test]
fn choices_are_remembered() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = window(example("sound_indirect"));
    harness.state_mut().remember_in(folder.path().to_owned());
    harness.state_mut().push(Action::Command(Command::Escape));
    harness.state_mut().push(Action::Command(Command::Look(Aspect::Sheet)));
    let chosen = HandOver { paper: PaperSize::A4, scale: Some(20), dpi: 600, ..HandOver::default() };
    ask(&mut harness, Action::Hand(Handing::Choose(chosen.clone())));
    assert_eq!(Settings::read(folder.path()).hand_over, chosen);
    let terms = Terms { paper: Paper::A4, scale: SheetScale::OneTo(20.0), voice: Voice::Trade };
    let count = Pages::of(&example("sound_indirect"), Profile::usual(), What::Drawing, terms).count();
    assert!(says(&harness, &format!("Page 1 of {count}")), "{:?}", lines(&harness, "Page 1"));
}

#[test]
fn a_quote_is_there_again_with_its_answers_when_its_layout_is_opened() {
    let folder = tempfile::tempdir().expect("a folder");
    let (state, house) = (folder.path().join("state"), folder.path().join("house.loft.ron"));
    let mut harness = window(example("sound_indirect"));
    harness.state_mut().remember_in(state.clone());
    harness.state_mut().push(Action::Command(Command::Escape));
    harness.state_mut().push(Action::SaveTo(house.clone()));
    give(&mut harness, Command::Look(Aspect::TakeOff));
    let (field, quote) = ("Lines of the quote", "25 gal cistern");
    harness.get_by_label(field).focus();
    harness.run();
    harness.get_by_label(field).type_text(quote);
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Line 1 is not about cistern").click();
    harness.run();
    let mut again = window(example("low_loft"));
    again.state_mut().remember_in(state);
    give(&mut again, Command::Look(Aspect::TakeOff));
    assert_eq!(again.get_by_label(field).value().unwrap_or_default(), "", "another house has no quote yet");
    ask(&mut again, Action::OpenPath(house));
    assert_eq!(again.get_by_label(field).value().as_deref(), Some(quote));
    assert!(
        again.query_by_role_and_label(Role::CheckBox, "Line 1 is about cistern").is_none(),
        "it was said not to be"
    );
}

#[test]
fn a_file_that_is_there_is_asked_about_before_it_is_replaced() {
    let folder = tempfile::tempdir().expect("a folder");
    let path: PathBuf = folder.path().join("mine.csv");
    std::fs::write(&path, "mine").expect("writes");
    let mut harness = window(example("sound_indirect"));
    harness.state_mut().push(Action::Command(Command::Look(Aspect::TakeOff)));
    ask(&mut harness, Action::Hand(Handing::Seek(Sought::Export(Form::TakeoffCsv))));
    harness.get_by_role_and_label(Role::TextInput, "Path of the file").type_text(&path.display().to_string());
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Write").click();
    harness.run();
    assert!(says(&harness, "There is a file of this name already"));
    assert_eq!(std::fs::read_to_string(&path).expect("reads"), "mine");
    harness.get_by_role_and_label(Role::Button, "Write").click();
    harness.step();
    until_said(&mut harness, "mine.csv");
    assert!(std::fs::read_to_string(&path).expect("reads").starts_with("trade,what"));
}

#[test]
fn what_is_handed_over_is_of_the_layout_that_is_open() {
    let opened = |harness: &mut Harness<'_, Desk>, name: &str| {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.loft.ron"));
        harness.state_mut().push(Action::OpenPath(path));
        give(harness, Command::Look(Aspect::TakeOff));
        lines(harness, " m ")
    };
    let mut harness = window(Layout::default());
    let of_the_first = opened(&mut harness, "sound_indirect");
    let of_the_second = opened(&mut harness, "low_loft");
    assert_ne!(of_the_second, of_the_first);
    assert_eq!(of_the_second, opened(&mut window(Layout::default()), "low_loft"));
}
