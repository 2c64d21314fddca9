//! The take-off: lines counted by hand from an example, cutting lists against print and reference cases, prices, quotes.

mod example;
mod generated;
mod quotes;

use loftwright::catalogue::PlyClass;
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::{Frame, Id, InLineKind, Lagging, Layout};
use loftwright::measure::Site;
use loftwright::rules::Voice;
use loftwright::sheet::price_list_csv;
use loftwright::takeoff::boards::SheetStock;
use loftwright::takeoff::cutting::{Stock, cut};
use loftwright::takeoff::prices::PriceList;
use loftwright::takeoff::quote::{Comparison, State, compare, lines_of_csv, lines_of_text};
use loftwright::takeoff::{Item, Line, Takeoff, Terms, Trade, board_cuttings, tube_cuttings};
use loftwright::units::{Length, Size};

use example::example;

fn taken(layout: &Layout) -> Takeoff {
    Takeoff::of(&Site::of(layout), Terms::default())
}

fn quantity(takeoff: &Takeoff, what: &str, size: &str) -> f64 {
    let mut lines = takeoff.lines.iter().filter(|line| line.what == what && line.size == size);
    let line = lines.next().unwrap_or_else(|| panic!("no line '{what}', '{size}'"));
    assert!(lines.next().is_none(), "'{what}', '{size}' stands twice");
    line.quantity.unwrap_or_else(|| panic!("'{what}', '{size}' is not told"))
}

#[test]
fn the_list_stands_in_the_order_of_the_work() {
    use Trade::{Cisterns, Insulation, Pipes, Platforms, Vessels, Weights};
    let takeoff = taken(&example("sound_indirect"));
    let mut trades: Vec<Trade> = takeoff.lines.iter().map(|line| line.trade).collect();
    trades.dedup();
    assert_eq!(trades, [Platforms, Cisterns, Vessels, Pipes, Insulation, Weights]);
    let last_of = |item: Item| takeoff.lines.iter().rposition(|line| line.item == item).expect("a line");
    let first_of = |item: Item| takeoff.lines.iter().position(|line| line.item == item).expect("a line");
    let order = [Item::Tube, Item::Tee, Item::TankConnector, Item::Valve(InLineKind::GateValve), Item::Clip];
    for pair in order.windows(2) {
        assert!(last_of(pair[0]) < first_of(pair[1]), "{pair:?}");
    }
}

/// Two platforms of 18 mm ply; the class of the second alone is not told.
fn two_boards(length_mm: f64, depth_mm: f64) -> Layout {
    let text = format!(
        r#"(format: 1, platforms: [
            (id: "upper", at: (0, 0), length: {length_mm}, depth: {depth_mm}, board: (material: MarinePly, thickness: 18, class: F20E40)),
            (id: "lower", at: (4000, 0), length: {length_mm}, depth: {depth_mm}, board: (material: MarinePly, thickness: 18)),
        ])"#
    );
    file::parse(&text, "two boards").expect("reads")
}

#[test]
fn a_board_of_untold_class_shares_a_sheet_where_that_saves_one() {
    let cuttings = |layout: &Layout| board_cuttings(layout, SheetStock::default());
    let shared = cuttings(&two_boards(1200.0, 900.0));
    assert_eq!(shared.len(), 1);
    assert_eq!(shared[0].platforms, ["upper", "lower (its class is not told)"]);
    assert_eq!((shared[0].cutting.sheets.len(), shared[0].of.contains("class F20 E40")), (1, true), "{}", shared[0].of);
    // Each takes a sheet of its own: no class is taken for told where that saves nothing.
    let apart = cuttings(&two_boards(1600.0, 900.0));
    assert_eq!(apart.iter().map(|kind| kind.cutting.sheets.len()).collect::<Vec<_>>(), [1, 1]);
    // Nor is one of another thickness.
    let mut unlike = two_boards(1200.0, 900.0);
    unlike.platforms[1].board.as_mut().expect("a board").thickness = Some(Size::mm(25.0));
    assert_eq!(cuttings(&unlike).len(), 2);
    let mut told = two_boards(1200.0, 900.0);
    told.platforms[1].board.as_mut().expect("a board").class = Some(PlyClass::F30E60);
    assert_eq!(cuttings(&told).len(), 2);
}

/// What is bought covers each place once: where two pieces overlap, the thicker.
#[test]
fn insulation_that_overlaps_is_bought_once() {
    let mut layout = example("sound_indirect");
    let number = layout.runs.iter().position(|run| run.id == Id::of("rising-main")).expect("there");
    let whole = layout.runs[number].insulation.as_ref().expect("told")[0];
    let piece = |from_mm: f64, to_mm: f64, thick_mm: f64| Lagging {
        from: Length::mm(from_mm),
        to: Length::mm(to_mm),
        thickness: Some(Size::mm(thick_mm)),
        ..whole
    };
    let mut metres = |list: Vec<Lagging>| {
        layout.runs[number].insulation = Some(list);
        let lines = taken(&layout).lines.into_iter().filter(|line| line.item == Item::Lagging);
        let on_main = lines.filter(|line| line.parts.contains(&Id::of("rising-main")));
        on_main.map(|line| (line.quantity.expect("told"), line.working.join("; "))).collect::<Vec<_>>()
    };
    let near = |have: f64, by_hand: f64| assert!((have - by_hand).abs() < 1e-9, "{have} m, by hand {by_hand} m");
    let drawn = metres(vec![piece(0.0, 5900.0, 25.0)]);
    for list in [
        vec![piece(5900.0, 0.0, 25.0)],
        vec![piece(0.0, 4000.0, 25.0), piece(3000.0, 5900.0, 25.0)],
        vec![piece(5900.0, 3000.0, 25.0), piece(-200.0, 4000.0, 25.0)],
    ] {
        assert_eq!(metres(list), drawn);
    }
    let of_two = metres(vec![piece(0.0, 4000.0, 11.0), piece(3000.0, 5800.0, 37.0)]);
    near(of_two[0].0, 3.0);
    near(of_two[1].0, 2.8);
    assert!(of_two[1].1.contains("from 3000 to 5800 mm along it, where two kinds"), "{}", of_two[1].1);
}

/// Counted by hand from the file of the example.
#[test]
fn the_sound_example_is_counted_as_by_hand() {
    let takeoff = taken(&example("sound_indirect"));
    for (what, size, expected) in [
        // The cold feed and the cold distribution.
        ("gate valve", "22 mm", 2.0),
        // Float valve, basin cold, WC, basin hot.
        ("servicing valve", "15 mm", 4.0),
        ("stop valve", "15 mm", 1.0),
        // Cold feed, cold distribution, draw-off, primary return.
        ("drain cock", "22 mm", 4.0),
        ("pump", "22 mm", 1.0),
        // Basin cold and basin hot go straight on where 22 mm turns up to the bath; the WC off 15 mm; the vent off the draw-off.
        ("tee", "22 mm and 15 mm to 22 mm", 2.0),
        ("tee", "15 mm", 1.0),
        ("tee", "22 mm", 1.0),
        // Warning pipe, cold feed, distribution.
        ("tank connector", "22 mm", 3.0),
        // Cold inlet, draw-off, two of the coil.
        ("connection to a cylinder", "22 mm", 4.0),
        ("connection to a boiler", "22 mm", 2.0),
        ("bearers", "47 × 100 mm, class C16", 4.0 * 1.24),
        ("marine ply", "18 mm, class F20 E40", 1.24 * 0.96),
        ("marine ply", "18 mm", 0.55 * 0.55),
        ("screen for a pipe's end", "22 mm, openings 0.65 mm", 1.0),
        ("dip tube inside the warning pipe's connection", "down to 380 mm above the base", 1.0),
        ("cistern lid, rigid and close-fitting", "for 914 × 610 mm", 1.0),
    ] {
        let counted = quantity(&takeoff, what, size);
        assert!((counted - expected).abs() < 1e-9, "{what}, {size}: {counted}, by hand {expected}");
    }
}

/// What it is made of nobody has told, and none of it is forgotten.
#[test]
fn a_frame_is_a_thing_to_be_made() {
    let mut layout = example("sound_indirect");
    let platform = layout.platforms.iter_mut().find(|platform| platform.bearers.is_some()).expect("bearers");
    platform.frame = Some(Frame { height: Size::mm(450.0) });
    let takeoff = taken(&layout);
    let lines: Vec<_> = takeoff.of_item(Item::Frame).collect();
    let [line] = lines.as_slice() else { panic!("{lines:?}") };
    assert_eq!((line.size.as_str(), line.quantity), ("450 mm high, 1240 × 960 mm", Some(1.0)));
    assert!(line.find_out.as_ref().is_some_and(|find_out| find_out.contains("design the frame")), "{line:?}");
    assert_eq!(taken(&example("sound_indirect")).of_item(Item::Frame).count(), 0);
}

/// Runs of 15 mm, from bend to bend as the file has them; ports of parts resolved by hand.
#[test]
fn tube_is_as_long_as_it_is_drawn() {
    let layout = example("sound_indirect");
    let takeoff = taken(&layout);
    // Rising main: 5478 up, then 420 along to the float valve in the cistern's left side at x 1500.
    let rising = 5478.0 + 420.0;
    // The tee stands 3914 along the cold distribution: 226 + 2788 + 900 = 3914, in the corner below the bath.
    let basin_cold = (1740.0 - 940.0) + (3450.0 - 2540.0);
    let wc_cold = (940.0 - 490.0) + (3350.0 - 2540.0);
    let line = takeoff.of_item(Item::Tube).find(|line| line.size == "15 mm").expect("15 mm tube");
    // Basin hot leaves the draw-off at 4158.1 along it.
    let site = Site::of(&layout);
    let hot = layout.runs.iter().position(|run| run.id.as_str() == "basin-hot").expect("basin hot");
    let basin_hot = site.line(hot).expect("a line").length();
    let metres = (rising + basin_cold + wc_cold + basin_hot) / 1000.0;
    assert!((line.quantity.expect("told") - metres).abs() < 1e-6, "{:?}", line.working);
    assert!((line.to_order.expect("told") - metres * 1.1).abs() < 1e-6);
    assert_eq!(line.parts.len(), 4);
    assert_eq!(line.working.len(), 4);
}

#[test]
fn what_is_not_told_is_a_line_that_says_so() {
    let takeoff = taken(&example("half_described"));
    let untold = |item: Item| takeoff.of_item(item).find_map(|line| line.find_out.clone());
    assert!(untold(Item::Lid).expect("the lid").contains("see whether the cistern has a lid"));
    assert!(untold(Item::Board).expect("the board").contains("what board"));
    assert!(untold(Item::Cistern).expect("the cistern").contains("front to back"));
    let tube = takeoff.of_item(Item::Tube).find(|line| line.size == "size not told").expect("a tube");
    assert!(tube.find_out.as_deref().expect("a question").contains("made of"));
    for line in &takeoff.lines {
        assert!(line.quantity.is_some() || line.find_out.is_some(), "{line:?}");
    }
    assert!(takeoff.of_item(Item::Clip).all(|line| line.quantity.is_none()));
}

#[test]
fn every_line_of_every_example_tells_where_it_comes_from() {
    for name in
        ["feed_and_expansion", "half_described", "level_connections", "low_loft", "sound_direct", "sound_indirect"]
    {
        let layout = example(name);
        for line in taken(&layout).lines {
            assert!(!line.parts.is_empty(), "{name}: {line:?}");
            assert!(line.parts.iter().all(|part| layout.part(part).is_some()), "{name}: {line:?}");
            assert_eq!(line.quantity.is_some(), !line.working.is_empty(), "{name}: {line:?}");
            assert!(line.quantity.is_none_or(|quantity| quantity.is_finite() && quantity >= 0.0), "{name}: {line:?}");
        }
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    #[test]
    fn whatever_can_be_drawn_can_be_taken_off(layout in generated::layouts()) {
        let site = Site::of(&layout);
        for line in Takeoff::of(&site, Terms::default()).lines {
            proptest::prop_assert!(line.quantity.is_some() || line.find_out.is_some(), "{line:?}");
            proptest::prop_assert!(line.quantity.is_none_or(|quantity| quantity.is_finite() && quantity >= 0.0), "{line:?}");
        }
        for tube in tube_cuttings(&site, Stock::default()) {
            proptest::prop_assert!(tube.cutting.too_long.is_empty());
            proptest::prop_assert!(tube.cutting.bars.len() >= tube.cutting.at_least);
        }
    }
}

#[test]
fn a_filled_cistern_weighs_what_the_load_rule_says() {
    let layout = example("sound_indirect");
    let takeoff = taken(&layout);
    let rim = takeoff.lines.iter().find(|line| line.trade == Trade::Weights && line.size == "filled to the rim");
    let kg = rim.and_then(|line| line.quantity).expect("told");
    // 914 × 610 × 584 mm of water at 1 kg a litre, and 16 kg.
    assert!((kg - (914.0 * 610.0 * 584.0 / 1e6 + 16.0)).abs() < 0.01, "{kg}");
}

#[test]
fn clips_are_no_further_apart_than_the_tube_allows() {
    let takeoff = taken(&example("sound_indirect"));
    let line = takeoff.of_item(Item::Clip).find(|line| line.size == "15 mm").expect("clips for 15 mm");
    // Rising main 5478 upright in bays of 1800: 4; 420 level: 1. Basin cold 800 level, 910 upright: 1 and 1, and so on.
    assert!(
        line.working.iter().any(|working| working.contains("5478 mm upright in 4 bays of at most 1800 mm")),
        "{line:?}"
    );
    assert_eq!(line.working.len(), line.working.iter().filter(|working| working.contains("bays of at most")).count());
}

/// 2400.3 − 600.3 is a little more than 1800 in binary fractions.
#[test]
fn a_sum_of_tenths_asks_for_no_clip_and_no_bar_more() {
    let text = r#"(format: 1, runs: [(id: "riser", service: RisingMain, material: Copper, size: 15,
        from: Onward((0, 600.3)), to: Open((0, 2400.3)), fittings: [])])"#;
    let takeoff = taken(&file::parse(text, "riser").expect("a layout"));
    let clips = takeoff.of_item(Item::Clip).next().expect("clips");
    assert_eq!((clips.quantity, clips.working.len()), (Some(1.0), 1), "{clips:?}");
}

/// A case made for this with scipy's exact integer solver: simple rules take four bars, three are enough.
#[test]
fn the_reference_case_is_cut_from_three_bars() {
    let pieces = [340, 760, 1520, 1560, 1120, 900, 640, 460, 860, 740];
    let cutting = cut(&pieces, Stock { length_mm: 3000, kerf_mm: 3 });
    assert_eq!((cutting.bars.len(), cutting.at_least), (3, 3));
}

/// The published instance of the encyclopedia's article on the cutting stock problem: 73 rolls, waste 0.401 %.
#[test]
fn the_published_instance_is_cut_from_its_73_rolls() {
    let widths = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let pieces: Vec<u32> = widths.iter().flat_map(|(width, count)| vec![*width; *count]).collect();
    assert_eq!((pieces.len(), pieces.iter().sum::<u32>()), (219, 407_160));
    let stock = Stock { length_mm: 5600, kerf_mm: 0 };
    let cutting = cut(&pieces, stock);
    assert_eq!((cutting.bars.len(), cutting.at_least), (73, 73));
    assert!((cutting.waste(stock) - 0.004_01).abs() < 0.000_005, "{}", cutting.waste(stock));
    let mut cut_out = cutting.bars.concat();
    cut_out.sort_unstable();
    let mut asked = pieces;
    asked.sort_unstable();
    assert_eq!(cut_out, asked);
}

#[test]
fn the_pieces_of_a_cutting_list_are_the_tube_that_is_drawn() {
    for name in ["sound_indirect", "feed_and_expansion", "low_loft"] {
        let layout = example(name);
        let site = Site::of(&layout);
        let takeoff = taken(&layout);
        for tube in tube_cuttings(&site, Stock::default()) {
            let drawn =
                takeoff.of_item(Item::Tube).find(|line| line.name() == tube.what).and_then(|line| line.quantity);
            let pieces: u32 = tube.cutting.bars.iter().flatten().sum();
            let count = tube.cutting.bars.iter().flatten().count();
            let over_mm = f64::from(pieces) - drawn.expect("drawn") * 1000.0;
            // Each piece is rounded up to a millimetre.
            assert!((-1e-6..=count as f64).contains(&over_mm), "{name}, {}: {over_mm}", tube.what);
            assert!(tube.cutting.is_proven(), "{name}, {}: {}", tube.what, tube.cutting.words());
        }
    }
}

#[test]
fn a_price_list_that_is_filled_in_prices_everything_once() {
    let layout = example("low_loft");
    let takeoff = Takeoff::of(&Site::of(&layout), Terms::default());
    let to_fill_in = price_list_csv(&takeoff, None);
    let nothing_yet = PriceList::parse(&to_fill_in).expect("prices may be left empty").put_to(&takeoff);
    assert_eq!((nothing_yet.lines.len(), nothing_yet.unused.len()), (0, 0));
    let filled_in =
        to_fill_in.lines().skip(1).fold("what,size,unit,price\n".to_owned(), |list, row| list + row + "2\n");
    let priced = PriceList::parse(&filled_in).expect("each thing stands there once").put_to(&takeoff);
    assert!(priced.unpriced.is_empty() && priced.unused.is_empty(), "{:?}", (priced.unpriced, priced.unused));
    assert!(priced.lines.iter().all(|line| line.price == 2.0) && priced.lines.len() > 20);
    // What is known already is not asked again.
    let known = PriceList::parse("what,unit,price\nmarine ply,m²,31.5\n").expect("a list").put_to(&takeoff);
    let rows = price_list_csv(&takeoff, Some(&known));
    let boards: Vec<&str> = rows.lines().filter(|row| row.starts_with("marine ply,")).collect();
    assert!(!boards.is_empty() && boards.iter().all(|row| row.ends_with(",m2,31.5")), "{boards:?}");
}

#[test]
fn prices_come_from_the_list_alone() {
    let takeoff = taken(&example("sound_indirect"));
    let list = "what,size,unit,price\n\
                Gate Valve,22 mm,no,12.50\n\
                gate valve,,no,99\n\
                copper tube,22 mm,m,\"8,20\"\n\
                pipe clip,22 mm,m,1\n\
                chimney,,no,500\n";
    let priced = PriceList::parse(list).expect("a list").put_to(&takeoff);
    let cost = |what: &str| {
        let at = |line: &Line| line.what == what && line.size == "22 mm";
        let line = takeoff.lines.iter().position(at).expect("a line");
        priced.lines.iter().find(|priced| priced.line == line).map(|priced| priced.cost)
    };
    assert_eq!(cost("gate valve"), Some(25.0));
    let metres = takeoff.of_item(Item::Tube).find(|line| line.size == "22 mm").and_then(|line| line.to_order);
    let expected = (metres.expect("told") * 8.2 * 100.0).round() / 100.0;
    assert_eq!(cost("copper tube"), Some(expected));
    assert!((priced.total - (25.0 + expected)).abs() < 1e-9);
    assert_eq!(cost("pipe clip"), None);
    assert!(priced.unpriced.iter().any(|name| name == "drain cock, 22 mm"));
    let unused = priced.unused.join("\n");
    assert!(unused.contains("line 5: pipe clip: the take-off counts it in no, the list in m"), "{unused}");
    assert!(unused.contains("line 6: chimney: no line of the take-off has these words"), "{unused}");
    assert!(unused.contains("line 3: gate valve"), "{unused}");
}

fn set_against(name: &str, quote: &str) -> Comparison {
    set_against_layout(&example(name), quote)
}

fn set_against_layout(layout: &Layout, quote: &str) -> Comparison {
    let findings = Findings::of(&Site::of(layout));
    compare(layout, &taken(layout), &findings, &lines_of_text(quote))
}

fn against(quote: &str) -> Comparison {
    set_against("sound_indirect", quote)
}

fn state(comparison: &Comparison, topic: &str) -> State {
    comparison.topics.iter().find(|compared| compared.topic == topic).expect("the topic").state
}

const QUOTE: &str = "Supply and fit 113 litre cold water cistern\n\
                     Platform in 18mm chipboard\n\
                     1 no 22mm gate valve\n\
                     4 no drain cocks 22 mm\n\
                     15mm open vent\n\
                     Jacket by customer\n\
                     Indirect cylinder 117 L\n\
                     Skip hire\n";

#[test]
fn a_quote_is_set_against_what_is_drawn_and_what_the_rules_ask() {
    let comparison = against(QUOTE);
    for (topic, expected) in [
        ("cistern", State::Contradicted),
        ("platform board", State::Contradicted),
        ("gate or full-bore valves", State::Contradicted),
        ("drain cocks", State::Covered),
        ("open vent", State::Contradicted),
        ("cistern jacket", State::LeftToYou),
        ("cistern lid", State::NotMentioned),
        ("screens of lid and warning pipe", State::NotMentioned),
        ("insulation of pipes", State::NotMentioned),
        ("cylinder", State::Covered),
    ] {
        assert_eq!(state(&comparison, topic), expected, "{topic}");
    }
    let of = |topic: &str| comparison.topics.iter().find(|compared| compared.topic == topic).expect("the topic");
    let cistern = of("cistern").contradictions.join("\n");
    assert!(cistern.contains("(line 1 of the text): 113 L, and the drawing has 229 L"), "{cistern}");
    assert!(cistern.contains("needs at least"), "{cistern}");
    assert!(of("platform board").contradictions[0].contains("(line 2 of the text): chipboard"));
    assert!(of("gate or full-bore valves").contradictions[0].contains("1 in the quote, and the drawing has 2"));
    assert!(of("open vent").contradictions[0].contains("15 mm, and the drawing has 22 mm"));
    assert!(of("cistern jacket").matches[0].why.contains("'by customer' leaves it to you"));
    let title = loftwright::rules::rule("cistern-lid-not-tight").expect("the rule").prose.title(Voice::Trade);
    assert!(of("cistern lid").asked_by.iter().any(|rule| rule.spoken(Voice::Trade).contains(title)));
    assert_eq!(comparison.not_understood.len(), 1);
    let questions = comparison.questions.join("\n");
    for asked in ["cistern lid: is it part of the price?", "'Skip hire'", "cistern jacket: who supplies"] {
        assert!(questions.contains(asked), "{asked} is not in:\n{questions}");
    }
}

#[test]
fn a_count_after_the_words_is_a_count() {
    // Two gate valves are drawn.
    let gate = |quote: &str| state(&against(quote), "gate or full-bore valves");
    for two in [
        "gate valves 22mm x 2",
        "gate valve 22 mm x2",
        "gate valves (2)",
        "two gate valves 22mm",
        "gate valves 22mm, qty 2",
        "gate valves 22mm no. 2",
        "gate valves 22mm - 2 off",
        "2 x 22mm gate valves",
        "gate valve 22mm\ngate valve 22mm",
        "gate valves 22mm",
    ] {
        assert_eq!(gate(two), State::Covered, "{two}");
    }
    for one in
        ["gate valve 22mm", "1 gate valve 22mm", "gate valve 22mm x 1", "one gate valve (1)", "1 x 22 gate valve"]
    {
        assert_eq!(gate(one), State::Contradicted, "{one}");
    }
}

#[test]
fn what_is_used_again_is_asked_about() {
    let comparison = against("Vent and feed pipes to be re-used where sound. No electrical work included.");
    for topic in ["open vent", "cold feed"] {
        assert_eq!(state(&comparison, topic), State::Reused, "{topic}");
    }
    let questions = comparison.questions.join("\n");
    assert!(questions.contains("open vent: the quote uses again what is there; is it sound"), "{questions}");
    assert_eq!(state(&against("re-use existing cylinder, new 50 gal tank"), "cylinder"), State::Reused);
    assert_eq!(state(&against("vent pipe to be re-used\n22 mm open vent"), "open vent"), State::Covered);
}

#[test]
fn labour_and_what_is_to_pay_are_no_questions() {
    let comparison = against("Labour, 2 men 1 day  520.00\nTo pay  1,589.40\nLabour to fit cistern");
    assert_eq!((comparison.not_understood.len(), comparison.set_aside.len()), (0, 2), "{:?}", comparison.set_aside);
}

#[test]
fn what_is_free_of_charge_is_part_of_the_quote() {
    assert_eq!(state(&against("no charge for lid"), "cistern lid"), State::Covered);
    assert_eq!(state(&against("no lid"), "cistern lid"), State::LeftOut);
}

#[test]
fn what_a_line_includes_after_an_exclusion_is_part_of_the_quote() {
    let comparison = against("price excludes jacket but includes lid");
    assert_eq!(state(&comparison, "cistern lid"), State::Covered);
    assert_eq!(state(&comparison, "cistern jacket"), State::LeftOut);
    let turned = against("price includes lid but excludes jacket");
    assert_eq!(state(&turned, "cistern lid"), State::Covered);
    assert_eq!(state(&turned, "cistern jacket"), State::LeftOut);
    assert_eq!(state(&against("lid, but not included"), "cistern lid"), State::LeftOut);
}

#[test]
fn a_pattern_or_a_grade_other_than_drawn_contradicts() {
    // A part 2 valve and a grade 3 cylinder are drawn; grade 2 bears more.
    for (quote, topic, expected) in [
        ("float valve part 1", "float valve", State::Contradicted),
        ("float valve part 2", "float valve", State::Covered),
        ("float valve to BS 1212", "float valve", State::Covered),
        ("vented cylinder grade 4", "cylinder", State::Contradicted),
        ("vented cylinder grade 3", "cylinder", State::Covered),
        ("vented cylinder grade 2", "cylinder", State::Covered),
    ] {
        assert_eq!(state(&against(quote), topic), expected, "{quote}");
    }
}

#[test]
fn less_tube_than_drawn_contradicts_and_more_does_not() {
    // 23.41 m of 22 mm copper tube are drawn.
    let comparison = against("22mm copper tube 10 m");
    let tube = comparison.topics.iter().find(|compared| compared.topic == "tube").expect("tube");
    assert_eq!(tube.contradictions, ["10.00 m of 22 mm in the quote, and the drawing has 23.41 m"]);
    for (quote, expected) in [
        ("22mm copper tube 3 lengths of 3m", State::Contradicted),
        ("22mm copper tube 8 lengths of 3m", State::Covered),
        ("8 x 3m 22mm copper tube", State::Covered),
        ("22mm copper tube 10 m\n22mm copper tube 14 m", State::Covered),
        ("22mm copper tube 30 m", State::Covered),
        ("copper tube 10 m", State::Contradicted),
        ("22mm copper tube @ 8.20/m", State::Covered),
        ("22mm copper tube 10 m to the bathroom", State::Covered),
        // One pipe is not all of the tube.
        ("22mm copper pipe for open vent 3 m", State::InPart),
        // A line without a length leaves only its own size open.
        ("22mm copper pipe 20 m\n15 mm warning pipe overflow in plastic", State::Contradicted),
        ("22mm copper pipe 20 m\n22 mm copper pipe for the open vent", State::Covered),
        ("22mm copper pipe 20 m\ncopper pipe for the open vent", State::Covered),
    ] {
        assert_eq!(state(&against(quote), "tube"), expected, "{quote}");
    }
}

#[test]
fn a_quote_that_contradicts_itself_is_asked_about() {
    let comparison = against("Byelaw 30 kit for cistern\nJacket by customer\n");
    assert_eq!(state(&comparison, "cistern lid"), State::Covered);
    assert_eq!(state(&comparison, "cistern jacket"), State::Contradicted);
    let questions = comparison.questions.join("\n");
    assert!(questions.contains(
        "cistern jacket: 'Byelaw 30 kit for cistern' (line 1 of the text) seems to name it, and 'Jacket by customer' (line 2 of \
         the text) leaves it to others"
    ), "{questions}");
}

#[test]
fn a_pipe_is_set_against_its_own_runs() {
    let comparison = against("15mm open vent");
    let vent = comparison.topics.iter().find(|compared| compared.topic == "open vent").expect("the vent");
    assert_eq!(vent.drawn.len(), 1);
    assert!(vent.drawn[0].starts_with("open vent: ") && vent.drawn[0].ends_with("copper tube, 22 mm"), "{vent:?}");
}

#[test]
fn every_match_tells_why() {
    for compared in &against(QUOTE).topics {
        for matched in &compared.matches {
            assert!(matched.why.contains("it says '"), "{matched:?}");
        }
        assert_eq!(compared.state == State::NotMentioned, compared.matches.is_empty(), "{}", compared.topic);
        assert_eq!(compared.state == State::Contradicted, !compared.contradictions.is_empty(), "{}", compared.topic);
    }
}

#[test]
fn a_quote_in_csv_reads_as_the_same_in_text() {
    let layout = example("sound_indirect");
    let findings = Findings::of(&Site::of(&layout));
    let rows = lines_of_csv("2,\"gate valve, 22 mm\",25.00\n1,\"lid\",9.00\n").expect("CSV");
    assert_eq!(rows[1].text, "1 ; lid ; 9.00");
    let comparison = compare(&layout, &taken(&layout), &findings, &rows);
    assert_eq!(state(&comparison, "gate or full-bore valves"), State::Covered);
    assert_eq!(state(&comparison, "cistern lid"), State::Covered);
}

#[test]
fn a_bath_that_is_to_run_cooler_than_water_is_stored_has_a_mixing_valve() {
    let lines = |bath: &str, survey: &str| {
        let text = format!(
            r#"(format: 1, survey: {survey},
            cylinders: [(id: "cylinder", at: (0, 0), diameter: 450, height: 900, stored_temperature: 60)],
            outlets: [(id: "bath", kind: Bath, at: (2000, 500), {bath})])"#
        );
        let takeoff = taken(&file::parse(&text, "a bath").expect("reads"));
        let is_valve = |line: &&Line| line.item == Item::MixingValve;
        takeoff.lines.iter().filter(is_valve).map(|line| line.what.clone()).collect::<Vec<_>>()
    };
    assert_eq!(lines("supply_temperature: 46", "Designed"), ["thermostatic mixing valve, set to 46 °C"]);
    assert_eq!(lines("supply_temperature: 60", "Designed"), [""; 0]);
    assert_eq!(lines("", "Designed"), [""; 0]);
    // What was measured at a tap tells of no valve.
    assert_eq!(lines("supply_temperature: 46", "Surveyed(II)"), [""; 0]);
}
